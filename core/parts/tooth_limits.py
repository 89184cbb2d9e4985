"""What limits the tooth: its codes and findings, the ends of the key's radius, and what is told of it."""

import math
from collections.abc import Iterable, Mapping
from typing import Any

from core.layout.codes import Code
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.outcomes import Outcome
from core.layout.part import Part
from core.layout.windows import Bound, End
from core.lock.fields import SOURCE_NONE
from core.mechanism.corner import least_relief
from core.mechanism.narrow_gap import gap_needed
from core.mechanism.tooth_numbers import SLACK, Tooth
from core.parts.made_bolt import MadeCourse
from core.parts.notches import reach
from core.parts.tooth import course, lesser_tooth, lobe, made_for, tooth

SHUT_OUT_MARGIN = 0.1
"""Room [mm] wanted between where a bolt is left and where it shuts the bit out; common practice, no source."""
NO_TOOTH = Code(
    "no-tooth", "stop", "tooth",
    "The bolt cannot be given two flanks for the bit to push on: they would cross, or stand beyond the key's reach.",
)  # fmt: skip
NO_DRIVE = Code(
    "no-drive", "stop", "tooth",
    "The bit passes the flanks without pushing, so a turn of the key leaves the bolt where it is.",
)  # fmt: skip
FOOT_AT_SHANK = Code(
    "foot-at-shank", "stop", "key radius",
    "The lower ends of the flanks would come down into the way of the key's shank.",
)  # fmt: skip
HOME_TRAVEL = Code(
    "home-travel", "stop", "key radius",
    "The key lets go before the bolt is home, and the detent does not reach far enough to draw it the rest of the way.",
)  # fmt: skip
KEY_FOULS_BOLT = Code(
    "key-fouls-bolt", "stop", "tooth",
    "At some angle bit or shank would have to pass through the bolt: there the key stops.",
)  # fmt: skip
"""Found here by the gap, and by the turn check whatever it meets."""
SHUT_OUT = Code(
    "shut-out", "look", "bolt",
    "A bolt that rests a little farther off its seat than it should may stop the incoming bit flat on its lobe.",
)  # fmt: skip
BIT_TOO_THICK = Code(
    "bit-too-thick", "stop", "key radius",
    "The corners of the bit do the work, and a bit as thick as its circle is wide has none.",
)  # fmt: skip


def _findings(layout: Layout) -> Iterable[Finding]:
    lock, cut, show = layout.lock, tooth(layout), layout.show
    at_shank = lock.key.shank / 2 + lock.fit.key_clearance
    if cut.gap_width <= 0:
        yield NO_TOOTH.found(
            f"No tooth can be cut: with so early a pick-up the two flanks would cross, by "
            f"{show(-cut.gap_width)}. A smaller pick-up angle or key, or a longer throw.",
            cut.gap_width, 0.0,
        )  # fmt: skip
    elif not cut.fits:
        yield NO_TOOTH.found(
            f"No tooth can be cut: the flanks would stand {show(cut.flank)} from the pivot, the key "
            f"with its clearance reaches {show(cut.relief_radius)}. A larger key or a shorter throw.",
            cut.flank, cut.relief_radius,
        )  # fmt: skip
    elif not cut.drives:
        yield NO_DRIVE.found(
            f"The key drives nothing: the flanks begin {show(cut.flank_foot)} above the pivot, and the "
            f"bit's corner, at a radius of {show(cut.radius)}, is past them when it should push.",
            cut.flank_foot, cut.radius,
        )  # fmt: skip
    # whether a bolt as it is made lets the bit turn, the turn check tells
    needed = gap_needed(lobe(layout)) if made_for(layout) is None else 0.0
    if cut.drives and needed > cut.gap_width + SLACK:
        yield KEY_FOULS_BOLT.found(
            f"The key fouls the bolt: the gap between the flanks is {show(cut.gap_width)}, and turning in it the bit "
            f"needs {show(needed)}. A smaller pick-up angle widens it.",
            cut.gap_width, needed,
        )  # fmt: skip
    if cut.relief_foot < at_shank - SLACK:
        yield FOOT_AT_SHANK.found(
            f"The relief for the bit brings the flanks' foot to {show(cut.relief_foot)} above the pivot; "
            f"the shank with its clearance needs {show(at_shank)}. A larger key or a shorter throw.",
            cut.relief_foot, at_shank,
        )  # fmt: skip
    # a bolt that is made is followed: its relief may bring it within the detent's reach, whatever the law says
    way = course(layout) if made_for(layout) is not None else None
    comes = isinstance(way, MadeCourse) and way.comes_home
    left = lesser_tooth(layout).home_travel
    if cut.drives and left > reach(layout) + SLACK and not comes:
        yield HOME_TRAVEL.found(
            f"The key lets go {show(left)} before the seat; {_rest_of_the_way(layout)}. "
            f"{_left_to_itself(layout, left)}",
            left, reach(layout),
        )  # fmt: skip
    yield from _shut_out_finding(layout)
    if lock.key.bit_thickness >= 2 * lock.key.radius:
        yield BIT_TOO_THICK.found(
            f"A bit {show(lock.key.bit_thickness)} thick has no corners on a circle of radius "
            f"{show(lock.key.radius)}.",
            lock.key.bit_thickness, 2 * lock.key.radius,
        )  # fmt: skip


