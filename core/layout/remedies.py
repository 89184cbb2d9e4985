"""Remedies: what is rid of a finding, as changes that can be made, each tried before it is named."""

from collections.abc import Iterable
from dataclasses import dataclass

from core.lock.lock import Lock


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
