"""What a detent's notches, and a spring along the bolt, are held against: each limit once, as a margin.

Judged at the high end of the lock's own friction, where a detent draws least and holds the key hardest.
"""

import math
from collections.abc import Callable, Mapping
from typing import Any

from core.layout.codes import Code
from core.layout.findings import Finding
from core.layout.layout import Layout, derived
from core.layout.margins import ENOUGH, Margin
from core.mechanism.detent_force import greatest_ramp, least_ramp
from core.mechanism.maths import N, maths
from core.mechanism.notch import Notch
from core.mechanism.tooth_numbers import SLACK, ToothOf
from core.parts.bolt_contour import body_sides, top_edge
from core.parts.friction import own_friction
from core.parts.notches import caught, detent, places, press, reach, throw_of, tip_at
from core.parts.spring_limits import BY_DROP
from core.parts.strip import notch
from core.parts.tooth import tooth
from core.parts.tooth_limits import HOME_TRAVEL
from core.units import show_angle

RAMP_SHALLOW = Code(
    "detent-ramp-shallow", "stop", "detent",
    "On so flat a ramp friction holds the bolt where it is, and the spring does not draw it home.",
)  # fmt: skip
RAMP_STEEP = Code(
    "detent-ramp-steep", "stop", "detent",
    "Out of so steep a notch no push gets the bolt: it locks on the spring's tip like a wedge.",
)  # fmt: skip
STOPS_SHORT = Code(
    "detent-stops-short", "stop", "detent",
    "The bolt stays so far off its seat that the bit may strike it on its way in.",
)  # fmt: skip
NOTCH_TOO_DEEP = Code(
    "detent-notch-deep", "stop", "detent",
    "Too little metal is left below a notch to hold the bolt together there.",
)  # fmt: skip
TIP_TOO_WIDE = Code(
    "detent-tip-wide", "stop", "detent",
    "The spring's tip is wider than its notch: it rides on the corners and never reaches the ramps.",
)  # fmt: skip
NOTCHES_MEET = Code(
    "detent-notches-meet", "stop", "detent",
    "Two notches so wide run into each other, so that no land is left for the tip between the seats.",
)  # fmt: skip
NOTCH_OFF_BOLT = Code(
    "detent-notch-off-bolt", "stop", "detent",
    "A notch would run out at the end of the bolt's top edge, and then is none.",
)  # fmt: skip
PUSH_WEAK = Code(
    "spring-push-weak", "stop", "detent",
    "The spring along the bolt is weaker than the friction it works against, so it leaves the bolt where it is.",
)  # fmt: skip


def steepness(layout: Layout) -> tuple[float, float]:
    """Return the ramps [degrees] between which a detent draws home and lets go, at the most friction of the lock."""
    mu = own_friction(layout).high
    return math.degrees(least_ramp(mu)), math.degrees(greatest_ramp(mu))


def metal_left(layout: Layout) -> float | None:
    """Return the least metal [mm] below a notch: above the gap, in a leg, or in the body; None without notches."""
    cut = notch(layout)
    if cut is None:
        return None
    left = metal_below(layout, cut, tooth(layout), top_edge(layout), body_sides(layout))
    return left if math.isfinite(left) else None


def metal_below(
    layout: Layout,
    cut: Notch[N],
    teeth: ToothOf[N],
    edge: tuple[N, N],
    sides: tuple[N, N],
    heights: tuple[N | float, N | float, N | float] | None = None,
) -> N:
    """Return the least metal [mm] below notches of a form `cut`, shape of the `teeth`; infinite where there is none.

    `edge` is from where to where the bolt's top edge goes [mm], `sides` where those of its body are [mm], `heights`
    how high nose, body and tail are [mm]; the lock's own if not said.
    """
    of: Any = maths(teeth.throw)
    (nose, tail), (left, right), sizes = edge, sides, layout.lock.bolt
    of_nose, deep, of_tail = heights or (sizes.nose_height, sizes.depth, sizes.tail_height)
    stretches = (
        (nose, left, of_nose),
        (-teeth.flank, teeth.pickup_offset, teeth.bolt_line - teeth.relief_radius),
        (left, right, deep),
        (right, tail, of_tail),
    )
    at, least = tip_at(layout), math.inf + 0 * teeth.throw
    for place in (at, at - teeth.throw):
        for begin, end, high in stretches:
            over = (place + cut.half_width > begin) & (place - cut.half_width < end)
            least = of.smaller(least, of.where(over, high - cut.foot, math.inf))
    found: N = least
    return found


