"""Ends that the tooth sets to the windows of what it follows from: key radius and clearance, gap, bolt line.

Whatever part a stop is found by, its margin is worked out anew for many values at once, everything else as it stands,
and the first value at which one comes to nothing is looked for between two of them. So no stop that lies nearer than
another is passed over.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np

from core.geometry.halving import edge_by
from core.layout.codes import Code
from core.layout.layout import Layout
from core.layout.part import Part
from core.layout.windows import Bound, End
from core.lock.lock import spec_of
from core.mechanism.lobe import Lobe
from core.mechanism.maths import Array, Number, maths
from core.mechanism.narrow_gap import gap_needed
from core.mechanism.tooth_numbers import SLACK, ToothOf, tooth_from
from core.parts.bolt import BOLT_AT_SHANK, NOSE_TOO_SHORT
from core.parts.bolt_contour import nose_face
from core.parts.bolt_line import BRIDGE_THIN, SPRING_ROOM
from core.parts.detent_limits import NOTCH_TOO_DEEP, metal_below
from core.parts.guide_places import Guide, front_guide, rear_guide, tail_room
from core.parts.guides import AT_BODY, IN_KEY_CIRCLE, NOSE_LEAVES_GUIDE, TAIL_HITS_WALL
from core.parts.inner_wall import wall_left, wall_right
from core.parts.key import KEY_HITS_WALL
from core.parts.notches import reach
from core.parts.plate import far_from, wall_distance
from core.parts.shackle import IN_KEY_CIRCLE as SHACKLE_IN_KEY_CIRCLE
from core.parts.strip import notch, notch_within
from core.parts.tooth import tooth
from core.parts.tooth_limits import FOOT_AT_SHANK, HOME_TRAVEL, KEY_FOULS_BOLT, NO_DRIVE, NO_TOOTH

_LOOKS = 120
"""Values looked at to either side."""
_FARTHEST = 60.0
"""How far [mm] from its value a dimension is followed."""
RADIUS, CLEARANCE, GAP, LINE = PATHS = (
    "key.radius", "fit.key_clearance", "shackle.gap", "bolt_line.height",
)  # fmt: skip


@dataclass(frozen=True)
class _At:
    """A lock at one value of a dimension, or at many: what moves with it [mm], of one shape."""

    relief: Any
    clearance: Any
    gap: Any
    line: Any
    cut: ToothOf[Any]


@dataclass(frozen=True)
class _Limit:
    """What has to be `spare` [mm], less than nothing of which is found for a `code`; `by` says it beside an end."""

    by: str
    code: Code
    spare: Callable[[_At], Any]


def _at(layout: Layout, path: str, value: Number) -> _At:
    lock = layout.lock
    given: dict[str, Any] = {
        RADIUS: lock.key.radius, CLEARANCE: lock.fit.key_clearance, GAP: lock.shackle.gap,
        LINE: lock.bolt_line.height, path: value,
    }  # fmt: skip
    cut: ToothOf[Any] = tooth_from(
        radius=given[RADIUS], bit=lock.key.bit_thickness, clearance=given[CLEARANCE],
        throw=lock.shackle.engagement + given[GAP], pickup_angle=math.radians(lock.tooth.pickup_angle),
        bolt_line=given[LINE], depth=lock.bolt.depth,
    )  # fmt: skip
    return _At(given[RADIUS] + given[CLEARANCE], given[CLEARANCE], given[GAP], given[LINE], cut)


def _limits(layout: Layout, path: str) -> tuple[_Limit, ...]:
    lock, face = layout.lock, nose_face(layout)
    width, slide = lock.bolt.lobe_width, lock.fit.slide_clearance
    front, rear = front_guide(layout), rear_guide(layout)
    found = [*_of_tooth(layout), *_of_notches(layout)]
    if path != LINE:
        room = tail_room(layout) + tooth(layout).throw - rear.near
        heights = (
            lock.bolt_line.height,
            lock.bolt_line.height + max(lock.bolt_line.spring_room, SLACK),
        )
        left = far_from(wall_left(layout, *heights, 0.0)) - width
        right = far_from(wall_right(layout, *heights, 0.0)) - width
        found += [
            _Limit(
                "the tail at the inner wall, drawn back", TAIL_HITS_WALL,
                lambda at: room - (lock.shackle.engagement + at.gap),
            ),
            _Limit(
                "the spring room under the inner wall", SPRING_ROOM,
                lambda at: maths(at.cut.radius).smaller(
                    left - at.cut.flank, right - at.cut.pickup_offset - at.cut.throw
                ),
            ),
        ]  # fmt: skip
    return (
        *found,
        _Limit(
            "the bolt's body at the front guide", AT_BODY.of(front.name),
            lambda at: front.near - at.cut.flank - width - slide,
        ),
        _Limit(
            "the bolt's body at the rear guide", AT_BODY.of(rear.name),
            lambda at: rear.near - at.cut.pickup_offset - at.cut.throw - width - slide,
        ),
        *(
            _Limit(f"the {guide.name}", IN_KEY_CIRCLE.of(guide.name), _beside(layout, guide))
            for guide in (front, rear)
        ),
        _Limit(
            "the shackle's end", SHACKLE_IN_KEY_CIRCLE,
            lambda at: _away(at, face, at.line - lock.shackle.drop),
        ),
        _Limit(
            "the end of the nose", NOSE_TOO_SHORT,
            lambda at: face + lock.shackle.engagement - at.cut.flank - width,
        ),
        _Limit(
            "the nose, drawn back", NOSE_LEAVES_GUIDE, lambda at: face - at.gap - front.near - SLACK
        ),
    )  # fmt: skip


def _of_tooth(layout: Layout) -> Iterable[_Limit]:
    lock, wall, drawn = layout.lock, float(wall_distance(layout)), reach(layout)
    along, now = lock.detent.kind == "stop and spring", tooth(layout)

    def where(asked: Any, spare: Any, fits_now: bool) -> Any:
        # what sets an end before there is no tooth, or none that is driven, lies no farther out than that
        return maths(spare).where(asked, spare, -1.0 if fits_now else math.inf)

    def room(at: _At) -> Any:
        lobe = Lobe(at.cut, lock.bolt.lobe_width, lock.bolt.lobe_chamfer)
        return where(at.cut.drives, at.cut.gap_width - gap_needed(lobe), now.drives)

    def foot(at: _At) -> Any:
        return where(at.cut.fits, at.cut.relief_foot - lock.key.shank / 2 - at.clearance, now.fits)

    # of ends at one place the first is named: without a drive nothing is said of what it would leave
    yield _Limit(
        "a gap with two flanks", NO_TOOTH,
        lambda at: maths(at.cut.radius).where(at.cut.fits, 1.0, -1.0),
    )  # fmt: skip
    yield _Limit(
        "the bit on its flank", NO_DRIVE,
        lambda at: maths(at.cut.radius).where(at.cut.drives, 1.0, -1.0),
    )  # fmt: skip
    yield _Limit("the gap, in which the bit has to turn", KEY_FOULS_BOLT, room)
    yield _Limit(
        "how far the detent draws the bolt home", HOME_TRAVEL,
        lambda at: where(at.cut.drives, (at.gap if along else drawn) - at.cut.home_travel, now.drives),
    )  # fmt: skip
    yield _Limit("the flanks' foot clear of the shank", FOOT_AT_SHANK, foot)
    yield _Limit("the inner wall", KEY_HITS_WALL, lambda at: wall - at.relief)
    yield _Limit(
        "the least bridge", BRIDGE_THIN, lambda at: at.line - at.relief - lock.fit.bridge_min
    )
    yield _Limit(
        "the key's shank", BOLT_AT_SHANK,
        lambda at: at.line - lock.bolt.depth - lock.key.shank / 2 - at.clearance,
    )  # fmt: skip


def _of_notches(layout: Layout) -> Iterable[_Limit]:
    """Yield what notches leave of the bolt, whose gap, legs and body move under them."""
    lock, width = layout.lock, layout.lock.bolt.lobe_width
    if notch(layout) is None:
        return
    tip = -nose_face(layout) - lock.shackle.engagement

    def left(at: _At) -> Any:
        of = maths(at.cut.radius)
        sides = -at.cut.flank - width, at.cut.pickup_offset + width
        edge = of.smaller(tip, sides[0]), of.larger(rear_guide(layout).far, sides[1])
        form = notch_within(lock, at.cut.throw)
        return metal_below(layout, form, at.cut, edge, sides) - lock.fit.bridge_min

    yield _Limit("the least metal below a notch", NOTCH_TOO_DEEP, left)


def _beside(layout: Layout, guide: Guide) -> Callable[[_At], Any]:
    line = layout.lock.bolt_line.height

    def spare(at: _At) -> Any:
        of = maths(at.cut.radius)
        low, top = guide.bottom - line + at.line, guide.top - line + at.line
        return _away(at, guide.near, of.larger(of.larger(low, -top), 0.0))

    return spare


def _away(at: _At, out: float, high: Any) -> Any:
    """Return how far [mm] a corner so far out, and so high where that is above the pivot, is from the key's circle."""
    of = maths(at.cut.radius)
    return of.sqrt(max(out, 0.0) ** 2 + of.larger(high, 0.0) ** 2) - at.relief


