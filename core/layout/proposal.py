"""Proposals: values worked out for the lock at hand, which one key of a step takes, with the reasons for them."""

from dataclasses import dataclass
from typing import Any

from core.lock.lock import Lock


@dataclass(frozen=True)
class Proposal:
    """What is proposed for a lock: `what` in a few words, `values` by path [mm, degrees, N or words], and why.

    Without values there is none to be had, and the reasons say what stands in the way.
    """

    what: str
    values: tuple[tuple[str, Any], ...]
    reasons: tuple[str, ...]

    def taken(self, lock: Lock) -> Lock:
        """Return the lock with what is proposed."""
        for path, value in self.values:
            lock = lock.with_value(path, value)
        return lock
