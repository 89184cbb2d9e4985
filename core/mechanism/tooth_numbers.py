"""The tooth: the gap in the bolt's lower edge in which the bit works, and what it gives.

Glossary, all in the drive frame with the bolt at the locked seat: the *unlocking flank* is the upright edge that
the bit pushes to +x, the *locking flank* the one that it pushes back; the *foot* is the flanks' lower end;
the *relief* is the arc, one clearance outside the key's circle, by which the bit comes in at either seat;
*home travel* is what the detent must draw after the key lets go.
"""

import math
from dataclasses import dataclass

SLACK = 1e-9
"""Length [mm] by which a limit may be passed: rounding, not metal."""


@dataclass(frozen=True)
class Tooth:
    """The tooth's numbers: lengths [mm], angles [rad]. Names as in the report."""

    radius: float
    half_bit: float
    clearance: float
    throw: float
    pickup_angle: float
    bolt_line: float
    lower_edge: float
    pickup_offset: float
    relief_foot: float
    flank_foot: float
    fits: bool
    """False where the locking flank would stand outside the relief circle: there is no tooth."""

    @property
    def relief_radius(self) -> float:
        """Key radius and clearance."""
        return self.radius + self.clearance

    @property
    def flank(self) -> float:
        """Distance of the locking flank from the pivot at the locked seat, to -x: throw + offset."""
        return self.throw + self.pickup_offset

    @property
    def gap_width(self) -> float:
        """From flank to flank."""
        return self.throw + 2 * self.pickup_offset

    @property
    def bridge(self) -> float:
        """Metal left above the roof."""
        return self.bolt_line - self.relief_radius

    @property
    def half_angle(self) -> float:
        """Angle between the bit's mid-line and its corner."""
        return math.asin(min(self.half_bit / self.radius, 1.0))

    @property
    def driven_travel(self) -> float:
        """Travel at which the corner leaves the flank's foot; 0 where the key drives nothing.

        Half the chord of the key's circle at the foot, less the pick-up offset.
        """
        half_chord = math.sqrt(max(self.radius**2 - self.flank_foot**2, 0.0))
        return max(half_chord - self.pickup_offset, 0.0) if self.drives else 0.0

    @property
    def home_travel(self) -> float:
        """What is left of the throw when the key lets go."""
        return self.throw - self.driven_travel

    @property
    def release_angle(self) -> float:
        """Key angle at which the corner leaves the foot."""
        return math.acos(min(self.flank_foot / self.radius, 1.0)) - self.half_angle

    @property
    def drives(self) -> bool:
        """Whether the bit meets the flank at all: its corner above the foot when it should, and not past it."""
        early = self.pickup_angle
        above = self.flank_foot < self.radius and self.release_angle + 2 * self.half_angle > early
        return self.fits and above and self.release_angle > -early


def tooth_from(
    *,
    radius: float,
    bit: float,
    clearance: float,
    throw: float,
    pickup_angle: float,
    bolt_line: float,
    depth: float,
) -> Tooth:
    """Return the tooth for the given lengths [mm] and pick-up angle [rad].

    The bit's leading face, turned back by the pick-up angle p, lies on the foot at height y when
    `w = y tan(-p) + (b/2) / cos p`. With the foot on the relief circle, at an angle f from the
    centreline as seen from the other seat, `T + w = Rc sin f` and `y = Rc cos f` turn that into
    `sin(f + p) = (T cos p + b/2) / Rc`: no iteration is needed.
    """
    relief, half, p = radius + clearance, bit / 2, pickup_angle
    lower = bolt_line - depth
    sine = (throw * math.cos(p) + half) / relief
    # past a quarter turn the face would have to run down the relief: there is no foot on it
    on_relief = sine < 1
    foot = relief * math.cos(math.asin(sine) - p) if on_relief else 0.0
    flank_foot = max(foot, lower)
    offset = half / math.cos(p) - flank_foot * math.tan(p)
    return Tooth(
        radius=radius,
        half_bit=half,
        clearance=clearance,
        throw=throw,
        pickup_angle=p,
        bolt_line=bolt_line,
        lower_edge=lower,
        pickup_offset=offset,
        relief_foot=foot,
        flank_foot=flank_foot,
        fits=throw + offset < relief and throw + 2 * offset > 0,
    )
