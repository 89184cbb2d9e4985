"""The spring above the bolt, and what else holds the bolt back while the key drives it."""

from collections.abc import Iterable, Mapping
from typing import Any

from core.geometry.path import polyline
from core.layout.codes import Code
from core.layout.drawing import Mark, Measure, Stroke
from core.layout.findings import Finding
from core.layout.frames import hand
from core.layout.layout import Layout
from core.layout.loads import Load
from core.layout.part import BenchTable, Drawn, Part, Spot, scribed_at
from core.layout.workpiece import Feature
from core.lock.fields import SOURCE_NONE
from core.mechanism.law import side
from core.parts.notches import detent, press, tip_at
from core.parts.plate import spot_in_drive
from core.parts.spring_limits import MARGINS, bounds, bounds_at
from core.parts.strip import strip
from core.parts.strip_place import (
    bend_in_degrees,
    ends,
    foot_way,
    outline,
    tip_on_bolt,
)
from core.systems import show_pressure, show_rate

SPRING_BENT_FAR = Code(
    "spring-bent-far", "look", "spring",
    "So far bent for its length, a strip is stiffer than the formula for small deflections says.",
)  # fmt: skip
TIP_ROLLED_TIGHT = Code(
    "tip-rolled-tight", "look", "spring",
    "A strip that is rolled so tight for its thickness cracks, unless it is softened first and hardened anew.",
)  # fmt: skip
BENT_FAR = 0.2
"""Deflection as a share of the free length from which on the formula is more than 5 % off (`tests/test_spring.py`)."""
ROLLED_TIGHT = 1.5
"""Outer radius of a rolled eye, in thicknesses, below which it wants a look; common practice, no source."""
_BARB = 1.5
"""Size [mm] of the arrow that stands in the drawing for a spring that is known by its force alone."""


def _findings(layout: Layout) -> Iterable[Finding]:
    for margin in MARGINS:
        yield from margin.findings(layout)
    made, values, show = strip(layout), layout.lock.spring, layout.show
    if made is None:
        return
    if made.bent_share > BENT_FAR:
        yield SPRING_BENT_FAR.found(
            f"The strip is bent by {made.bent_share:.2f} of its free length; up to {BENT_FAR:g} the formula for small "
            "deflections holds to 5 %.",
            made.bent_share, BENT_FAR,
        )  # fmt: skip
    least = ROLLED_TIGHT * values.thickness
    if values.tip == "rolled" and values.tip_radius < least:
        yield TIP_ROLLED_TIGHT.found(
            f"The tip is rolled to a radius of {show(values.tip_radius)}; a strip {show(values.thickness)} thick wants "
            f"{show(least)} ({SOURCE_NONE}).",
            values.tip_radius, least,
        )  # fmt: skip


def _loads(layout: Layout) -> Iterable[Load]:
    lock, held = layout.lock, detent(layout)
    drag, line, tip = lock.friction.drag, lock.bolt_line.height, tip_at(layout)
    if held is None:
        presses = press(layout)
        # the spring's tip rubs on the bolt's top edge as it presses on it
        yield Load((tip, line), lambda _stroke, _travel, mu: (mu * presses, presses))
    else:
        yield Load(
            lambda travel: (tip + held.touch(travel)[0], line + held.touch(travel)[1]),
            lambda stroke, travel, mu: (
                held.resists(travel, mu, side(stroke)), held.pressing(travel),
            ),
        )  # fmt: skip
    # drag is felt where the bolt rubs: in the guides, at the middle of their legs' mean height
    leg = (lock.bolt.nose_height + lock.bolt.tail_height) / 2
    yield Load((0.0, line - leg / 2), lambda _stroke, _travel, _mu: (drag, 0.0))


