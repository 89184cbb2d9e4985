"""What the key's turn takes, as a part of the lock: findings and the report's `motion` and `statics`.

Keys of the report
------------------
`motion`: `angles` [degrees], whole degrees from key-in (-180) to key-out (180), positive the way this lock unlocks,
and for each of `unlocking` and `locking` arrays of their length: `travel` [mm] from the locked seat; `phase` in
words; `torque` on the key [N mm], for each friction condition as `low` and `high`: the values at either end of
its coefficient; `flank_force`, `front_reaction` and `rear_reaction` [N], up positive, as `low` and `high` in the
lock's own condition. The locking stroke runs from 180 down to -180. null: the bolt jams.

`statics`: `metals`, `condition`, `spring_force` [N], `drag` [N] as the lock has them; `friction`, the coefficient
taken (the high end of the lock's own condition), and with it `peak_torque` [N mm], `peak_torque_at` [degrees],
`peak_torque_stroke` (all null where the bolt jams), `jams`, `cocking_ratio` L / (2 mu d),
`jam_friction`, the least coefficient at which the bolt jams, and `jamming_margin`, that over `friction` (both null
where it never jams); `flank_left` [mm] and `flank_pressure` [MPa] where the detent takes over; `drive_arc`
[degrees] from pick-up to release; `conditions`: for each the `friction`, `peak_torque` and `jams`, each as `low` and
`high`. Where the key drives nothing, numbers are null and `conditions` is empty.
"""

import math
from collections.abc import Iterable, Mapping
from typing import Any

from core.layout.codes import Code
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.part import BenchTable, Check
from core.layout.remedies import any_of
from core.lock.fields import SOURCE_NONE
from core.lock.friction import CONDITIONS
from core.mechanism.contact import PHASES, touch
from core.mechanism.law import STROKES, Stroke
from core.mechanism.maths import Array
from core.mechanism.sweep import full_turn
from core.mechanism.tooth_numbers import SLACK
from core.parts.friction import friction_ranges
from core.parts.notches import press, reach
from core.parts.tooth import course, tooth
from core.systems import in_words, show_pressure
from core.tables.coefficients import FrictionRange
from core.turning.binding import Binding, Worst, binding
from core.turning.effort import STEP, Effort, effort
from core.turning.freeing import NOTHING_FREES, freeing
from core.turning.hands import hands
from core.turning.release import BROKEN_EDGE, SOFTEST, hand_over

COCKING_MARGIN = 1.5
"""Cocking ratio below which a lock wants a look: half as much again as binds; common practice, no source."""
BOLT_JAMS = Code(
    "bolt-jams", "stop", "tooth",
    "Friction on the bolt grows as fast as the push of the key, so that it sticks however hard the key is turned.",
)  # fmt: skip
BOLT_JAMS_ROUGHER = Code(
    "bolt-jams-rougher", "look", "friction",
    "The bolt slides while it is kept as you say; let it go dry or dirty, and it may stick.",
)  # fmt: skip
COCKING = Code(
    "cocking", "look", "rear guide",
    "The key pushes the bolt to one side of its guides, so it tips in them; a little wear or dirt more, and it sticks.",
)  # fmt: skip
TORQUE_HIGH = Code(
    "torque-high", "look", "spring",
    "The key turns harder than a key should; a weaker spring or less friction eases it.",
)  # fmt: skip
TORQUE_BEYOND_HAND = Code(
    "torque-beyond-hand", "look", "spring",
    "The key turns harder than many hands can; a weaker spring or less friction eases it.",
)  # fmt: skip
FLANK_RUNS_OUT = Code(
    "flank-runs-out", "look", "tooth",
    "When the detent takes over, the bit is so near the end of the flank that a filed edge may let it slip off before.",
)  # fmt: skip
FLANK_PRESSURE = Code(
    "flank-pressure", "look", "tooth",
    "The bit presses on so little of the flank before it lets go that soft metal gives way and wears round there.",
)  # fmt: skip
RELEASE_LATE = Code(
    "release-late", "look", "tooth",
    "The key has to be turned so far past the top that the hand has to take hold of it anew on the way.",
)  # fmt: skip


def _own(layout: Layout) -> FrictionRange:
    return friction_ranges(layout)[layout.lock.friction.condition]


def _place(worst: Worst) -> str:
    return f"while {worst.stroke}, at {math.degrees(worst.at):.1f} degrees"


