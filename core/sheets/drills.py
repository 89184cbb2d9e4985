"""Drills: the nearest one to a hole, its pilot, and rows of holes to be filed out to a slot.

Sizes come from `core.tables.twist_drills`, each with its source. The sizes of pilots, of webs and of what is left for
the file are common practice, no source.
"""

import math
from dataclasses import dataclass

from core.geometry.path import Point
from core.tables.twist_drills import METRIC, Drill, all_drills, kinds_for

PILOTS = {"mm": METRIC, "in": ("fraction",)}
"""Kinds of drill that pilots are taken from, by the lock's units."""
WEB = 0.5
"""Least metal [mm] left between two holes, so that the drill does not run into the last one: it cuts a little large,
and a punch mark is seldom nearer than 0.2 mm to its place."""
TO_FILE = 0.15
"""Metal [mm] left on each side of a slot for the file."""
SMALLEST = 1.0
"""Thinnest drill [mm] that a row is drilled with; a narrower slot is sawn."""
NO_PILOT = 5.0
"""Diameter [mm] up to which a hole is drilled from the centre punch alone: its pilot would be thin enough to break."""
THINNER = 0.6
"""Share of the widest drill that fits a slot, down to which a thinner one is tried."""
PILOT = 0.4
"""Share of the finish diameter that the pilot has: about the web of the larger drill."""


def nearest(diameter: float, kinds: tuple[str, ...]) -> Drill | None:
    """Return the drill of these kinds nearest to a diameter [mm], None beyond the largest by over 0.5 mm.

    Of two equally near the larger, since a hole for a shank or pin is better easy than tight.
    """
    among = [drill for drill in all_drills() if drill.kind in kinds]
    best = min(among, key=lambda drill: (round(abs(drill.diameter - diameter), 6), -drill.diameter))
    return best if abs(best.diameter - diameter) <= 0.5 else None


def largest_within(diameter: float, kinds: tuple[str, ...]) -> Drill | None:
    """Return the largest drill of these kinds no wider than `diameter` [mm], None where there is none."""
    among = [d for d in all_drills() if d.kind in kinds and d.diameter <= diameter + 1e-9]
    return among[-1] if among else None


def pilot(finish: float, kinds: tuple[str, ...]) -> Drill | None:
    """Return the pilot drill for a hole of a finish diameter [mm], None for a hole that takes none."""
    return None if finish <= NO_PILOT else nearest(finish * PILOT, kinds)


@dataclass(frozen=True)
class Row:
    """A row of holes to be filed out: the drill, and the holes' centres [mm] in order."""

    drill: Drill
    centres: tuple[Point, ...]

    @property
    def pitch(self) -> float:
        """Distance between neighbours [mm]; 0 for a single hole."""
        return math.dist(*self.centres[:2]) if len(self.centres) > 1 else 0.0


def row_along(
    start: Point, end: Point, width: float, units: str, *, from_hole: bool = False
) -> Row | None:
    """Return the row of holes that clears a slot `width` [mm] wide between two ends [mm], None if too small.

    The ends are the edges of the metal to be taken out, so the outermost holes stay a radius and `TO_FILE`
    inside them; the webs between the holes are at least `WEB`. With `from_hole` the start is the edge of a hole that
    is drilled before the row, and the first web is kept from that.
    """
    widest = largest_within(width - 2 * TO_FILE, kinds_for(units))
    if widest is None:
        return None
    run, lead = math.dist(start, end), WEB if from_hole else TO_FILE
    clear = run - lead - TO_FILE
    fitting = [
        (count, drill)
        for drill in all_drills()
        if drill.kind in kinds_for(units)
        and THINNER * widest.diameter <= drill.diameter <= widest.diameter
        if drill.diameter >= SMALLEST
        and (count := math.floor((clear + WEB) / (drill.diameter + WEB) + 1e-9)) >= 1
    ]
    if not fitting:
        return None
    # a thinner drill is worth while only where it takes more out
    count, drill = max(
        fitting, key=lambda pair: (pair[0] * pair[1].diameter ** 2, pair[1].diameter)
    )
    ux, uy = (end[0] - start[0]) / run, (end[1] - start[1]) / run
    first = lead + (clear if count == 1 else drill.diameter) / 2
    step = (clear - drill.diameter) / (count - 1) if count > 1 else 0.0
    places = [first + number * step for number in range(count)]
    return Row(drill, tuple((start[0] + ux * at, start[1] + uy * at) for at in places))
