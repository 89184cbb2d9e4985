"""The straight line that runs best through channels that do not stand in one: where a bolt lies in its guides.

A bolt is straight. Where the floors of its channels stand too high or too low, it lies on the line that leaves it the
most room at the tightest of their ends. In the drive frame, lengths in mm; numbers alone.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations


@dataclass(frozen=True)
class Middle:
    """A line: its `height` [mm] where x is 0, its `slope` [none], and the `most` [mm] that it passes a place by.

    Source: as `through`.
    Valid: as `through`.

    Example, of a line that rises by 1 in 40 from 0.5:
    >>> Middle(0.5, 0.025, 0.0).at(20.0)
    1.0
    """

    height: float
    slope: float
    most: float

    def at(self, x: float) -> float:
        """Return the height [mm] of the line at an `x` [mm]."""
        return self.height + self.slope * x


def through(places: Sequence[tuple[float, float]]) -> Middle:
    """Return the line that passes none of `places` [mm], x and height, by more than it has to.

    Source: Chebyshev's best straight line: of each three places the middle one is missed by half of what it stands off
    the line through the outer two; the three that miss by the most set the line (alternation theorem, any text
    on approximation).
    Valid: for three places and more, no two of one x.

    Example, by hand: level channels from -26 to -18 and 18 to 26, the left one 0.2 higher, are missed by 0.0182:
    >>> line = through([(-26.0, 0.2), (-18.0, 0.2), (18.0, 0.0), (26.0, 0.0)])
    >>> round(line.most, 4), round(line.slope, 6), round(line.at(0.0), 4)
    (0.0182, -0.004545, 0.1)
    """
    worst = None
    for (x0, y0), (x1, y1), (x2, y2) in combinations(sorted(places), 3):
        slope = (y2 - y0) / (x2 - x0)
        off = (y1 - y0 - slope * (x1 - x0)) / 2
        if worst is None or abs(off) > abs(worst[2]):
            worst = (y0 + off - slope * x0, slope, off)
    if worst is None:
        raise ValueError("a line through fewer than three places is no choice")
    height, slope, off = worst
    return Middle(height, slope, abs(off))