def _marks(layout: Layout) -> Iterable[Mark]:
    lock, made, here = layout.lock, strip(layout), hand(layout)
    x, y, room = lock.spring.tip_across, lock.bolt_line.height, lock.bolt_line.spring_room
    if made is None:
        yield Stroke(polyline([(x, y + room), (x, y)]), "note", "spring")
        barb = [(x - _BARB / 2, y + _BARB), (x, y), (x + _BARB / 2, y + _BARB)]
        yield Stroke(polyline(barb), "note", "spring")
        return
    for path in outline(layout, made, 0.0):
        yield Stroke(here.path(path), "cut", "spring")
    above = y + made.room + 2.0
    tip, reach = tip_at(layout), made.beam.length
    begin, stop = (tip - reach / 2, tip + reach / 2)
    if not made.beam.on_two_ends:
        begin, stop = sorted((tip, tip + foot_way(layout) * reach))
    yield Measure(
        here.point((begin, above)), here.point((stop, above)), layout.show(reach), "spring.free_length", "spring"
    )  # fmt: skip


def _moving(layout: Layout, _angle: float, travel: float) -> Iterable[Stroke]:
    made = strip(layout)
    if made is not None:
        for path in outline(layout, made, travel):
            yield Stroke(hand(layout).path(path), "cut", "spring")


def _spots(layout: Layout) -> Iterable[Spot]:
    made = strip(layout)
    if made is None:
        return
    foot, line = layout.lock.spring.foot_length, layout.lock.bolt_line.height
    y = line + made.tip_height + made.beam.thickness / 2
    left, right = ends(layout, made)
    if made.beam.on_two_ends:
        places = {"spring, one held end": left + foot, "spring, other held end": right - foot}
    else:
        places = {
            "spring, edge of its foot": (right - foot) if foot_way(layout) > 0 else left + foot
        }
    for what, x in places.items():
        yield spot_in_drive(layout, what, (x, y))


def _report(layout: Layout) -> Mapping[str, Any]:
    made, lock, held = strip(layout), layout.lock, detent(layout)
    found: dict[str, Any] = {
        "by": lock.spring.kind,
        "force": press(layout),
        "force_on_land": press(layout) if held is None else held.land,
        "tip_on_bolt": tip_on_bolt(layout),
    }
    if made is not None:
        found |= {
            "metal": made.metal.name,
            "rate": made.beam.rate,
            "stress": made.stress,
            "yield": made.metal.yield_low,
            "room": made.room,
            "clear": made.clear,
            "bend": bend_in_degrees(made),
        }
    return {"spring": found}


def _bench(layout: Layout) -> Iterable[BenchTable]:
    made, show, on = strip(layout), layout.show, tip_on_bolt(layout)
    units = layout.lock.units
    if made is None:
        return
    where = (
        "in the middle, between its ends" if made.beam.on_two_ends else "at the edge of its foot"
    )
    rows = (
        ("presses at rest, beside its notches", f"{layout.show_force(made.rest)}, {layout.show_force(made.land)}"),
        ("stiffness", show_rate(made.beam.rate, units)),
        (
            "stress, and from where it yields",
            f"{show_pressure(made.stress, units)}, {show_pressure(made.metal.yield_low, units)} ({made.metal.name})",
        ),
        ("height above the bolt line, and kept", f"{show(made.room)}, {show(layout.lock.bolt_line.spring_room)}"),
        ("clear of the bolt beside its tip", show(made.clear)),
        ("bend before mounting", f"{bend_in_degrees(made):.1f} degrees, {where}"),
        ("tip from the nose's end, locked", show(on["locked"])),
        ("tip from the nose's end, unlocked", show(on["unlocked"])),
    )  # fmt: skip
    yield BenchTable("The spring", 36, rows)


_PLACED = (
    "spring.kind", "spring.anchor", "spring.foot_side", "spring.free_length", "spring.foot_length", "spring.tip_across",
    "spring.tip", "spring.tip_radius", "spring.tip_height", "spring.thickness", "bolt_line.height", "unlocks",
)  # fmt: skip

PART = Part(
    "spring",
    85,
    codes=(
        *(margin.code for margin in MARGINS), SPRING_BENT_FAR, TIP_ROLLED_TIGHT,
    ),
    drawn=(Drawn("spring", "other"),),
    findings=_findings,
    bounds=bounds,
    bounds_at=bounds_at,
    marks=_marks,
    moving=_moving,
    spots=_spots,
    loads=_loads,
    report=_report,
    bench=_bench,
    features=(Feature("back plate", placed_by=_PLACED, scribed=scribed_at(_spots)),),
)  # fmt: skip
