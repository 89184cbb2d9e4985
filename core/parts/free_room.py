"""What must stay clear between the plates, and where a disc through both of them may stand.

A disc is *clear* of a thing where its middle is at least its radius, and what else is to be kept, away from it.
Everything is in the drive frame [mm].
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.geometry.path import Path, Point, Points, polyline
from core.geometry.polygons import polygon
from core.geometry.stretches import Obstacle, barred, free_stretch, round_obstacle, swept
from core.layout.codes import Code, Family
from core.layout.findings import Finding
from core.layout.frames import hand, to_drive
from core.layout.layout import Layout, derived
from core.layout.windows import Bound
from core.lock.row import RowKind
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt_contour import bolt, bolt_area, nose_face
from core.parts.bolt_lies import lies
from core.parts.discs import Disc, discs, discs_of
from core.parts.guide_places import Guide, front_guide, rear_guide
from core.parts.plate import plate_area, plate_outline
from core.parts.tooth import tooth
from core.text import capital
from core.units import INCH

GRID = 1.0
"""Step [mm] in which a place for a new one is looked for."""
LOOKS = 201
"""Places along a line that are looked at, for a new one or for where least is lacking when nothing fits."""


IN_KEY_CIRCLE = Family(
    "{}-in-key-circle", "stop", "", "On its way round the bit would strike a {}, so the key could not turn."
)  # fmt: skip
IN_BOLT = Family(
    "{}-in-bolt", "stop", "", "On its way from seat to seat the bolt would strike a {}, and stop there."
)  # fmt: skip
IN_SHACKLE = Family(
    "{}-in-shackle", "stop", "", "A {} stands where the shackle's end comes down, so the lock could not be shut."
)  # fmt: skip
IN_FRONT_GUIDE = Family(
    "{}-in-front-guide", "stop", "", "A {} and the front guide want the same place."
)
IN_REAR_GUIDE = Family(
    "{}-in-rear-guide", "stop", "", "A {} and the rear guide want the same place."
)
OUTSIDE_WALL = Family(
    "{}-outside-wall", "stop", "", "Part of a {} would stand in the rim or off the plate."
)
IN_ANOTHER = Family(
    "{}-in-another", "stop", "", "A {} and another part that goes through both plates want the same place."
)  # fmt: skip
FAMILIES = (
    IN_KEY_CIRCLE, IN_BOLT, IN_SHACKLE, IN_FRONT_GUIDE, IN_REAR_GUIDE, OUTSIDE_WALL, IN_ANOTHER,
)  # fmt: skip


def disc_codes(kind: RowKind) -> tuple[Code, ...]:
    """Return all that can be found of the rows of one kind."""
    return tuple(code_of(family, kind) for family in FAMILIES)


def code_of(family: Family, kind: RowKind) -> Code:
    """Return the code of a family for rows of one kind; `about` names the row."""
    return family.of(kind.singular).at(kind.plural)


@dataclass(frozen=True)
class Thing:
    """What a disc must be clear of: by its radius and `more` [mm].

    `family` is that of its codes, or `pair` the code of two discs that want one place. `by` names the thing
    for a window, and `said` tells of a disc that is not clear, with `{off}` for what is lacking.
    """

    family: Family
    by: str
    said: str
    obstacle: Obstacle
    more: float = 0.0
    pair: Code | None = None

    def spare(self, points: Points) -> NDArray[np.float64]:
        """Return how much farther than `more` [mm] points, shape (n, 2), are from the thing, shape (n,)."""
        return self.obstacle.distance(points) - self.more

    def code(self, disc: Disc) -> Code:
        """Return what a disc that is not clear of it is found for."""
        return self.pair or code_of(self.family, disc.kind).about(disc.name)


@derived
def things(layout: Layout) -> tuple[Thing, ...]:
    """Return what any disc must be clear of; other discs are not among it."""
    lock = layout.lock
    found = [
        Thing(
            IN_KEY_CIRCLE, "the key's circle", "stands {off} inside the key's circle with its clearance",
            round_obstacle((0.0, 0.0), tooth(layout).relief_radius),
        ),
        Thing(
            IN_BOLT, "the bolt", "stands in the way of the bolt by {off}", _bolt_swept(layout),
            lock.fit.slide_clearance,
        ),
        Thing(IN_SHACKLE, "the shackle", "stands in the way of the shackle by {off}", _shackle(layout)),
        Thing(
            OUTSIDE_WALL, "the inner wall", "reaches {off} outside the inner wall", _outside(layout),
            lock.plate.rim,
        ),
    ]  # fmt: skip
    for family, guide in _guides(layout):
        near, far = guide.side * guide.near, guide.side * guide.far
        block = solid(_box(near, guide.bottom, far, guide.top))
        found.append(
            Thing(family, f"the {guide.name}", f"stands {{off}} inside the {guide.name}", block)
        )
    return tuple(found)


def _guides(layout: Layout) -> tuple[tuple[Family, Guide], ...]:
    return ((IN_FRONT_GUIDE, front_guide(layout)), (IN_REAR_GUIDE, rear_guide(layout)))


def things_beside(layout: Layout, disc: Disc) -> tuple[Thing, ...]:
    """Return everything that one disc must be clear of, the other discs among it."""
    found = [*things(layout)]
    every = discs(layout)
    for other in every:
        if other != disc:
            # one finding for the two of them, of the first
            first, second = sorted((disc, other), key=every.index)
            code = code_of(IN_ANOTHER, first.kind).about(first.name, second.code)
            said = f"and {other.title} stand {{off}} inside each other"
            obstacle = round_obstacle(other.at, other.radius)
            found.append(Thing(IN_ANOTHER, other.title, said, obstacle, pair=code))
    return tuple(found)


def solid(edge: Path) -> Obstacle:
    """Return what lies inside a closed path [mm] as an obstacle."""
    area = polygon(edge)

    def inside(points: Points) -> NDArray[np.bool_]:
        return np.asarray(shapely.contains_xy(area, points))

    return Obstacle(edge, inside)


def _box(x0: float, y0: float, x1: float, y1: float) -> Path:
    return polyline(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True)


def _bolt_swept(layout: Layout) -> Obstacle:
    """Return all that the bolt runs over, from seat to seat."""
    throw, area, there = tooth(layout).throw, bolt_area(layout), lies(layout).motion

    def inside(points: Points) -> NDArray[np.bool_]:
        # the bolt moves to +x past the disc: seen from the bolt, the disc moves to -x
        here = there.inverse().points(points)
        back = here - np.array([throw, 0.0])
        ways = shapely.linestrings(np.stack([back, here], axis=1))
        return np.asarray(shapely.intersects(area, ways))

    return Obstacle(there.path(swept(bolt(layout).contour, throw)), inside)


def _shackle(layout: Layout) -> Obstacle:
    """Return the free end, and the leg above it by which it comes down, up to the top of the plate."""
    shackle, line, face = layout.lock.shackle, layout.lock.bolt_line.height, nose_face(layout)
    top = max(_outline(layout).bounds()[3], line)
    return solid(_box(-face - shackle.diameter, line - shackle.drop, -face, top))


def _outside(layout: Layout) -> Obstacle:
    """Return everything outside the plate; the rim is kept from its edge besides."""
    return _beyond(_outline(layout), shapely.transform(plate_area(layout), to_drive(layout).points))


@derived
def plate_outside(layout: Layout) -> Obstacle:
    """Return everything outside the plate, in the plate frame [mm]."""
    return _beyond(plate_outline(layout).path, plate_area(layout))


def _beyond(edge: Path, area: BaseGeometry) -> Obstacle:
    def inside(points: Points) -> NDArray[np.bool_]:
        return np.asarray(~shapely.contains_xy(area, points))

    return Obstacle(edge, inside)


@derived
def _outline(layout: Layout) -> Path:
    return to_drive(layout).path(plate_outline(layout).path)


# what is said of discs


def room(layout: Layout, disc: Disc) -> tuple[float, Thing]:
    """Return how much room [mm] is left round a disc, negative where it is not clear, and what is nearest."""
    here = np.array([disc.at])
    found = [(float(t.spare(here)[0]) - disc.radius, t) for t in things_beside(layout, disc)]
    return min(found, key=lambda pair: pair[0])


def disc_findings(layout: Layout, kind: RowKind) -> Iterable[Finding]:
    """Yield a finding for everything that a row of one kind is not clear of; of two rows one for both."""
    every = discs(layout)
    for disc in discs_of(layout, kind):
        for thing in things_beside(layout, disc):
            spare = float(thing.spare(np.array([disc.at]))[0])
            earlier = any(thing.by == other.title for other in every[: every.index(disc)])
            if spare >= disc.radius - SLACK or earlier:
                continue
            said = thing.said.format(off=layout.show(disc.radius - spare))
            if thing.family is IN_BOLT:
                said += _when(layout, disc, thing.more)
            text = f"{capital(disc.title)} {said}."
            need = disc.radius + thing.more
            yield thing.code(disc).found(text, spare + thing.more, need)


def _when(layout: Layout, disc: Disc, clearance: float) -> str:
    """Return at which seats the bolt meets a disc."""
    need, still = disc.radius + clearance - SLACK, solid(bolt(layout).contour)
    x, y = lies(layout).motion.inverse().point(disc.at)
    seats = (("locked", 0.0), ("unlocked", tooth(layout).throw))
    met = [name for name, travel in seats if still.distance(np.array([[x - travel, y]]))[0] < need]
    return f", {' and '.join(met)}" if met else ", between its seats"


def disc_bounds(layout: Layout, kind: RowKind) -> Iterable[Bound]:
    """Yield what fits at the place and the diameter of every row of one kind, and beside it.

    A place may lie anywhere in the free stretch that holds it, or that is nearest.
    """
    for disc in discs_of(layout, kind):
        beside = things_beside(layout, disc)
        for key, along in zip(kind.place or (), ((1.0, 0.0), (0.0, 1.0)), strict=True):
            yield from _place_bounds(layout, disc, beside, key, along)
        here = np.array([disc.at])
        spare, thing = min(((float(t.spare(here)[0]), t) for t in beside), key=lambda pair: pair[0])
        yield Bound(disc.path(kind.hole), "high", max(2 * spare, 0.0), thing.by, thing.code(disc))
        yield from _bounds_beside(layout, disc)


def _bounds_beside(layout: Layout, disc: Disc) -> Iterable[Bound]:
    """Yield what a disc leaves to the key's circle, to either guide, and to the tail, which ends at one of them."""
    (x, y), r, lock = disc.at, disc.radius, layout.lock
    most = math.hypot(x, y) - r - lock.fit.key_clearance
    in_circle = code_of(IN_KEY_CIRCLE, disc.kind).about(disc.name)
    yield Bound("key.radius", "high", max(most, 0.0), disc.title, in_circle)
    for family, guide in _guides(layout):
        path = f"{guide.table}.from_centreline"
        beside = max(guide.bottom - y, y - guide.top, 0.0)
        if beside < r:
            half = math.sqrt(r * r - beside * beside)
            low, high = guide.side * x - half - guide.values.width, guide.side * x + half
            code = code_of(family, disc.kind).about(disc.name)
            # it stands on the near side of the disc, or beyond it, whichever is less far off
            if low > 0 and guide.near - low < high - guide.near:
                yield Bound(path, "high", low, disc.title, code)
            elif high > 0:
                yield Bound(path, "low", high, disc.title, code)
    line, reach = lock.bolt_line.height, r + lock.fit.slide_clearance
    beside = max(line - lock.bolt.tail_height - y, y - line, 0.0)
    if beside < reach and x > bolt(layout).right + tooth(layout).throw:
        room_left = x - math.sqrt(reach * reach - beside * beside) - tooth(layout).throw
        most = room_left - lock.rear_guide.width
        in_bolt = code_of(IN_BOLT, disc.kind).about(disc.name)
        yield Bound("rear_guide.from_centreline", "high", most, disc.title, in_bolt)


