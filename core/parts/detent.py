"""The detent as a part: what its two notches do, and what the choices without them are worth."""

import math
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from core.layout.codes import Code
from core.layout.drawing import Mark, Measure
from core.layout.findings import Finding
from core.layout.frames import hand
from core.layout.layout import Layout
from core.layout.loads import Load
from core.layout.outcomes import Outcome
from core.layout.part import BenchTable, Part
from core.layout.windows import Bound
from core.parts.crossings import bounds_by
from core.parts.detent_limits import HOME, MARGINS, MOVED, SHORT, metal_left, stays_off, steepness
from core.parts.friction import own_friction
from core.parts.notches import detent, draws_from, places, press, reach, throw_of, tip_at
from core.parts.strip import notch
from core.parts.tooth import tooth
from core.tables.coefficients import FrictionRange
from core.units import show_angle

DETENT_ON_TRUST = Code(
    "detent-on-trust", "note", "detent",
    "Nothing says how the detent draws the bolt, so the reach that was typed is taken on trust.",
)  # fmt: skip
NOTCH_LOOSE = Code(
    "detent-loose", "look", "detent",
    "The tip comes to the notch's floor before both ramps hold it, so the bolt lies loose on its seat.",
)  # fmt: skip
RAMPS_MEET = Code(
    "detent-ramps-meet", "note", "detent",
    "The sides of the notch meet before the depth that was asked for, so it is no deeper than that.",
)  # fmt: skip
NO_DETENT = Code(
    "no-detent", "look", "detent",
    "Only friction holds the bolt, and nothing draws it home: a shake or a tilt may move it.",
)  # fmt: skip
SPRINGS_BACK = Code(
    "springs-back", "look", "detent",
    "A bolt with a spring along it stays unlocked only while the key holds it, and runs back when let go.",
)  # fmt: skip

_CLEARANCE = "fit.key_clearance"
LOOSE = 0.05
"""Play [mm] of a bolt on its seat that wants a look; common practice, no source."""
CUT_AS_ASKED = 0.05
"""How much [mm] less deep than asked a notch may be before that is said: less than a file shows."""


def _findings(layout: Layout) -> Iterable[Finding]:
    for margin in MARGINS:
        yield from margin.findings(layout)
    yield from _choice_findings(layout)
    cut, show, values = notch(layout), layout.show, layout.lock.detent
    if cut is None:
        return
    if cut.play > LOOSE:
        yield NOTCH_LOOSE.found(
            f"The notch is only {show(cut.foot)} deep: the tip stands on its floor, and the bolt can move "
            f"{show(cut.play)} either way on its seat. {show(cut.half_width * math.tan(cut.ramp))} deep, its ramps "
            "meet.",
            cut.play, LOOSE,
        )  # fmt: skip
    if values.depth > cut.foot + CUT_AS_ASKED:
        yield RAMPS_MEET.found(
            f"At {show_angle(values.ramp)} the sides meet {show(cut.foot)} below the bolt line; a notch is not the "
            f"{show(values.depth)} deep that is asked for.",
            values.depth, cut.foot,
        )  # fmt: skip


def _choice_findings(layout: Layout) -> Iterable[Finding]:
    lock, show, mu = layout.lock, layout.show, own_friction(layout).low
    kind = lock.detent.kind
    if kind == "as felt":
        yield DETENT_ON_TRUST.found(
            f"The detent is taken on trust: it is to draw the bolt home over {show(lock.fit.detent_capture)}, and the "
            "key's torque is told without it. Notches draw it for certain, and this step can propose some.",
            lock.fit.detent_capture,
        )  # fmt: skip
    elif kind == "none":
        holds = 2 * mu * press(layout) + lock.friction.drag
        yield NO_DETENT.found(
            f"Nothing but friction holds the bolt, with {layout.show_force(holds)} at the least: it stays where the "
            f"key leaves it, {show(max(tooth(layout).home_travel, 0.0))} short of its seat, and a knock moves it.",
            holds,
        )  # fmt: skip
    elif kind == "stop and spring":
        yield SPRINGS_BACK.found(
            f"A spring along the bolt, {layout.show_force(lock.detent.push)} to "
            f"{layout.show_force(lock.detent.push_open)}, drives it to its locked seat and nothing holds it unlocked: "
            "draw the shackle while the key still pushes, and do not turn the key past where it lets go.",
            lock.detent.push_open,
        )  # fmt: skip


def _bounds(layout: Layout) -> Iterable[Bound]:
    return (bound for path in (*MOVED, _CLEARANCE) for bound in _of_path(layout, path))


def _of_path(layout: Layout, path: str) -> Iterable[Bound]:
    cut, kind, margins = notch(layout), layout.lock.detent.kind, MOVED.get(path, ())
    if margins and (cut is not None if path != "detent.push" else kind == "stop and spring"):
        worked_out = layout.lock.detent.reach == "worked out"
        yield from bounds_by(
            layout, path, margins if worked_out else [m for m in margins if m is not HOME]
        )
    off = stays_off(layout) if path == _CLEARANCE else None
    if off is not None:
        yield Bound(path, "low", off, SHORT.by, SHORT.code)


