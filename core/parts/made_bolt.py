"""A bolt as it is made, with a key and a bolt line that it was not made for: tooth, lobe and course of the two.

The flanks stay upright, so the law of motion holds for them with their own numbers. The relief does not: its circles
no longer lie about the pivot. What happens there is solved by contact (`core.mechanism.gap_contact`). Lengths in mm,
angles in radians.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any

import numpy as np

from core.mechanism.after_release import Course, Leaving
from core.mechanism.bit_shape import BitShape
from core.mechanism.corner import half_angle, half_chord, lets_go_at, meets_at
from core.mechanism.gap_contact import STUB, Way
from core.mechanism.law import Stroke, phases
from core.mechanism.lobe import Lobe
from core.mechanism.maths import Array, distinct
from core.mechanism.rounded_corner import Corner
from core.mechanism.tooth_numbers import SLACK, Reason, Tooth

_TURNED: Mapping[Stroke, Stroke] = {"unlocking": "locking", "locking": "unlocking"}


@dataclass(frozen=True)
class MadeTooth(Tooth):
    """A tooth that was cut for other numbers: `own` as it was cut, standing `up` [mm] higher above the pivot.

    It stands `ahead` [mm] towards the seat that the stroke goes to, where its guides have it tilted.
    """

    own: Tooth
    up: float
    shape: BitShape
    ahead: float = 0.0

    @property
    def flank(self) -> float:
        """Distance [mm] of the other flank from the pivot, where the stroke begins."""
        return self.throw + self.own.pickup_offset - self.ahead

    @property
    def gap_width(self) -> float:
        """Gap [mm] from flank to flank: as it was cut."""
        return self.own.gap_width

    @property
    def bit_shape(self) -> BitShape:
        """The bit as it was filed."""
        return self.shape

    @property
    def rounded(self) -> float:
        """Radius [mm] of the bit's corners as they are."""
        return self.shape.rounded

    @property
    def bridge(self) -> float:
        """Metal [mm] left above the roof: what was left when it was cut."""
        return self.own.bridge

    @property
    def roof(self) -> float:
        """Height [mm] of the roof above the pivot."""
        return self.bolt_line - self.own.bridge


def seen_by(bit: BitShape, stroke: Stroke) -> BitShape:
    """Return a bit, told of as unlocking sees it, as a stroke sees it."""
    return bit if stroke == "unlocking" else bit.mirrored()


def made_tooth(
    own: Tooth, *, shape: BitShape, clearance: float, bolt_line: float, ahead: float = 0.0
) -> MadeTooth:
    """Return a tooth cut as its `own` , under a bit of a `shape`, on a `bolt_line` [mm], as one stroke sees it.

    It stands `ahead` [mm]. The `clearance` [mm] is what the key's circle is to keep from all else. What pushes is the
    bit's leading side: all that is told of half its thickness is told of that.
    """
    up, half, radius = bolt_line - own.bolt_line, shape.lead, shape.radius
    foot, offset = own.flank_foot + up, own.pickup_offset + ahead
    release = lets_go_at(half, radius, foot) + half_angle(half, radius) - shape.tip[1]
    met = _met(shape, offset, foot) if half**2 < offset**2 + foot**2 else math.inf
    reach = half_chord(radius, foot)
    drives = own.fits and foot < radius and release > met and reach > offset
    reason = own.reason if not own.fits else Reason.FITS if drives else Reason.DRIVES_NOTHING
    known: dict[str, Any] = {one.name: getattr(own, one.name) for one in fields(Tooth)}
    known |= {
        "radius": radius, "half_bit": half, "pickup_offset": offset, "clearance": clearance, "bolt_line": bolt_line,
        "lower_edge": own.lower_edge + up, "relief_foot": own.relief_foot + up, "flank_foot": foot,
        "half_angle": shape.tip[1], "release_angle": release, "pickup_angle": -met,
        "driven_travel": max(reach - offset, 0.0) if drives else 0.0, "reason": reason, "drives": drives,
    }  # fmt: skip
    return MadeTooth(own=own, up=up, shape=shape, ahead=ahead, **known)


def _met(shape: BitShape, flank: float, foot: float) -> float:
    """Return the angle [rad] at which a bit first touches a flank [mm] with its foot [mm] so high."""
    before, soft, tip = meets_at(shape.lead, shape.radius, flank, foot), shape.rounded, shape.tip[1]
    corner = Corner(shape.radius, soft, tip, shape.lead, foot)
    if soft == 0 or (before < 0 and not corner.before(before)):
        return before
    # by the middle of the arc: level with the flank, or as far from its foot as the arc's radius
    level = (flank - soft) / shape.within
    if abs(level) < 1 and shape.within * math.sqrt(1 - level**2) >= foot:
        return math.asin(level) - tip
    off = math.hypot(flank, foot)
    lean = (shape.within**2 + off**2 - soft**2) / (2 * shape.within * off)
    return math.atan2(flank, foot) - math.acos(min(max(lean, -1.0), 1.0)) - tip