End = tuple[float, Thing]


def _place_bounds(
    layout: Layout, disc: Disc, beside: Sequence[Thing], key: str, along: Point
) -> Iterable[Bound]:
    left, bottom, right, top = _outline(layout).bounds()
    (x, y), level = disc.at, along[0] > 0
    start, now = ((0.0, y), x) if level else ((x, 0.0), y)
    ends = (left, right) if level else (bottom, top)
    # it begins and ends outside the plate, where the wall bars it
    low, high = min(*ends, now) - 1.0, max(*ends, now) + 1.0
    bars = [barred(t.obstacle, start, along, disc.radius + t.more, low, high) for t in beside]
    stretch = free_stretch(bars, now)
    if stretch is None:
        least, most = _lacking(disc, beside, start, along, (low, high))
    else:
        least = (stretch.low, beside[stretch.low_by])
        most = (stretch.high, beside[stretch.high_by])
    if level and hand(layout).mirrors:
        least, most = (-most[0], most[1]), (-least[0], least[1])
    yield Bound(disc.path(key), "low", least[0], least[1].by, least[1].code(disc))
    yield Bound(disc.path(key), "high", most[0], most[1].by, most[1].code(disc))


def _lacking(
    disc: Disc, beside: Sequence[Thing], start: Point, along: Point, within: tuple[float, float]
) -> tuple[End, End]:
    """Return the ends for a line on which nothing fits: crossed, half of what is lacking on either side.

    They are about the place, among those looked at, where least is lacking, and named after what lacks most there.
    """
    places = np.linspace(*within, LOOKS)
    points = np.array(start) + places[:, None] * np.array(along)
    lack = disc.radius - np.array([thing.spare(points) for thing in beside])
    best = int(np.argmin(lack.max(axis=0)))
    first, second = (int(k) for k in np.argsort(-lack[:, best])[:2])
    half = max(float(lack[first, best]), SLACK) / 2
    # half of what is lacking farther on, what the end is named after is still in the way
    other = second if lack[second, best] >= half else first
    return (float(places[best]) + half, beside[first]), (float(places[best]) - half, beside[other])


def roomiest(layout: Layout) -> Point:
    """Return the place with most room left round it, as far as a coarse look tells, in the mechanism frame [mm].

    It lies on whole steps of a rule: of `GRID` or of a sixteenth of an inch, of several on a plate as large as a door.
    """
    left, bottom, right, top = _outline(layout).bounds()
    step = float(INCH) / 16 if layout.lock.units == "in" else GRID
    step *= math.ceil(max(right - left, top - bottom) / (step * LOOKS))
    xs, ys = (
        step * np.arange(math.ceil(low / step), math.floor(high / step) + 1)
        for low, high in ((left, right), (bottom, top))
    )
    points = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    if not len(points):
        return (0.0, 0.0)
    spares = [thing.spare(points) for thing in things(layout)]
    spares += [np.hypot(*(points - disc.at).T) - disc.radius for disc in discs(layout)]
    best = points[int(np.argmax(np.min(spares, axis=0)))]
    x, y = hand(layout).point((float(best[0]), float(best[1])))
    return round(x, 9) + 0.0, round(y, 9) + 0.0
