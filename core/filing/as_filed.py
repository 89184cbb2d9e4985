"""Key and bolt as they stand while they are filed: from readings at the bench, with what the key then carries.

Everything in the drive frame [mm], the bolt at its locked seat, the pivot at (0, 0). What was not measured counts as
finished to plan; but where a foot was measured and no flank, the flanks count as full, since they are filed after it.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from core.layout.layout import Layout
from core.mechanism.actual import ActualParts, Carried, carried
from core.mechanism.law import STROKES, Stroke
from core.parts.bolt_contour import bolt
from core.parts.tooth import tooth


@dataclass(frozen=True)
class Measure:
    """Something to measure while filing: its name, part and label, how it is measured, and its finished size [mm].

    `full` is the size that it has with everything left on.
    """

    name: str
    part: str
    label: str
    how: str
    finished: Callable[[Layout], float]
    full: Callable[[Layout], float]


def _bridge(layout: Layout) -> float:
    return tooth(layout).bolt_line - tooth(layout).relief_radius


def _foot(layout: Layout) -> float:
    return tooth(layout).bolt_line - tooth(layout).flank_foot


def _nose(layout: Layout) -> float:
    return bolt(layout).left - bolt(layout).nose_tip


def _plus(
    finished: Callable[[Layout], float], path: str, times: float = 1.0
) -> Callable[[Layout], float]:
    return lambda layout: finished(layout) + times * layout.lock.value(path)


def _at(path: str) -> Callable[[Layout], float]:
    return lambda layout: float(layout.lock.value(path))


def _full_foot(layout: Layout) -> float:
    """Return the depth of a foot with relief, flank and lower edge left full [mm]."""
    cut, left = tooth(layout), layout.lock.filing
    away = max(cut.flank - left.flanks, 0.0)
    on_relief = math.sqrt(max((cut.relief_radius - left.relief) ** 2 - away**2, 0.0))
    return cut.bolt_line - max(on_relief, cut.lower_edge - left.lower_edge)


MEASURES: tuple[Measure, ...] = (
    Measure("nose-height", "bolt", "height of the nose", "Calliper across the leg, top edge to underside.",
            _at("bolt.nose_height"), _plus(_at("bolt.nose_height"), "filing.legs")),
    Measure("tail-height", "bolt", "height of the tail", "Calliper across the leg, top edge to underside.",
            _at("bolt.tail_height"), _plus(_at("bolt.tail_height"), "filing.legs")),
    Measure("depth", "bolt", "depth of the bolt", "Calliper across the body, top edge to lower edge.",
            _at("bolt.depth"), _plus(_at("bolt.depth"), "filing.lower_edge")),
    Measure("front-floor", "front_guide", "floor of the front guide", "Calliper below the slot.",
            _at("front_guide.floor"), _plus(_at("front_guide.floor"), "filing.guide_floors")),
    Measure("rear-floor", "rear_guide", "floor of the rear guide", "Calliper below the slot.",
            _at("rear_guide.floor"), _plus(_at("rear_guide.floor"), "filing.guide_floors")),
    Measure("bridge", "bolt", "bridge", "Calliper from the top edge down to the roof of the gap, at its thinnest.",
            _bridge, _plus(_bridge, "filing.relief")),
    Measure("unlocking-foot", "bolt", "foot of the unlocking flank",
            "Calliper from the top edge down to where the flank ends below.", _foot, _full_foot),
    Measure("locking-foot", "bolt", "foot of the locking flank",
            "Calliper from the top edge down to where the flank ends below.", _foot, _full_foot),
    Measure("radius", "key", "key radius", "From the middle of the shank to the bit's corners.",
            _at("key.radius"), _plus(_at("key.radius"), "filing.bit_tip")),
    Measure("bit", "key", "thickness of the bit", "Calliper across the bit, near its corners.",
            _at("key.bit_thickness"), _plus(_at("key.bit_thickness"), "filing.bit_faces")),
    Measure("gap", "bolt", "gap", "Inside jaws, flank to flank.",
            lambda at: tooth(at).gap_width, _plus(lambda at: tooth(at).gap_width, "filing.flanks", -2.0)),
    Measure("unlocking-lobe", "bolt", "lobe at the unlocking flank", "Calliper from the flank to the body's tail side.",
            _at("bolt.lobe_width"), _plus(_at("bolt.lobe_width"), "filing.flanks")),
    Measure("locking-lobe", "bolt", "lobe at the locking flank", "Calliper from the flank to the body's nose side.",
            _at("bolt.lobe_width"), _plus(_at("bolt.lobe_width"), "filing.flanks")),
    Measure("nose", "bolt", "length of the nose", "Calliper or rule from the body's nose side to the tip.",
            _nose, _plus(_nose, "filing.nose_tip")),
)  # fmt: skip
"""What can be measured, in the order of filing: guides and outside, then relief before bit before flanks, then nose."""
NAMES = tuple(measure.name for measure in MEASURES)


def metal(name: str, reading: float) -> float:
    """Return a reading [mm] of a measure so that more of it is more metal: a gap grows by filing, all else shrinks."""
    return -reading if name == "gap" else reading


def measure_called(name: str) -> Measure:
    """Return a measure by its name; KeyError for one that there is none of."""
    return next((m for m in MEASURES if m.name == name), None) or _none(name)


def _none(name: str) -> Measure:
    raise KeyError(name)


@dataclass(frozen=True)
class AsFiled:
    """The sizes that the key's work depends on, as they stand [mm].

    `unlocking_flank` and `locking_flank` are x, the feet heights above the pivot, `roof` and the `*_relief` radii about
    the pivot at the seat concerned, `lower_edge` a height, `lift` how far the bolt stands above its line.
    """

    throw: float
    radius: float
    bit: float
    unlocking_flank: float
    locking_flank: float
    unlocking_foot: float
    locking_foot: float
    unlocking_relief: float
    locking_relief: float
    roof: float
    lower_edge: float
    lift: float = 0.0

    @property
    def room(self) -> float:
        """The largest key [mm] that goes round without touching roof, relief or a flank's foot.

        What lifts the bolt is filed off before the key is; a bolt below its line comes to stay there.
        """
        down, away_u, away_l = (
            min(self.lift, 0.0),
            self.unlocking_flank + self.throw,
            -self.locking_flank,
        )
        feet = ((away_u, self.unlocking_foot), (away_l, self.locking_foot))
        return min(self.roof + down, *(math.hypot(away, foot + down) for away, foot in feet))

    def carries(self, stroke: Stroke) -> Carried[float]:
        """Return what the key does in a stroke."""
        parts = ActualParts(
            radius=self.radius, bit=self.bit, throw=self.throw, unlocking_flank=self.unlocking_flank,
            unlocking_foot=self.unlocking_foot, locking_flank=self.locking_flank, locking_foot=self.locking_foot,
            bolt_lift=self.lift,
        )  # fmt: skip
        return carried(parts, stroke)

    @property
    def driven(self) -> float:
        """The lesser travel of both strokes [mm]."""
        return min(self.carries(stroke).driven_travel for stroke in STROKES)

    def offset(self, stroke: Stroke) -> float:
        """Return how far [mm] a stroke's flank stands from the centreline, at the seat that it is driven from."""
        unlocking = stroke == "unlocking"
        return self.unlocking_flank if unlocking else -(self.locking_flank + self.throw)

    def relief(self, stroke: Stroke) -> float:
        """Return the radius [mm] of the relief at a stroke's flank."""
        return self.unlocking_relief if stroke == "unlocking" else self.locking_relief

    def foot(self, stroke: Stroke) -> float:
        """Return the height [mm] of a stroke's flank's foot."""
        return self.unlocking_foot if stroke == "unlocking" else self.locking_foot

    def with_foot(self, stroke: Stroke, foot: float) -> "AsFiled":
        """Return the parts with the foot of a stroke's flank at a height [mm]."""
        if stroke == "unlocking":
            return replace(self, unlocking_foot=foot)
        return replace(self, locking_foot=foot)

    def with_flank(self, stroke: Stroke, offset: float) -> "AsFiled":
        """Return the parts with a flank filed to an offset [mm]; its foot goes down its relief, or the lower edge."""
        foot = foot_at(self.relief(stroke), offset + self.throw, self.lower_edge)
        if stroke == "unlocking":
            return replace(self, unlocking_flank=offset).with_foot(stroke, foot)
        return replace(self, locking_flank=-offset - self.throw).with_foot(stroke, foot)

    def with_relief(self, stroke: Stroke, relief: float) -> "AsFiled":
        """Return the parts with the relief at a flank filed to a radius [mm]; the foot goes up with it."""
        foot = foot_at(relief, self.offset(stroke) + self.throw, self.lower_edge)
        if stroke == "unlocking":
            return replace(self, unlocking_relief=relief).with_foot(stroke, foot)
        return replace(self, locking_relief=relief).with_foot(stroke, foot)

    def with_lower_edge(self, height: float) -> "AsFiled":
        """Return the parts with the lower edge filed to a height [mm] above the pivot."""
        made = replace(self, lower_edge=height)
        for stroke in STROKES:
            made = made.with_relief(stroke, made.relief(stroke))
        return made