def _of_notch(spare: Callable[[Layout, Notch[float]], float]) -> Callable[[Layout], float]:
    """Return a margin's function that asks nothing of a lock without notches."""

    def asked(layout: Layout) -> float:
        cut = notch(layout)
        return ENOUGH if cut is None else spare(layout, cut)

    return asked


def _shallow_found(layout: Layout) -> Finding:
    own, ramp, least = own_friction(layout), layout.lock.detent.ramp, steepness(layout)[0]
    grease = "" if own.condition == "greased" else " Grease lets a flatter one draw."
    return RAMP_SHALLOW.found(
        f"A ramp of {show_angle(ramp)} does not draw the bolt home: kept {own.condition}, {own.metals} may have a "
        f"friction of {own.high:g}, and the ramp is to be steeper than twice the friction angle, "
        f"{show_angle(least)}.{grease}",
        ramp, least,
    )  # fmt: skip


def _steep_found(layout: Layout) -> Finding:
    own, ramp, most = own_friction(layout), layout.lock.detent.ramp, steepness(layout)[1]
    return RAMP_STEEP.found(
        f"From a ramp of {show_angle(ramp)} the key cannot move the bolt at a friction of {own.high:g}: ramp and "
        f"friction angle come to a right angle at {show_angle(most)}.",
        ramp, most,
    )  # fmt: skip


@derived
def stays_off(layout: Layout) -> float | None:
    """Return how far off its seat [mm] a bolt may stay that is drawn home; None for one that is not."""
    held, mu, drag = detent(layout), own_friction(layout).high, layout.lock.friction.drag
    if held is None or caught(layout) <= held.notch.play:
        return None
    return float(held.rests_off(mu, drag, caught(layout)))


def _short_spare(layout: Layout) -> float:
    off = stays_off(layout)
    return ENOUGH if off is None else layout.lock.fit.key_clearance - off


def _short_found(layout: Layout) -> Finding:
    show, drag, off, held = (
        layout.show,
        layout.lock.friction.drag,
        stays_off(layout),
        detent(layout),
    )
    if off is None or held is None:
        raise AssertionError("a bolt that is not drawn has every margin here")
    why = f"there the spring draws no harder than the drag of {layout.show_force(drag)}: more preload, or less drag"
    if held.notch.play >= off:
        why = "its tip stands on the notch's floor, where nothing draws: a deeper notch"
    return STOPS_SHORT.found(
        f"The bolt may stay {show(off)} off its seat, and the bit that comes in is kept only "
        f"{show(layout.lock.fit.key_clearance)} clear of it; {why}.",
        off, layout.lock.fit.key_clearance,
    )  # fmt: skip


def _deep_spare(layout: Layout, _: Notch[float]) -> float:
    left = metal_left(layout)
    return ENOUGH if left is None else left - layout.lock.fit.bridge_min


def _deep_found(layout: Layout) -> Finding:
    cut, left, show = notch(layout), metal_left(layout), layout.show
    least = layout.lock.fit.bridge_min
    if cut is None or left is None:
        raise AssertionError("without notches there is every margin")
    most = max(cut.foot + left - least, 0.0)
    text = (
        f"Below a notch {show(cut.foot)} deep {show(max(left, 0.0))} of the bolt is left; {show(least)} are asked for, "
        f"so {show(most)} is the deepest here. A spring's tip beside the gap leaves more."
    )
    return NOTCH_TOO_DEEP.found(text, left, least)


def _wide_tip_spare(_: Layout, cut: Notch[float]) -> float:
    return cut.half_width - cut.tip * math.sin(cut.ramp)


def _wide_tip_found(layout: Layout) -> Finding:
    cut, show = notch(layout), layout.show
    if cut is None:
        raise AssertionError("without notches there is every margin")
    wants = cut.tip * math.sin(cut.ramp)
    return TIP_TOO_WIDE.found(
        f"The tip, of radius {show(cut.tip)}, is too wide for a notch of {show(cut.half_width)} to either side: to "
        f"reach its ramps it wants more than {show(wants)}.",
        cut.half_width, wants,
    )  # fmt: skip


def _meet_spare(layout: Layout, _: Notch[float]) -> float:
    return throw_of(layout.lock) / 2 - layout.lock.detent.half_width