def jam_words(layout: Layout) -> str | None:
    """Return where the bolt jams, kept as the lock is, and with which friction, in one sentence; None: it slides."""
    own = _own(layout)
    kept = binding(layout).conditions.get(own.condition)
    where = None if kept is None else kept.jam_high or kept.jam_low
    if where is None:
        return None
    return f"The bolt jams {_place(where)}: {own.condition} {own.metals} may have a friction of up to {own.high:g}."


def _findings(layout: Layout) -> Iterable[Finding]:
    if not tooth(layout).drives:
        return
    found = binding(layout)
    yield from _jam_findings(layout, found)
    yield from _torque_findings(layout, found)
    yield from _leaving_findings(layout)


def _jam_findings(layout: Layout, found: Binding) -> Iterable[Finding]:
    own = _own(layout)
    jams = jam_words(layout)
    if jams is not None:
        limit = found.jam.value if found.jam else None
        begins = "" if limit is None else f" It does so from a friction of {limit:.2f} on."
        freed = freeing(layout)
        frees = any_of(freed.remedies)
        helps = f"What frees it: {frees}." if frees else NOTHING_FREES
        yield BOLT_JAMS.at(freed.step).found(
            f"{jams}{begins} {helps}", own.high, limit, freed.remedies
        )
    else:
        for name in CONDITIONS[CONDITIONS.index(own.condition) + 1 :]:
            rough = found.conditions[name]
            where = rough.jam_high or rough.jam_low
            if where is not None:
                limit = found.jam.value if found.jam else None
                yield BOLT_JAMS_ROUGHER.found(
                    f"Kept {own.condition} the bolt slides; {name}, it may jam {_place(where)}, at a friction "
                    f"of up to {rough.high:g}.",
                    rough.high, limit,
                )  # fmt: skip
                break
    ratio = found.cocking_ratio(own.high)
    if ratio is not None and found.cocking is not None and ratio < COCKING_MARGIN:
        binds = (
            " and binds by itself below 1"
            if ratio >= 1
            else "; below 1 the guides bind by themselves"
        )
        yield COCKING.found(
            f"The guides hold the bolt square only just: the cocking ratio is {ratio:.2f} at worst "
            f"({_place(found.cocking)}), which wants {COCKING_MARGIN:g} ({SOURCE_NONE}){binds}.",
            ratio, COCKING_MARGIN,
        )  # fmt: skip


def _torque_findings(layout: Layout, found: Binding) -> Iterable[Finding]:
    own, limits, units = _own(layout), hands(), layout.lock.units
    peak = found.conditions[own.condition].peak_high
    if peak is None or peak.value <= limits.easy:
        return
    if peak.value > limits.weak:
        code, limit = TORQUE_BEYOND_HAND, limits.weak
        source = in_words(limits.weak_source, units)
        against = f"{layout.show_torque(limit)} is what women reach on average on a key ({source})"
    else:
        code, limit = TORQUE_HIGH, limits.easy
        against = f"{layout.show_torque(limit)} is the most for a key ({in_words(limits.easy_source, units)})"
    yield code.found(
        f"The key may take {layout.show_torque(peak.value)} {_place(peak)}, {own.condition} as the lock is kept; "
        f"{against}.",
        peak.value, limit,
    )  # fmt: skip


def _leaving_findings(layout: Layout) -> Iterable[Finding]:
    cut, show, units, limits = tooth(layout), layout.show, layout.lock.units, hands()
    left = hand_over(layout)
    capture = reach(layout)
    # a key that lets go before the detent draws at all is a finding of the tooth's own
    if left is not None and cut.home_travel <= capture + SLACK:
        if left.flank_left < BROKEN_EDGE - SLACK:
            yield FLANK_RUNS_OUT.found(
                f"When the detent takes over, {show(capture)} before the seat, {show(left.flank_left)} of flank is "
                f"left under the bit's corner; an edge with its burr filed off loses about {show(BROKEN_EDGE)} "
                f"({SOURCE_NONE}).",
                left.flank_left, BROKEN_EDGE,
            )  # fmt: skip
        elif left.pressure is not None and left.pressure > SOFTEST:
            yield FLANK_PRESSURE.found(
                f"On the {show(left.flank_left)} of flank that are left when the detent takes over, the bit presses "
                f"with {show_pressure(left.pressure, units)}; brass gives from {show_pressure(SOFTEST, units)} on.",
                left.pressure, SOFTEST,
            )  # fmt: skip
    past = math.degrees(cut.release_angle)
    if past > limits.turn:
        yield RELEASE_LATE.found(
            f"The key lets go only {past:.0f} degrees past top dead centre; a wrist turns {limits.turn:g} "
            f"comfortably from its middle ({limits.turn_source}).",
            past, limits.turn,
        )  # fmt: skip


