"""What stops the bolt past each seat.

A bolt is on its seat by its detent alone; farther on something else has to stop it. The bolt is taken with its body
and its two legs, a guide with the metal below its slot; the slot lets the leg through. Of what goes through both plates
each is in the way that the bolt would strike. Drive frame.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from core.geometry.path import Point, polyline
from core.geometry.stretches import barred
from core.layout.drawing import Label, Mark, Measure, Stroke
from core.layout.frames import hand
from core.layout.layout import Layout, derived
from core.layout.part import Drawn, Part
from core.lock.stops import PLANNED
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt_contour import bolt, nose_face, notch_depth
from core.parts.bolt_lies import lies
from core.parts.discs import Disc, discs
from core.parts.free_room import solid
from core.parts.guide_places import Guide, front_guide, rear_guide
from core.parts.inner_wall import wall_left, wall_right
from core.parts.tooth import lobe, tooth

Seat = Literal["locked", "unlocked"]
SEATS: tuple[Seat, ...] = ("locked", "unlocked")
NOTHING, WALL = "nothing", "inner wall"
_FAR = 1e3
"""How far [mm] past a seat is looked for what stands in the way."""
_TICK = 1.2
"""Half the length of the mark in the drawing [mm]."""


Kind = Literal["guide face", "pin", "shackle", "wall", "none"]
"""What kind of thing stops a bolt: the words of the table `[stops]`, and the wall, which nobody chooses."""


@dataclass(frozen=True)
class EndStop:
    """What stops the bolt past a seat: `by` name, `distance` [mm] away, infinite for nothing, its face `at` a place.

    Faces that meet flat do so over an `area` [mm2]; a post is `sheared` [mm2] across, where it enters either plate.
    """

    kind: Kind
    by: str
    distance: float
    at: Point
    area: float | None = None
    sheared: float | None = None


@derived
def end_stops(layout: Layout) -> Mapping[Seat, EndStop]:
    """Return what stops the bolt past each seat: of all that is in its way, what it meets first.

    Of two that it meets at once it is the one that was chosen.
    """
    return {seat: _met_first(layout, seat) for seat in SEATS}


def _met_first(layout: Layout, seat: Seat) -> EndStop:
    chosen = kind_of(layout, seat)

    def away(stop: EndStop) -> float:
        return stop.distance - (SLACK if stop.kind == chosen else 0.0)

    return min(in_its_way(layout)[seat], key=away, default=_nothing(seat))


@derived
def in_its_way(layout: Layout) -> Mapping[Seat, tuple[EndStop, ...]]:
    """Return everything that stands in the bolt's way past each seat."""
    return {seat: (*_in_the_way(layout, seat), *_posts_in_the_way(layout, seat)) for seat in SEATS}


def kind_of(layout: Layout, seat: Seat) -> str:
    """Return what was chosen to stop the bolt past a seat."""
    stops = layout.lock.stops
    return stops.locked if seat == "locked" else stops.unlocked


def asked(layout: Layout, seat: Seat) -> float | None:
    """Return the over-travel [mm] that was asked for past a seat, None where none was."""
    stops = layout.lock.stops
    over: float = stops.locked_over if seat == "locked" else stops.unlocked_over
    return over if kind_of(layout, seat) in PLANNED else None


def _nothing(seat: Seat) -> EndStop:
    return EndStop("none", NOTHING, math.inf, (-math.inf if seat == "locked" else math.inf, 0.0))


def _in_the_way(layout: Layout, seat: Seat) -> Iterable[EndStop]:
    lock, cut, made = layout.lock, tooth(layout), bolt(layout)
    line, low = cut.bolt_line, side_bottom(layout)
    if seat == "locked":
        guide, way, moved = front_guide(layout), -1, 0.0
        body, tip, leg, wall_beside = -made.left, -made.nose_tip, lock.bolt.nose_height, wall_left
    else:
        guide, way, moved = rear_guide(layout), 1, cut.throw
        body, tip, leg, wall_beside = made.right, made.tail_end, lock.bolt.tail_height, wall_right

    def stop(
        kind: Kind, by: str, place: float | None, face: float, height: float,
        between: tuple[float, float] | None = None,
    ) -> Iterable[EndStop]:  # fmt: skip
        """Give what stands at a distance `place` from the centreline in the way of a face of the bolt."""
        if place is not None and math.isfinite(place):
            over = None if between is None else max(between[1] - between[0], 0.0)
            area = None if over is None else over * lock.bolt.thickness
            yield EndStop(kind, by, place - face - moved, (way * place, height), area)

    floor = floor_of(guide)
    if low < floor[1] - SLACK and floor[0] < line:
        meets = max(low, floor[0])
        yield from stop(
            "guide face", guide.name, guide.near, body, meets, (meets, min(floor[1], line - leg))
        )
    middle = line - leg / 2
    heights = (line - leg, line)
    yield from stop("wall", WALL, wall_beside(layout, *_order(way, heights), tip), tip, middle)
    yield from stop("wall", WALL, wall_beside(layout, *_order(way, (low, line)), body), body, low)
    if seat == "locked":
        face = nose_face(layout)
        ends = (max(low, line - lock.shackle.drop), line - leg)
        yield from stop("shackle", "shackle end", face, body, low, ends)
        if lock.shackle.catch == "notch" and notch_depth(lock) < lock.shackle.diameter:
            yield from stop(
                "shackle", "bottom of the notch", face + notch_depth(lock), tip, middle, heights
            )


