"""Windows: which values of one dimension fit, everything else as it stands.

Each part of the lock states its own limits as `Bound`s on whichever dimensions they fall; a window is
the tightest bound from below and from above, each with the name of what sets it.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from core.layout.codes import Code
from core.mechanism.tooth_numbers import SLACK

End = Literal["low", "high"]


@dataclass(frozen=True)
class Bound:
    """One limit on the dimension at `path`: its `value` [mm, or degrees of an angle] as an inclusive `end`.

    `by` names what sets it, in words; `code` is what a value just outside is found for.
    """

    path: str
    end: End
    value: float
    by: str
    code: Code


@dataclass(frozen=True)
class Window:
    """What fits at `path` [mm or degrees]; an end that nothing sets is None."""

    path: str
    low: Bound | None
    high: Bound | None

    @property
    def conflict(self) -> bool:
        """Whether no value fits, the two ends excluding each other."""
        return self.low is not None and self.high is not None and self.low.value > self.high.value

    def holds(self, value: float) -> bool:
        """Say whether `value` [mm] fits."""
        above = self.low is None or value >= self.low.value
        return above and (self.high is None or value <= self.high.value)

    def place(self, value: float) -> float | None:
        """Return where `value` lies, 0 at the low end and 1 at the high, None for an open window."""
        if self.low is None or self.high is None or self.conflict:
            return None
        span = self.high.value - self.low.value
        return (value - self.low.value) / span if span > 0 else 0.5


def merged(bounds: Iterable[Bound]) -> dict[str, Window]:
    """Return the window of every path that a bound falls on, by path; of two bounds at one place the first names it."""
    low: dict[str, Bound] = {}
    high: dict[str, Bound] = {}
    paths: dict[str, None] = {}
    for bound in bounds:
        paths[bound.path] = None
        if bound.end == "low":
            if bound.path not in low or bound.value > low[bound.path].value + SLACK:
                low[bound.path] = bound
        elif bound.path not in high or bound.value < high[bound.path].value - SLACK:
            high[bound.path] = bound
    return {path: Window(path, low.get(path), high.get(path)) for path in paths}
