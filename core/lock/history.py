"""What was changed, so that it can be taken back and made again, without limit.

A *step* is one change, named by what it changed, with the lock on its other side: of a past step the lock
before it, of a step ahead the lock after it. A history is a value; every move returns a new one.
"""

from dataclasses import dataclass, replace

from core.lock.lock import Lock, spec_of


@dataclass(frozen=True)
class Step:
    """One change: what it was in words, the path that it set, and the lock on its other side.

    `small` marks a nudge: farther nudges of the same value belong to it. `path` is empty for a change of more
    than one value, such as a part that is marked as made.
    """

    what: str
    path: str
    lock: Lock
    small: bool = False


@dataclass(frozen=True)
class History:
    """Steps already made, the last one last, and steps taken back, the one to make again next last."""

    past: tuple[Step, ...] = ()
    ahead: tuple[Step, ...] = ()

    def changed(
        self, before: Lock, after: Lock, path: str = "", *, what: str = "", small: bool = False
    ) -> "History":
        """Return the history with one more step, from `before` to `after`; nothing is ahead of it.

        `what` names it, by default after the value at `path`. A step that changes nothing is none, and a nudge
        of the value that the last one nudged belongs to that one.

        Raises
        ------
        KeyError
            For a path that no lock has.
        """
        if before == after:
            return self
        last = self.past[-1] if self.past else None
        if small and last is not None and last.small and last.path == path and not self.ahead:
            if last.lock == after:  # nudged back to where it began
                return History(self.past[:-1])
            return self
        name = what or (spec_of(path).label if path else "several values")
        return History((*self.past, Step(name, path, before, small)))

    def undone(self, now: Lock) -> tuple["History", Lock]:
        """Return the history with the last step taken back, and the lock before it; the same if none is."""
        if not self.past:
            return self, now
        *past, last = self.past
        back = replace(last, lock=now, small=False)
        return History(tuple(past), (*self.ahead, back)), last.lock

    def redone(self, now: Lock) -> tuple["History", Lock]:
        """Return the history with the step taken back last made again, and the lock after it."""
        if not self.ahead:
            return self, now
        *ahead, last = self.ahead
        again = replace(last, lock=now, small=False)
        return History((*self.past, again), tuple(ahead)), last.lock

    def closed(self) -> "History":
        """Return the history in which no later nudge belongs to a step made so far, as after saving."""
        return History(tuple(replace(step, small=False) for step in self.past), self.ahead)