def _meet_found(layout: Layout) -> Finding:
    wide, half, show = layout.lock.detent.half_width, throw_of(layout.lock) / 2, layout.show
    return NOTCHES_MEET.found(
        f"Notches {show(wide)} to either side run into each other: half the throw, {show(half)}, is the most.",
        wide, half,
    )  # fmt: skip


def _on_bolt_spare(layout: Layout, cut: Notch[float]) -> float:
    nose, tail = top_edge(layout)
    at = [middle for _, middle in places(layout)]
    return min(min(at) - nose, tail - max(at)) - cut.half_width - SLACK


def _on_bolt_found(layout: Layout) -> Finding:
    cut = notch(layout)
    if cut is None:
        raise AssertionError("without notches there is every margin")
    over = -_on_bolt_spare(layout, cut)
    return NOTCH_OFF_BOLT.found(
        f"A notch runs {layout.show(over)} over the end of the bolt's top edge, so it is not cut: the spring's tip is "
        "to stand farther in.",
        layout.lock.spring.tip_across,
    )  # fmt: skip


def _home_spare(layout: Layout) -> float:
    cut = tooth(layout)
    return reach(layout) - cut.home_travel if cut.drives else ENOUGH


def _home_found(layout: Layout) -> Finding:
    cut = tooth(layout)
    return HOME_TRAVEL.found("", cut.home_travel, reach(layout))


def _push_spare(layout: Layout) -> float:
    lock, mu = layout.lock, own_friction(layout).high
    if lock.detent.kind != "stop and spring":
        return ENOUGH
    return lock.detent.push - 2 * mu * press(layout) - lock.friction.drag


def _push_found(layout: Layout) -> Finding:
    lock, own = layout.lock, own_friction(layout)
    needs = 2 * own.high * press(layout) + lock.friction.drag
    return PUSH_WEAK.found(
        f"Along the bolt its spring pushes with {layout.show_force(lock.detent.push)} at the locked seat; friction of "
        f"the spring above, at {own.high:g}, and drag hold the bolt back with {layout.show_force(needs)}.",
        lock.detent.push, needs,
    )  # fmt: skip


_SHALLOW, _STEEP, SHORT, _DEEP, _WIDE, _MEET, _OFF, _PUSH = MARGINS = (
    Margin(
        RAMP_SHALLOW, "twice the friction angle",
        _of_notch(lambda at, _: at.lock.detent.ramp - steepness(at)[0]), _shallow_found, strict=True,
    ),
    Margin(
        RAMP_STEEP, "ramp and friction angle at a right angle",
        _of_notch(lambda at, _: steepness(at)[1] - at.lock.detent.ramp), _steep_found, strict=True,
    ),
    Margin(STOPS_SHORT, "the way off its seat that lets the bit in", _short_spare, _short_found),
    Margin(NOTCH_TOO_DEEP, "the least metal below a notch", _of_notch(_deep_spare), _deep_found),
    Margin(TIP_TOO_WIDE, "the tip's width", _of_notch(_wide_tip_spare), _wide_tip_found, strict=True),
    Margin(NOTCHES_MEET, "the other notch", _of_notch(_meet_spare), _meet_found),
    Margin(NOTCH_OFF_BOLT, "the end of the bolt's top edge", _of_notch(_on_bolt_spare), _on_bolt_found),
    Margin(PUSH_WEAK, "friction, which the push is to overcome", _push_spare, _push_found, strict=True),
)  # fmt: skip
HOME = Margin(HOME_TRAVEL, "what the key leaves to the detent", _home_spare, _home_found)
"""What the tooth finds where the detent does not reach so far: it sets ends here too."""
MOVED: Mapping[str, tuple[Margin, ...]] = {
    "detent.ramp": (_SHALLOW, _STEEP, SHORT, _DEEP, _WIDE, HOME, *BY_DROP),
    "detent.half_width": (SHORT, _DEEP, _WIDE, _MEET, _OFF, HOME, *BY_DROP),
    "detent.depth": (SHORT, _DEEP, HOME, *BY_DROP),
    "detent.push": (_PUSH,),
    "spring.preload": (SHORT, HOME),
    "spring.thickness": (SHORT, _WIDE, HOME),
    "spring.free_length": (SHORT, HOME),
    "spring.tip_across": (_DEEP, _OFF),
}
"""By path the margins that move with it, and so can set an end of its window."""
