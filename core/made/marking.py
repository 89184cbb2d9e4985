"""Marking a workpiece as made: the dimensions that shape it, as they stand now, go with it."""

from core.lock.facts import as_made, record_of, with_record, without_record
from core.lock.lock import Lock, expanded, of_metal_alone
from core.lock.made import Made, ordered
from core.whole import assembly


def mark_made(lock: Lock, part: str) -> Lock:
    """Return the lock in which the workpiece with the key `part` is made as everything now stands.

    What was measured on other workpieces counts, as it does for the drawings that it was made from. A
    workpiece that was made before is made anew.

    Raises
    ------
    KeyError
        For a workpiece that there is none of.
    """
    workpiece = assembly.workpieces()[part]
    now = as_made(without_record(lock, part))
    paths = (path for path in expanded(now, workpiece.paths) if path not in of_metal_alone())
    planned = ordered({path: now.value(path) for path in paths})
    return with_record(lock, Made(part, planned))


def unmark(lock: Lock, part: str) -> Lock:
    """Return the lock in which the workpiece with the key `part` is not made."""
    return without_record(lock, part)


def is_made(lock: Lock, part: str) -> bool:
    """Say whether the workpiece with the key `part` is marked as made."""
    return record_of(lock, part) is not None
