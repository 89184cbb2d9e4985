"""Changes: before and after, parts that are already made, what can be saved, and taking back.

Glossary: the *plan* is the lock as its file states it; a *fact* is a value that was measured on a workpiece
that is made, and takes the plan's place in every check; a workpiece is *good*, to *file* or to
*remake* by what its shape as made differs from the shape as now wanted.
"""
