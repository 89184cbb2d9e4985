"""The computing core of boltwright: from a lock's numbers to all that follows from them.

The words of the trade, and those that we coined, are explained in `core.glossary`, which the help shows.

In the words of the code: a *finding* is one result of a check, made by the *code* that the check declared; an
*outcome* is a number by which two locks are compared; a *workpiece* lies on the bench by itself; a *step* asks for
values, in the mock-up order. Frames are explained in `core.layout.frames`, findings in `core.layout.codes`,
workpieces in `core.layout.workpiece`, adding a part in DEVELOPERS.md.
"""