@dataclass(frozen=True)
class MadeLobe(Lobe[float]):
    """The lobe of a made tooth: `own` as it was cut, and the way of a bolt that nothing draws, `free` ."""

    own: Lobe[float] | None = None
    free: Way | None = None

    @property
    def _cut_as(self) -> Lobe[float]:
        if self.own is None:
            raise AssertionError("a made lobe was cut as some lobe")
        return self.own

    @property
    def _up(self) -> float:
        return self.tooth.bolt_line - self._cut_as.tooth.bolt_line

    @property
    def _ahead(self) -> float:
        """How much nearer [mm] to the pivot the lobe is where the bit comes in, on the worse side of a tilted bolt."""
        return abs(self.tooth.ahead) if isinstance(self.tooth, MadeTooth) else 0.0

    @property
    def meets(self) -> float:
        """Distance [mm] at which relief and lower edge meet."""
        return self._cut_as.meets

    @property
    def greatest_chamfer(self) -> float:
        """The largest chamfer [mm] that there was metal for."""
        return self._cut_as.greatest_chamfer

    @property
    def cut(self) -> float:
        """The chamfer [mm] as it was cut."""
        return self._cut_as.cut

    @property
    def mark(self) -> tuple[float, float]:
        """Distance and height [mm] of the place on the lower edge where the chamfer begins."""
        x, y = self._cut_as.mark
        return x - self._ahead, y + self._up

    @property
    def slope(self) -> float:
        """Angle [rad] by which the chamfer leans from the level."""
        return self._cut_as.slope

    @property
    def relief_end(self) -> tuple[float, float]:
        """Distance and height [mm] where the relief's arc ends."""
        x, y = self._cut_as.relief_end
        return x - self._ahead, y + self._up

    def off(self, angles: Any) -> Any:
        """Return how far off its seat [mm] metal alone leaves the bolt at `angles` [rad] from the release on."""
        if self.free is None:
            raise AssertionError("a made lobe has been followed")
        cut = self.tooth
        if not cut.drives:
            return (
                cut.home_travel + 0.0 * np.asarray(angles) if np.ndim(angles) else cut.home_travel
            )
        found = cut.throw - self.free.at(np.maximum(angles, cut.release_angle))
        return found if np.ndim(angles) else float(found)


@dataclass(frozen=True)
class MadeCourse(Course):
    """The course of a made bolt, followed by contact: its `ways` in both strokes, each as seen in unlocking.

    So are the `teeth`, each as its stroke sees it.
    """

    ways: Mapping[Stroke, Way] = field(default_factory=dict)
    teeth: Mapping[Stroke, Tooth] = field(default_factory=dict)

    def seen(self, stroke: Stroke) -> "MadeCourse":
        """Return the course with a stroke in the place of unlocking, as if seen in the mirror."""
        if stroke == "unlocking":
            return self
        return replace(
            self,
            tooth=self.teeth["locking"],
            ways={one: self.ways[other] for one, other in _TURNED.items()},
            teeth={one: self.teeth[other] for one, other in _TURNED.items()},
        )

    @property
    def caught_angle(self) -> float:
        """Key angle [rad] at which the detent catches the bolt; infinite where it never does."""
        return self.ways["unlocking"].caught

    @property
    def comes_home(self) -> bool:
        """Whether the bolt comes to both seats, with nothing in the bit's way."""
        return all(
            math.isinf(way.blocked)
            and abs(way.travel[-1] - self.tooth.throw) < SLACK
            and way.past < STUB
            for way in self.ways.values()
        )

    @property
    def blocked(self) -> float | None:
        """Key angle [degrees] in the direction of the stroke at which the bit is stopped; None where it is not."""
        first = min(way.blocked for way in self.ways.values())
        return math.degrees(first) if math.isfinite(first) else None

    def travel(self, angles: Array, stroke: Stroke = "unlocking") -> Array:
        """Return the bolt's travel [mm] from the locked seat, shape of `angles` [rad], in the `stroke` named."""
        way = self.ways[stroke]
        return (
            way.at(angles)
            if stroke == "unlocking"
            else np.asarray(self.tooth.throw - way.at(-angles))
        )

    def runs_ahead(self, angles: Array) -> Any:
        """Say where the detent has the bolt [none] that the key would still push, shape of `angles` [rad]."""
        return (angles >= self.caught_angle) & ~phases(self.tooth, angles).let_go

    def leaving(self, angles: Array) -> Leaving:
        """Sort `angles` [rad] of unlocking by what happens to the bolt then, shape of the angles."""
        way, throw = self.ways["unlocking"], self.tooth.throw
        gone = phases(self.tooth, angles).let_go
        caught, here = gone & (angles >= way.caught), way.at(angles)
        held = caught & (here < throw - SLACK)
        left = gone & ~caught
        pushed = left & (here < float(way.travel[-1]) - SLACK)
        return Leaving(pushed, held, caught & ~held, left & ~pushed)

    def _driven(self, angles: Array) -> Array:
        return self.travel(angles)


def corners_of(tooth: Tooth) -> Array:
    """Return the angles [rad], shape (n,), at which the law of a `tooth` changes: a step is not to pass over them."""
    if not tooth.drives:
        return np.zeros(0)
    found = [-tooth.pickup_angle + 0.0, 0.0, tooth.release_angle]
    found += [tooth.corner.rolls()] if tooth.rounded > 0 else []
    return distinct(np.array(found))
