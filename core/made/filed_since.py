"""What is filed off a part that is made: its measure is another one from then on, and it stays made.

`filed 0.2 since`, typed in the place of a measure, is taken off what was measured last, or else off what the part was
made to; a hole, a gap or a notch it makes larger.
"""

import re

from core.errors import BadEntryError
from core.lock.facts import record_of, values_of
from core.lock.lock import Lock, of_metal_alone, spec_of
from core.units import parse_length
from core.whole import assembly

_FILED = re.compile(r"\s*filed\s+(?P<off>.+?)(?:\s+(?:off|since))*\s*", re.IGNORECASE)


def filed_off(text: str, units: str) -> float | None:
    """Return how much [mm] was filed off, as `text` states it, e.g. `filed 0.2 since`; None for a text of no filing.

    Raises
    ------
    BadEntryError
        For what is no length, or none that a file takes off.
    """
    found = _FILED.fullmatch(text)
    if found is None:
        return None
    off = parse_length(found["off"], units)
    if off <= 0:
        raise BadEntryError(
            f"{found['off']!r} is nothing that a file takes off: it takes a length above 0"
        )
    return off


def value_now(lock: Lock, part: str, path: str) -> float:
    """Return what a made workpiece has at `path` [mm]: as it was measured, else as it was made to."""
    record = record_of(lock, part)
    if record is None:
        raise KeyError(f"{part} is not made")
    if path in of_metal_alone():
        return float(dict(record.measured).get(path, 0.0))
    ((_, value),) = values_of(lock, record, (path,))
    return float(value)


def after_filing(lock: Lock, part: str, path: str, off: float) -> float:
    """Return what a made workpiece has at `path` [mm] once `off` [mm] more is filed off there.

    Raises
    ------
    KeyError
        For a workpiece that is not made.
    BadEntryError
        For what no file changes, such as a place.
    BadValueError
        Where nothing would be left.
    """
    way = assembly.workpieces()[part].filed_way(path)
    if not way:
        raise BadEntryError(
            f"No file changes this, the {spec_of(path).label}: type what you measured"
        )
    now = value_now(lock, part, path)
    return float(spec_of(path).check(round(now + way * off, 9), spec_of(path).label))
