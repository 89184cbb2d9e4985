"""Margins: what a lock has to spare before one thing stops it, each declared once.

From a margin come the finding, the ends of the windows of all dimensions that move it, and the room that is left:
so none of these can say another thing than the others.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from core.layout.codes import Code
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.mechanism.tooth_numbers import SLACK

ENOUGH = float("inf")
"""The margin of a lock in which there is nothing to be held against a limit."""


@dataclass(frozen=True)
class Margin:
    """What a lock has to spare before it is stopped by what `code` stands for.

    `spare` is the margin [mm, or degrees or areas for what has no length]: 0 or more fits, with `strict` only more
    than 0. It is `ENOUGH` where the question does not arise, such as where another finding says it all. `by` names
    the limit in words that stand beside the end of a window. `found` makes the finding of a lock that it stops, or one
    for each thing that does. One that is `slow` takes more than a fraction of a millisecond, and is looked at in few
    places.
    """

    code: Code
    by: str
    spare: Callable[[Layout], float]
    found: Callable[[Layout], Finding | Iterable[Finding]]
    strict: bool = False
    slow: bool = False

    def stops(self, spare: float) -> bool:
        """Say whether a lock with so much to `spare` is stopped; what is no number counts as a stop."""
        return not (spare > 0 if self.strict else spare >= -SLACK)

    def findings(self, layout: Layout) -> Iterable[Finding]:
        """Yield what is found of a layout that it stops."""
        if self.stops(self.spare(layout)):
            told = self.found(layout)
            yield from (told,) if isinstance(told, Finding) else told