def _loads(layout: Layout) -> Iterable[Load]:
    lock = layout.lock
    if lock.detent.kind != "stop and spring":
        return
    begin, end, throw = lock.detent.push, lock.detent.push_open, throw_of(lock)
    leg = (lock.bolt.nose_height + lock.bolt.tail_height) / 2

    def pushes(stroke: str, travel: Any, _mu: Any) -> tuple[Any, Any]:
        along = begin + (end - begin) * travel / throw
        return (along if stroke == "unlocking" else -along), 0.0

    yield Load((0.0, lock.bolt_line.height - leg / 2), pushes)


def _marks(layout: Layout) -> Iterable[Mark]:
    cut, here, line = notch(layout), hand(layout), layout.lock.bolt_line.height
    if cut is None:
        return
    at, show = tip_at(layout), layout.show
    yield Measure(
        here.point((at, line + 1.0)), here.point((at + cut.half_width, line + 1.0)), show(cut.half_width),
        "detent.half_width", "bolt",
    )  # fmt: skip
    deep = layout.lock.detent.depth
    yield Measure(
        here.point((at, line)), here.point((at, line - deep)), show(deep), "detent.depth", "bolt"
    )


def _ends(own: FrictionRange, of: Callable[[float], float]) -> dict[str, float | None]:
    """Return what both ends of a range of friction come to, None where it jams."""
    found = {"low": float(of(own.low)), "high": float(of(own.high))}
    return {end: None if math.isnan(value) else value for end, value in found.items()}


def _report(layout: Layout) -> Mapping[str, Any]:
    lock, own, held = layout.lock, own_friction(layout), detent(layout)
    drag = lock.friction.drag
    made: dict[str, Any] = {
        "kind": lock.detent.kind,
        "reach": lock.detent.reach if held is not None else "as measured",
        "draws_over": _ends(own, lambda mu: float(draws_from(layout, mu))),
    }
    if held is not None:
        least, most = steepness(layout)
        made |= {
            "notches": {seat: hand(layout).point((at, 0.0))[0] for seat, at in places(layout)},
            "half_width": held.notch.half_width,
            "depth": held.notch.foot,
            "floor": 2 * held.notch.floor,
            "tip_radius": held.notch.tip,
            "drop": held.notch.seat_drop,
            "play": held.notch.play,
            "ramp_between": [least, most],
            "metal_left": metal_left(layout),
            "pull_home": _ends(own, lambda mu: held.pull(held.notch.play, mu, drag)),
            "rests_off": _ends(own, lambda mu: held.rests_off(mu, drag)),
            "leaves": _ends(own, lambda mu: held.leaving(held.notch.play, mu, drag)),
            "holds": _ends(own, lambda mu: held.holding(mu, drag)),
        }
    return {"detent": made}


def _bench(layout: Layout) -> Iterable[BenchTable]:
    held, own, show = detent(layout), own_friction(layout), layout.show
    if held is None:
        return
    drag, cut = layout.lock.friction.drag, held.notch
    least, most = steepness(layout)

    def both(of: Callable[[float], float]) -> str:
        low, high = (float(of(mu)) for mu in (own.low, own.high))
        return (
            f"{layout.show_force(low)}, {'jams' if math.isnan(high) else layout.show_force(high)}"
        )

    measured = layout.lock.detent.reach == "as measured"
    far = ", ".join(show(float(draws_from(layout, mu))) for mu in (own.low, own.high))
    rows = (
        ("kept, friction", f"{own.condition}, {own.low:g} to {own.high:g}"),
        ("notch, wide and deep", f"{show(2 * cut.half_width)}, {show(cut.foot)}"),
        ("ramp, of what draws home and lets go", f"{layout.lock.detent.ramp:g} of {least:.1f} to {most:.1f} degrees"),
        ("metal left below a notch", show(metal_left(layout) or 0.0)),
        ("tip drops into the notch", show(cut.seat_drop)),
        ("draws the bolt home over", f"{far}{', as measured' if measured else ''}"),
        ("on its seat still draws with", both(lambda mu: held.pull(cut.play, mu, drag))),
        ("to leave a notch, the bolt takes", both(lambda mu: held.leaving(cut.play, mu, drag))),
    )  # fmt: skip
    yield BenchTable("The detent, at either end of the friction", 37, rows)


PART = Part(
    "detent",
    86,
    codes=(
        DETENT_ON_TRUST, *(margin.code for margin in MARGINS), NOTCH_LOOSE, RAMPS_MEET, NO_DETENT, SPRINGS_BACK,
    ),
    findings=_findings,
    bounds=_bounds,
    bounds_at=_of_path,
    outcomes=(Outcome("detent_reach", "the detent draws the bolt over", 32, 1, reach),),
    marks=_marks,
    loads=_loads,
    report=_report,
    bench=_bench,
)  # fmt: skip
