"""Remedies: what is rid of a finding, as changes that can be made, each tried before it is named."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from core.lock.lock import Lock
from core.units import INCH, parse_length, show_length


@dataclass(frozen=True)
class Remedy:
    """One way to be rid of a finding: what a bench mate would say of it, and the values to set, all of them, by path.

    Values are mm, degrees or N, or a choice, as `Lock.with_value` takes them.
    """

    words: str
    changes: tuple[tuple[str, object], ...]

    def applied(self, lock: Lock) -> Lock:
        """Return the lock with the values set; BadValueError where one may not stand there."""
        for path, value in self.changes:
            lock = lock.with_value(path, value)
        return lock


def any_of(remedies: Iterable[Remedy]) -> str:
    """Return remedies in words, of which each is enough: `this, that, or the third`; nothing for none."""
    *first, last = [remedy.words for remedy in remedies] or [""]
    return f"{', '.join(first)}, or {last}" if first else last


def as_told(limit: float, way: int, units: str) -> float:
    """Return the length [mm] nearest a `limit` [mm] that can be told in full, `way` 1 for no less than it, -1 no more.

    A text rounds; what is read off it is the value to set, so that words and value are one.
    """
    step = float(INCH) / 1000 if units == "in" else 0.01
    k = way * math.ceil(way * limit / step - 1e-6)
    while True:
        told = parse_length(show_length(max(k * step, 0.0), units), units)
        if way * (told - limit) >= 0 or k * step < 0:
            return told
        k += way