def _rest_of_the_way(layout: Layout) -> str:
    """Say what brings the bolt the rest of the way to its seat, which is not enough."""
    drawn, show = reach(layout), layout.show
    if layout.lock.detent.kind == "none":
        return "nothing draws it the rest of the way"
    if layout.lock.detent.kind == "stop and spring":
        return f"unlocked, the nose is clear of the shackle by {show(drawn)} only, and nothing draws it farther"
    if drawn <= 0:
        return "the detent does not draw it home at all"
    return f"the detent draws the bolt home over {show(drawn)} only"


def _left_to_itself(layout: Layout, left: float) -> str:
    """Say where a bolt comes to that nothing draws, and which the key leaves so far [mm] from its seat."""
    cut, off, show = tooth(layout), lobe(layout).rests_off, layout.show
    if off > left - SLACK:
        return "Nothing pushes a free bolt on from there."
    return f"A free bolt would be pushed on along the relief to {show(cut.throw - off)}, {show(off)} short."


def _shut_out_finding(layout: Layout) -> Iterable[Finding]:
    """Say where the bolt stays so far off its seat that the bit can hardly come in again."""
    way, show = course(layout), layout.show
    if not way.tooth.drives or math.isfinite(way.caught_angle):
        return
    left, most = way.lobe.rests_off, way.lobe.shut_out
    if left > most - SHUT_OUT_MARGIN - SLACK:
        helps = " A chamfer on the lobes lets it in from farther." if way.lobe.cornered else ""
        yield SHUT_OUT.found(
            f"The bolt is left {show(left)} off its seat, and farther off than {show(most)} it stops the incoming bit "
            f"flat on its lobe; {show(SHUT_OUT_MARGIN)} between the two is wanted ({SOURCE_NONE}).{helps}",
            left, most - SHUT_OUT_MARGIN,
        )  # fmt: skip


def _bounds(layout: Layout) -> Iterable[Bound]:
    lock, cut = layout.lock, tooth(layout)
    capture = reach(layout)

    def radius(end: End, value: float, by: str, code: Code) -> Bound:
        return Bound("key.radius", end, value, by, code)

    at_shank = lock.key.shank / 2 + lock.fit.key_clearance
    yield radius(
        "low", _radius_for_foot(cut, at_shank),
        "the flanks' foot clear of the shank", FOOT_AT_SHANK,
    )  # fmt: skip
    p = cut.pickup_angle
    # with the lower edge as the foot a larger key drives farther, so the capture sets a least radius;
    # an edge below the lowest foot that any relief has is never the foot
    if cut.lower_edge > (cut.throw * math.cos(p) + cut.half_bit) * math.sin(p):
        offset = cut.half_bit / math.cos(p) - cut.lower_edge * math.tan(p)
        yield radius(
            "low", math.hypot(cut.lower_edge, max(cut.throw + offset - capture, 0.0)),
            "how far the detent draws the bolt home", HOME_TRAVEL,
        )  # fmt: skip
    # with the foot on the relief circle a larger key lets go earlier, so it also sets a greatest
    largest = _largest_radius_drawn_home(cut, capture)
    if largest is not None:
        yield radius("high", largest, "how far the detent draws the bolt home", HOME_TRAVEL)
    if p > SLACK:
        yield radius(
            "high", _radius_without_gap(cut) - SLACK,
            "the gap, which an early pick-up narrows", NO_TOOTH,
        )  # fmt: skip


def _radius_without_gap(cut: Tooth) -> float:
    """Return the key radius [mm] at which the flanks meet, their foot on the relief; for p > 0.

    No gap, `T + 2 w = 0`, puts the flanks at `a = T / 2`, and their foot where the bit's face, turned back
    by p, is that far over. 0 where no radius helps: the lower edge is above that foot, or the smallest relief
    that has a foot (`a = K cos p`, `K = T cos p + b/2`) leaves no gap either.
    """
    p = cut.pickup_angle
    if 2 * (cut.throw * math.cos(p) + cut.half_bit) * math.cos(p) <= cut.throw:
        return 0.0
    foot = (cut.throw / 2 + cut.half_bit / math.cos(p)) / math.tan(p)
    return math.hypot(cut.throw / 2, foot) - cut.clearance if cut.lower_edge < foot else 0.0


