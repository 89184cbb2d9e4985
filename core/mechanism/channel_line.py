"""The straight line that runs best through channels that do not stand in one: where a bolt lies in its guides.

A bolt is straight. Where floors and roofs of its channels stand too high or too low, it lies on the line that leaves it
the most room at the tightest of their ends. In the drive frame, lengths in mm; numbers alone.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product

Place = tuple[float, float, float]
"""An end of a channel: its x, and the least and the greatest height that a line may have there [mm]."""


@dataclass(frozen=True)
class Middle:
    """A line: its `height` [mm] where x is 0, its `slope` [none], and the `room` [mm] that it has on either side.

    Source: as `between`.
    Valid: as `between`.

    Example, of a line that rises by 1 in 40 from 0.5:
    >>> Middle(0.5, 0.025, 0.0).at(20.0)
    1.0
    """

    height: float
    slope: float
    room: float

    def at(self, x: float) -> float:
        """Return the height [mm] of the line at an `x` [mm]."""
        return self.height + self.slope * x


def between(places: Sequence[Place]) -> Middle:
    """Return the line with the most room at the tightest of `places` [mm]; less than 0 of it where none goes through.

    Where one place alone is the tightest, the line goes through its middle, with the most room at the next one.

    Source: Chebyshev's best straight line, of stretches in the place of points: of each three places the middle one
    holds the line up or down against the outer two, and the tightest three set it (alternation theorem, any text on
    approximation); what one place leaves by itself is half its height.
    Valid: for three places and more, no two of one x.

    Example, by hand: level channels from -26 to -18 and 18 to 26, 0.2 high, the left one 0.2 higher, leave 0.0818:
    >>> ends = [(-26.0, 0.1, 0.3), (-18.0, 0.1, 0.3), (18.0, -0.1, 0.1), (26.0, -0.1, 0.1)]
    >>> line = between(ends)
    >>> round(line.room, 4), round(line.slope, 6), round(line.at(0.0), 4)
    (0.0818, -0.004545, 0.1)
    """
    if len(places) < 3:
        raise ValueError("a line through fewer than three places is no choice")
    best = None
    for (x0, low0, high0), (x1, low1, high1), (x2, low2, high2) in combinations(sorted(places), 3):
        for way, outer0, inner, outer2 in ((1, low0, high1, low2), (-1, high0, low1, high2)):
            slope = (outer2 - outer0) / (x2 - x0)
            off = (inner - outer0 - slope * (x1 - x0)) / 2
            room = way * off
            if best is None or room < best.room:
                best = Middle(outer0 + off - slope * x0, slope, room)
    tightest = min(places, key=lambda place: place[2] - place[1])
    if best is None or (tightest[2] - tightest[1]) / 2 < best.room:
        best = _pinched(tightest, [place for place in places if place is not tightest])
    return best


def _pinched(at: Place, others: Sequence[Place]) -> Middle:
    """Return the line through the middle of the place `at` that has the most room at the tightest of the others."""
    x, low, high = at
    middle = (low + high) / 2
    # how far a slope has to rise, and may, over how long a way, seen to the right
    least, most = [], []
    for x1, low1, high1 in others:
        ahead = x1 > x
        least.append((low1 - middle if ahead else middle - high1, abs(x1 - x)))
        most.append((high1 - middle if ahead else middle - low1, abs(x1 - x)))
    found = None
    for (rise, over), (rise1, over1) in product(least, most):
        room = (rise1 * over - rise * over1) / (over + over1)
        if found is None or room < found[0]:
            found = room, (rise + room) / over
    if found is None:
        raise ValueError("a line through one place is no choice")
    return Middle(middle - found[1] * x, found[1], (high - low) / 2)
