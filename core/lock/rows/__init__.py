"""The parts that a lock can have several of: one module for each, which offers a `ROWS`.

Nothing else lists them: `core.lock.row_kinds` finds what is here. DEVELOPERS.md tells what a new one takes.
"""