def foot_at(relief: float, away: float, lower_edge: float) -> float:
    """Return the height [mm] of a foot `away` [mm] from the pivot's upright: on the relief, or at the lower edge."""
    return max(math.sqrt(max(relief**2 - away**2, 0.0)), lower_edge)


def as_filed(layout: Layout, readings: Mapping[str, float]) -> AsFiled:
    """Return how the parts stand by these readings [mm], by name of the measure; the rest as the module says."""
    cut, made = tooth(layout), bolt(layout)

    def read(name: str) -> float:
        return readings.get(name, measure_called(name).finished(layout))

    unlocking, locking = cut.pickup_offset, -cut.flank
    if flanks_full(readings):
        unlocking -= layout.lock.filing.flanks
        locking += layout.lock.filing.flanks
    if "unlocking-lobe" in readings:
        unlocking = made.right - readings["unlocking-lobe"]
    if "locking-lobe" in readings:
        locking = made.left + readings["locking-lobe"]
    if "gap" in readings:
        short = (unlocking - locking) - readings["gap"]
        if "unlocking-lobe" not in readings and "locking-lobe" not in readings:
            unlocking, locking = unlocking - short / 2, locking + short / 2
        elif "locking-lobe" not in readings:
            locking += short
        elif "unlocking-lobe" not in readings:
            unlocking -= short
    deepest = max((readings.get(f"{stroke}-foot", 0.0) for stroke in STROKES), default=0.0)
    # a foot is nowhere deeper than the bolt: an edge that was not measured is as deep as the foot
    depth = read("depth") if "depth" in readings else max(read("depth"), deepest)
    lower = cut.bolt_line - depth
    relief = cut.relief_radius
    state = AsFiled(
        cut.throw, read("radius"), read("bit"), unlocking, locking,
        foot_at(relief, unlocking + cut.throw, lower), foot_at(relief, -locking, lower), relief, relief,
        cut.bolt_line - read("bridge"), lower, _lift(layout, read),
    )  # fmt: skip
    for stroke in STROKES:
        if f"{stroke}-foot" in readings:
            height = max(cut.bolt_line - readings[f"{stroke}-foot"], lower)
            away = state.offset(stroke) + cut.throw
            # a foot as low as the lower edge stands on that, and its relief is not told by it
            on_relief = height > lower + 1e-6
            state = state.with_relief(stroke, math.hypot(away, height) if on_relief else relief)
            state = state.with_foot(stroke, height)
    return state


def flanks_full(readings: Mapping[str, float]) -> bool:
    """Say whether the flanks count as full: a foot was measured, and neither gap nor lobe."""
    feet = any(f"{stroke}-foot" in readings for stroke in STROKES)
    return feet and not {"gap", "unlocking-lobe", "locking-lobe"} & set(readings)


def _lift(layout: Layout, read: Callable[[str], float]) -> float:
    """Return how far [mm] full floors and legs lift the bolt, half way between the guides."""
    more = [
        read(floor)
        + read(leg)
        - measure_called(floor).finished(layout)
        - measure_called(leg).finished(layout)
        for floor, leg in (("front-floor", "nose-height"), ("rear-floor", "tail-height"))
    ]
    return sum(more) / 2
