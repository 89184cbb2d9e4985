"""How far a bolt can lean either way in its guides, from how it lies in them: until it touches a floor and a roof.

In guides that are in line it leans as far either way. Where they are raised, tilted or filed otherwise, what holds it
is another pair of faces on either side. Seen square to the bolt as it lies; lengths in mm, angles in radians.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from core.layout.layout import Layout, derived
from core.mechanism.tilted import tilt
from core.parts.bolt_lies import SAME, channels, leg_in, lies


@dataclass(frozen=True)
class Lean:
    """By what `angle` [rad] a bolt can lean, and the x of what it then turns about, its `middle` [mm]."""

    angle: float
    middle: float


@derived
def leg_height(layout: Layout) -> float:
    """Return the mean height [mm] of nose and tail."""
    lock = layout.lock
    return (leg_in(lock, "front_guide") + leg_in(lock, "rear_guide")) / 2


def _rooms(layout: Layout, more: float) -> Iterator[tuple[float, float, float]]:
    """Yield x of each end of the guides, and the room [mm] there below and above the bolt as it lies, and `more`."""
    line = lies(layout).line
    for channel in channels(layout):
        for x, low, high in channel.ends:
            yield x, line.at(x) - low + more, high - line.at(x) + more


def leaning(layout: Layout, more: float = 0.0) -> tuple[Lean, Lean]:
    """Return how far the bolt leans ahead, below its guides towards +x, and how far back.

    With so much `more` room [mm] above and below than its guides leave it.
    """
    here, leg, line = lies(layout), leg_height(layout), layout.lock.bolt_line.height
    both: tuple[list[Lean], list[Lean]] = ([], [])
    for (x0, below0, above0), (x1, below1, above1) in combinations(sorted(_rooms(layout, more)), 2):
        # ahead it comes down to the floor on the left and up to the roof on the right
        for found, left, right in ((both[0], below0, above1), (both[1], above0, below1)):
            left, right = max(left, 0.0), max(right, 0.0)
            share = left / (left + right) if left != right else 0.5
            middle, _ = here.seen(x0 + (x1 - x0) * share, line - leg / 2)
            found.append(Lean(tilt(leg, (left + right) / 2, x1 - x0), float(middle)))
    ahead, back = (min(found, key=lambda lean: lean.angle) for found in both)
    return ahead, back


def at_ends(layout: Layout, more: float = 0.0) -> Iterator[tuple[float, float, float]]:
    """Yield the ends of all that the bolt can be moved about in its guides, raised and leaning ahead at once.

    For each the angle [rad] by which it leans from how it lies, and height [mm] on the centreline and slope of how much
    its top edge is raised then. With so much `more` room [mm] above and below than its guides leave it.
    """
    line = lies(layout).line
    places = [(x, -below, above) for x, below, above in _rooms(layout, more)]
    if any(low > high for _, low, high in places):
        return
    for (x0, *ends0), (x1, *ends1) in combinations(places, 2):
        for y0 in ends0:
            for y1 in ends1:
                slope = (y1 - y0) / (x1 - x0)
                up = y0 - slope * x0
                if all(low - SAME <= up + slope * x <= high + SAME for x, low, high in places):
                    yield math.atan(line.slope + slope) - math.atan(line.slope), up, slope