def _report(layout: Layout) -> Mapping[str, Any]:
    angles = full_turn(STEP)
    motion: dict[str, Any] = {"angles": [round(math.degrees(angle), 9) for angle in angles]}
    for stroke in STROKES:
        motion[stroke] = _stroke(layout, angles, stroke)
    return {"motion": motion, "statics": _statics(layout)}


def _stroke(layout: Layout, angles: Array, stroke: Stroke) -> dict[str, Any]:
    way, takes, own = course(layout), effort(layout, angles, stroke), _own(layout).condition
    return {
        "travel": way.travel(angles, stroke).tolist(),
        "phase": [PHASES[phase] for phase in touch(way, angles, stroke).phase],
        "torque": {condition: _ends(takes, "torque", condition) for condition in CONDITIONS},
        "flank_force": _ends(takes, "flank_force", own),
        "front_reaction": _ends(takes, "front_reaction", own),
        "rear_reaction": _ends(takes, "rear_reaction", own),
    }


def _ends(takes: Effort, name: str, condition: str) -> dict[str, list[float | None]]:
    low, high = takes.ends(name, condition)
    return {"low": _listed(low), "high": _listed(high)}


def _listed(values: Array) -> list[float | None]:
    """Return `values` for the report, in which a jam is null."""
    return [None if math.isnan(value) else value for value in values.tolist()]


def _statics(layout: Layout) -> dict[str, Any]:
    lock, cut, own, found = layout.lock, tooth(layout), _own(layout), binding(layout)
    kept = found.conditions.get(own.condition)
    peak = kept.peak_high if kept else None
    left = hand_over(layout)
    return {
        "metals": own.metals,
        "condition": own.condition,
        "spring_force": press(layout),
        "drag": lock.friction.drag,
        "friction": own.high,
        "peak_torque": peak.value if peak else None,
        "peak_torque_at": math.degrees(peak.at) if peak else None,
        "peak_torque_stroke": peak.stroke if peak else None,
        "jams": kept.jams if kept else None,
        "cocking_ratio": found.cocking_ratio(own.high),
        "jam_friction": found.jam.value if found.jam else None,
        "jamming_margin": found.margin(own.high),
        "flank_left": left.flank_left if left else None,
        "flank_pressure": left.pressure if left else None,
        "drive_arc": math.degrees(cut.pickup_angle + cut.release_angle) if cut.drives else None,
        "conditions": {
            name: {
                "friction": {"low": ends.low, "high": ends.high},
                "peak_torque": {
                    "low": ends.peak_low.value if ends.peak_low else None,
                    "high": ends.peak_high.value if ends.peak_high else None,
                },
                "jams": {"low": ends.jam_low is not None, "high": ends.jam_high is not None},
            }
            for name, ends in found.conditions.items()
        },
    }


def _bench(layout: Layout) -> Iterable[BenchTable]:
    """Tell what the turn takes, with the lock's own friction and with every other."""
    lock, cut, found, own = layout.lock, tooth(layout), binding(layout), _own(layout)
    if not cut.drives:
        return
    ratio, margin = found.cocking_ratio(own.high), found.margin(own.high)
    rows = [
        ("kept", f"{own.condition}, {own.metals}"),
        (
            "spring on the bolt, drag",
            ", ".join(map(layout.show_force, (press(layout), lock.friction.drag))),
        ),
    ]
    for name, ends in found.conditions.items():
        takes = "the bolt may jam"
        if ends.peak_low and ends.peak_high and not ends.jams:
            takes = f"{layout.show_torque(ends.peak_low.value)} to {layout.show_torque(ends.peak_high.value)}"
        rows.append((f"most torque on the key, {name}", takes))
    rows += [
        ("cocking ratio at worst, binds below 1", "none" if ratio is None else f"{ratio:.2f}"),
        ("friction may grow before it jams", "any" if margin is None else f"{margin:.2f} times"),
    ]
    yield BenchTable("What the key's turn takes", 40, tuple(rows))


CHECK = Check(
    "statics",
    95,
    codes=(
        BOLT_JAMS, BOLT_JAMS_ROUGHER, COCKING, TORQUE_HIGH, TORQUE_BEYOND_HAND, FLANK_RUNS_OUT,
        FLANK_PRESSURE, RELEASE_LATE,
    ),
    findings=_findings,
    report=_report,
    bench=_bench,
)  # fmt: skip
