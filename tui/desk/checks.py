"""The checks of locks that were lately at hand: what was worked out of them is not worked out again."""

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from core.layout.findings import Finding
from core.lock.lock import Lock
from tui.desk.checking import Checked, checking
from tui.desk.session import layout_of


class Checks:
    """The checks of one lock, as far as they have come: whoever asks again goes on from there."""

    def __init__(self, lock: Lock, notes: tuple[Finding, ...], asked: tuple[str, ...]) -> None:
        """Begin with nothing worked out; `notes` and `asked` are those of `tui.desk.checking`."""
        self._pieces = checking(layout_of(lock), notes, asked)
        self.known: Checked | None = None

    def pieces(self) -> Iterator[Checked | None]:
        """Yield what is known already, then what comes, as `checking` does; the complete last."""
        if self.known is not None:
            # what is known is shown before anything is done with it for good, such as keeping a copy
            yield replace(self.known, complete=False)
            if self.known.complete:
                yield self.known
        # not `yield from`: who leaves off here leaves the rest for another time
        for piece in self._pieces:
            if piece is not None:
                self.known = piece
            yield piece

    def foreseen(self) -> Iterator[None]:
        """Work out what there is to find, ahead of being asked for it: yields between the pieces."""
        for known in self.pieces():
            if known is not None and known.heard:
                return
            yield None


@lru_cache(maxsize=16)
def checks_of(lock: Lock, notes: tuple[Finding, ...], asked: tuple[str, ...]) -> Checks:
    """Return the checks of a lock; the same ones while it was lately asked about."""
    return Checks(lock, notes, asked)
