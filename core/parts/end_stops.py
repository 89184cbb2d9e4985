"""What stops the bolt past each seat.

A bolt is on its seat by its detent alone; farther on something else has to stop it. The bolt is taken with its body
and its two legs, a guide with the metal below its slot; the slot lets the leg through. Drive frame.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from core.geometry.path import Point, polyline
from core.layout.drawing import Label, Mark, Stroke
from core.layout.frames import hand
from core.layout.layout import Layout, derived
from core.layout.part import Drawn, Part
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt_contour import bolt, nose_face
from core.parts.guide_places import Guide, front_guide, rear_guide
from core.parts.plate import wall_left, wall_right
from core.parts.tooth import lobe, tooth

Seat = Literal["locked", "unlocked"]
SEATS: tuple[Seat, ...] = ("locked", "unlocked")
NOTHING = "nothing"
_TICK = 1.2
"""Half the length of the mark in the drawing [mm]."""


@dataclass(frozen=True)
class EndStop:
    """What stops the bolt past a seat: `by` name, `distance` [mm] away, infinite for nothing, its face `at` a place."""

    by: str
    distance: float
    at: Point


@derived
def end_stops(layout: Layout) -> Mapping[Seat, EndStop]:
    """Return what stops the bolt past each seat: of all that is in its way, what it meets first."""
    return {
        seat: min(_in_the_way(layout, seat), key=lambda stop: stop.distance, default=_nothing(seat))
        for seat in SEATS
    }


def _nothing(seat: Seat) -> EndStop:
    return EndStop(NOTHING, math.inf, (-math.inf if seat == "locked" else math.inf, 0.0))


def _in_the_way(layout: Layout, seat: Seat) -> Iterable[EndStop]:
    lock, cut, made = layout.lock, tooth(layout), bolt(layout)
    line, low = cut.bolt_line, side_bottom(layout)
    if seat == "locked":
        guide, way, moved = front_guide(layout), -1, 0.0
        body, tip, leg, wall_beside = -made.left, -made.nose_tip, lock.bolt.nose_height, wall_left
    else:
        guide, way, moved = rear_guide(layout), 1, cut.throw
        body, tip, leg, wall_beside = made.right, made.tail_end, lock.bolt.tail_height, wall_right

    def stop(by: str, place: float | None, face: float, height: float) -> Iterable[EndStop]:
        """Give what stands at a distance `place` from the centreline in the way of a face of the bolt."""
        if place is not None and math.isfinite(place):
            yield EndStop(by, place - face - moved, (way * place, height))

    floor = floor_of(guide, line)
    if low < floor[1] - SLACK and floor[0] < line:
        yield from stop(guide.name, guide.near, body, max(low, floor[0]))
    middle = line - leg / 2
    heights = (line - leg, line)
    yield from stop("inner wall", wall_beside(layout, *_order(way, heights), tip), tip, middle)
    yield from stop("inner wall", wall_beside(layout, *_order(way, (low, line)), body), body, low)
    if seat == "locked":
        face = nose_face(layout)
        yield from stop("shackle end", face, body, low)
        if lock.shackle.catch == "notch" and lock.shackle.engagement < lock.shackle.diameter:
            # the notch is as deep as the nose goes in
            yield from stop("bottom of the notch", face + lock.shackle.engagement, tip, middle)


def _order(way: int, heights: tuple[float, float]) -> tuple[float, float]:
    """Return heights as the wall beside is asked for; either order is right, and says the same."""
    return heights if way < 0 else heights[::-1]


def floor_of(guide: Guide, line: float) -> tuple[float, float]:
    """Return the heights between which a guide has metal in the bolt's way, below its slot."""
    slot = line - guide.leg - (guide.top - line)
    return guide.bottom, slot


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
    return f"the {stop.by}, after {layout.show(max(stop.distance, 0.0))}"


def _marks(layout: Layout) -> Iterable[Mark]:
    here = hand(layout)
    for seat, stop in end_stops(layout).items():
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


PART = Part(
    "end stops",
    87,
    drawn=(Drawn("end stops", "other"),),
    marks=_marks,
)