def _radius_for_foot(cut: Tooth, height: float) -> float:
    """Return the least key radius [mm] whose relief has its foot at `height` [mm] or above.

    With an early pick-up none comes down as far as some heights: then it is the least that has a foot.
    """
    p = cut.pickup_angle
    across = cut.throw * math.cos(p) + cut.half_bit
    past = SLACK if height < across * math.sin(p) else 0.0
    return least_relief(across, height, p) - cut.clearance + past


def _largest_radius_drawn_home(cut: Tooth, capture: float) -> float | None:
    """Return the largest key radius [mm] with the foot on the relief and home travel <= `capture`.

    With `a` the flank and `u` the relief radius, `a - sqrt(R^2 - y_f^2) <= capture` is
    `a >= (2 u c - c^2 + capture^2) / (2 capture)`, and `a = K cos p - sin p sqrt(u^2 - K^2)` with
    `K = b/2 + T cos p`: a quadratic in u. None where no radius is too large.
    """
    c, p = cut.clearance, cut.pickup_angle
    if c < SLACK:
        return None
    if capture < SLACK:
        return 0.0
    k = cut.half_bit + cut.throw * math.cos(p)
    slope, base = c / capture, (capture**2 - c**2) / (2 * capture)
    # sin^2 p (u^2 - K^2) = (K cos p - base - slope u)^2, of which the root with the bracket >= 0
    right = k * math.cos(p) - base
    square = slope**2 - math.sin(p) ** 2
    under_root = right**2 - k**2 * square
    if under_root < 0:
        return None
    root = math.sin(p) * math.sqrt(under_root)
    if abs(square) < 1e-12:
        found = [(right**2 + (k * math.sin(p)) ** 2) / (2 * slope * right)] if right else []
    else:
        found = [(slope * right + sign * root) / square for sign in (1, -1)]
    good = [u for u in found if k - SLACK <= u <= right / slope + SLACK]
    if not good:
        # the bracket is negative from the start: the detent never draws that far
        return None if right - slope * k >= 0 else 0.0
    return min(good) - c


def _report(layout: Layout) -> Mapping[str, Any]:
    cut, beside, less = tooth(layout), lobe(layout), lesser_tooth(layout)
    return {
        "tooth": {
            "throw": cut.throw,
            "pickup_offset": cut.pickup_offset,
            "flank_foot": cut.flank_foot,
            "lower_edge": cut.lower_edge,
            "gap_width": cut.gap_width,
            "relief_radius": cut.relief_radius,
            "bridge": cut.bridge,
            "driven_travel": less.driven_travel,
            "home_travel": less.home_travel,
            "pickup_angle": math.degrees(cut.pickup_angle),
            "release_angle": math.degrees(less.release_angle),
            "gap_needed": gap_needed(beside) if made_for(layout) is None else None,
            "rests_off": beside.rests_off,
            "shut_out": beside.shut_out if cut.drives else None,
        }
    }


_OUTCOMES = (
    Outcome("throw", "throw, seat to seat", 10, 0, lambda at: tooth(at).throw),
    Outcome("driven_travel", "driven by the key", 20, 1, lambda at: lesser_tooth(at).driven_travel),
    Outcome("home_travel", "left to the detent", 30, -1, lambda at: lesser_tooth(at).home_travel),
    Outcome(
        "release_angle", "the key lets go at", 40, 0,
        lambda at: math.degrees(lesser_tooth(at).release_angle), "angle",
    ),
    Outcome(
        "shut_out", "off its seat, the bit still comes in", 45, 1,
        lambda at: lobe(at).shut_out if tooth(at).drives else None,
    ),
    Outcome("gap_width", "gap, flank to flank", 50, 0, lambda at: tooth(at).gap_width),
    Outcome("flank_foot", "flanks' foot above the pivot", 60, 0, lambda at: tooth(at).flank_foot),
)  # fmt: skip

PART = Part(
    "tooth",
    60,
    codes=(NO_TOOTH, NO_DRIVE, KEY_FOULS_BOLT, FOOT_AT_SHANK, HOME_TRAVEL, SHUT_OUT, BIT_TOO_THICK),
    findings=_findings,
    bounds=_bounds,
    outcomes=_OUTCOMES,
    report=_report,
)