def _bounds(layout: Layout) -> Iterable[Bound]:
    for path in PATHS:
        yield from _of_path(layout, path)


def _of_path(layout: Layout, path: str) -> Iterable[Bound]:
    if path not in PATHS:
        return
    now, spec = float(layout.lock.value(path)), spec_of(path)
    low = max(spec.low, now - _FARTHEST)
    if path == RADIUS:
        low = max(low, layout.lock.key.bit_thickness / 2 + SLACK)
    below = np.linspace(min(low, now), now, _LOOKS, endpoint=False)
    looks = np.concatenate([below, np.linspace(now, min(now + _FARTHEST, spec.high), _LOOKS)])
    at, here = _at(layout, path, looks), len(below)
    limits = _limits(layout, path)
    fits = [_good(limit.spare(at), looks) for limit in limits]
    stretches = [_stretch(good, here) for good in fits]
    for side, way in (("low", 0), ("high", 1)):
        ends = [
            stretch[way]
            for stretch, good in zip(stretches, fits, strict=True)
            if stretch is not None and good[here]
        ]
        # the nearest end of all is what counts; of those that are passed now, each by itself
        nearest = (max if way == 0 else min)(ends, default=None)
        for limit, good, stretch in zip(limits, fits, stretches, strict=True):
            if stretch is None or (
                good[here] and nearest is not None and abs(stretch[way] - nearest) > 1
            ):
                continue
            inside, outside = stretch[way], stretch[way] + (1 if way else -1)
            if 0 <= outside < len(looks):
                yield _bound(layout, path, limit, side, looks[inside], looks[outside])  # type: ignore[arg-type]


def _good(spare: Any, looks: Array) -> Any:
    """Say at which of `looks` there is something spare; where there is no such thing there is."""
    return ~(np.broadcast_to(np.asarray(spare, dtype=float), looks.shape) < -SLACK)


def _stretch(good: Any, here: int) -> tuple[int, int] | None:
    """Return the first and the last of the places that are good, about `here` or nearest to it; None for none."""
    places = np.flatnonzero(good)
    if not len(places):
        return None
    first = last = int(places[np.argmin(np.abs(places - here))])
    while first > 0 and good[first - 1]:
        first -= 1
    while last + 1 < len(good) and good[last + 1]:
        last += 1
    return first, last


def _bound(
    layout: Layout, path: str, limit: _Limit, end: End, inside: float, outside: float
) -> Bound:
    def spare(value: float) -> float:
        return float(limit.spare(_at(layout, path, value)))

    value = edge_by(spare, float(inside), float(outside))
    return Bound(path, end, value, limit.by, limit.code)


PART = Part("drive ends", 88, bounds=_bounds, bounds_at=_of_path)