def _posts_in_the_way(layout: Layout, seat: Seat) -> Iterable[EndStop]:
    """Give every disc that the bolt strikes past a seat: seen from the bolt, the disc comes towards it."""
    every = discs(layout)
    if not every:
        return
    edge, way = solid(bolt(layout).contour), -1 if seat == "locked" else 1
    moved = 0.0 if seat == "locked" else tooth(layout).throw
    back = lies(layout).motion.inverse()
    for disc in every:
        x, y = back.point(disc.at)
        place = (x - moved, y)
        bars = barred(edge, place, (-way * 1.0, 0.0), disc.radius, -_FAR, _FAR)
        # one that overlaps the bolt at its seat is struck before the seat
        ahead = next((bar for bar in bars if bar[1] > SLACK), None)
        if ahead is not None and math.isfinite(ahead[0]):
            yield _post(disc, ahead[0], way)


def _post(disc: Disc, distance: float, way: int) -> EndStop:
    # it goes through both plates, and shears across where it enters either
    sheared = 2 * math.pi * disc.radius**2
    (x, y), r = disc.at, disc.radius
    return EndStop("pin", disc.title, distance, (x - way * r, y), sheared=sheared)


def _order(way: int, heights: tuple[float, float]) -> tuple[float, float]:
    """Return heights as the wall beside is asked for; either order is right, and says the same."""
    return heights if way < 0 else heights[::-1]


def floor_of(guide: Guide) -> tuple[float, float]:
    """Return the heights between which a guide has metal in the bolt's way, below its slot."""
    return guide.bottom, guide.slot


def side_bottom(layout: Layout) -> float:
    """Return how far down [mm above the pivot] the outer sides of the bolt's body come."""
    beside = lobe(layout)
    if beside.relieved and beside.far <= beside.meets:
        return beside.relief_end[1]
    return tooth(layout).lower_edge


def stop_words(layout: Layout, stop: EndStop) -> str:
    """Return what stops the bolt, and after how far."""
    if stop.by == NOTHING:
        return NOTHING
    name = stop.by if stop.kind == "pin" else f"the {stop.by}"
    return f"{name}, after {layout.show(max(stop.distance, 0.0))}"


def blow_words(layout: Layout, stop: EndStop) -> str:
    """Return what takes the blow of a bolt that strikes its stop: over which face, or across which section."""
    if stop.sheared is not None:
        return f"sheared at both plates, {layout.show_area(stop.sheared)}"
    if stop.area is None:
        return "one edge of it"
    held = ", and its rivets" if stop.kind == "guide face" else ""
    return f"{layout.show_area(stop.area)} of its face{held}"


def _marks(layout: Layout) -> Iterable[Mark]:
    here = hand(layout)
    for seat, stop in end_stops(layout).items():
        wanted = asked(layout, seat)
        if wanted is not None:
            yield _over(layout, seat, wanted)
        if not math.isfinite(stop.distance):
            continue
        (x, y), way = stop.at, -1 if seat == "locked" else 1
        face = x - way * max(stop.distance, 0.0)
        ends = ((x, y - _TICK), (x, y + _TICK))
        yield Stroke(polyline([here.point(p) for p in ends]), "note", "end stops")
        if stop.distance > SLACK:
            yield Stroke(
                polyline([here.point(p) for p in ((face, y), (x, y))]), "note", "end stops"
            )
        text = f"stop {layout.show(max(stop.distance, 0.0))}"
        yield Label(here.point((x, y - 2 * _TICK)), text, "note", "end stops", 1.8)


def _over(layout: Layout, seat: Seat, over: float) -> Measure:
    """Return the over-travel as it was asked for, from the face of the bolt that is to meet the stop."""
    made, way = bolt(layout), -1 if seat == "locked" else 1
    chosen = [s for s in in_its_way(layout)[seat] if s.kind == kind_of(layout, seat)]
    if chosen:
        first = min(chosen, key=lambda stop: stop.distance)
        x, y = first.at[0] - way * first.distance, first.at[1]
    else:
        x = made.left if way < 0 else made.right + tooth(layout).throw
        y = side_bottom(layout)
    here = hand(layout)
    ends = here.point((x, y)), here.point((x + way * over, y))
    return Measure(*ends, layout.show(over), f"stops.{seat}_over", "end stops")


PART = Part(
    "end stops",
    87,
    drawn=(Drawn("end stops", "other"),),
    marks=_marks,
)
