"""The steps of settling a lock, each a module of this package with a `STEP`; one screen shows them
all.
"""
