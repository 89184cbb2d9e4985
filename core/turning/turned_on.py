"""What a key does that is turned on past key-out, when it has just carried the bolt to a seat.

Keys of the report
------------------
`stops`: for the `locked` and the `unlocked` seat the `kind` of stop that was chosen, and the over-travel `asked` [mm]
for, null where none was; what stops the bolt past it, `by` name, null for nothing, after what `distance` [mm]; the
`area` [mm2] of the faces that then meet and, of a post, the section `sheared` [mm2], null where there is no such; and
what a key does that is turned on with the bolt there, `second_turn`, null where the key drives nothing: the bit
`touches_at` [degrees] and `stops_at` [degrees], null for never, `pushes` [mm] the bolt on, and the `ending`: "stop" for
what stops the bolt, "lobe" or "leg" for the part of the bolt that the bit comes up under, "free".
"""

import math
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from core.layout.codes import Code, Family
from core.layout.findings import Finding
from core.layout.layout import Layout, derived
from core.layout.part import BenchTable, Check
from core.mechanism.second_turn import InTheWay, SecondTurn, second_turn
from core.mechanism.tooth_numbers import SLACK
from core.parts.end_stops import (
    NOTHING,
    SEATS,
    Seat,
    asked,
    blow_words,
    end_stops,
    floor_of,
    kind_of,
    side_bottom,
    stop_words,
)
from core.parts.friction import own_friction
from core.parts.guide_places import Guide, front_guide, rear_guide
from core.parts.notches import reach
from core.parts.tooth import lobe, tooth, tooth_seen

if TYPE_CHECKING:
    from core.mechanism.law import Stroke

_PAST = Family(
    "pushed-past-{}", "look", "",
    "Turned on, the key takes the bolt past its {} seat, farther than the detent draws it back.",
)  # fmt: skip
PUSHED_PAST: Mapping[Seat, Code] = {
    "locked": _PAST.of("locked").at("front guide"),
    "unlocked": _PAST.of("unlocked").at("rear guide"),
}


@derived
def turned_on(layout: Layout) -> Mapping[Seat, SecondTurn] | None:
    """Return by the bolt's seat what a key does that is turned on; angles [rad] as in unlocking. None without drive.

    With the bolt on the unlocked seat the key is turned on the way that unlocks; the other is its mirror image.
    """
    if not tooth(layout).drives:
        return None
    # with the bolt on a seat the key is turned on the way that brought it there
    strokes: Mapping[Seat, Stroke] = {"unlocked": "unlocking", "locked": "locking"}
    return {
        seat: second_turn(tooth_seen(layout, strokes[seat]), in_the_way(layout, seat))
        for seat in SEATS
    }


def in_the_way(layout: Layout, seat: Seat) -> InTheWay:
    """Return what of the bolt on a seat comes into the way of a key that is turned on, seen so that it unlocks.

    It is the lobe, and the leg, on the side from which the bolt has come. A bit that leans more than 90 degrees less
    twice the friction angle binds instead of pushing, as a face on the foot of a flank does.
    """
    cut, sizes, beside = tooth(layout), layout.lock.bolt, lobe(layout)
    friction = own_friction(layout)
    edge = beside.mark if beside.cornered else beside.relief_end
    return InTheWay(
        side=cut.throw - beside.far,
        inner=cut.throw - edge[0],
        underside=side_bottom(layout),
        leg=cut.bolt_line - (sizes.nose_height if seat == "unlocked" else sizes.tail_height),
        play=end_stops(layout)[seat].distance,
        steepest=math.pi / 2 - 2 * math.atan(friction.high),
    )


def turn_words(layout: Layout, seat: Seat) -> str:
    """Return what the key does that is turned on with the bolt on a seat; nothing where it drives nothing."""
    turns = turned_on(layout)
    if turns is None:
        return ""
    turn, side = turns[seat], 1 if seat == "unlocked" else -1

    def at(angle: float) -> str:
        return f"at {side * math.degrees(angle) + 0.0:.1f}°"

    pushed = f"pushes the bolt {layout.show(turn.pushes)} on"
    match turn.ending:
        case "free":
            return pushed if math.isfinite(turn.touches) else "goes round and touches nothing"
        case "lobe":
            return f"stops {at(turn.ends)}, under the lobe"
        case "leg":
            under = "nose" if seat == "unlocked" else "tail"
            first = f"{pushed}, " if turn.pushes > 0 else ""
            return f"{first}stops {at(turn.ends)}, under the {under}"
        case "stop":
            return f"{pushed}, stops {at(turn.ends)}"


def _findings(layout: Layout) -> Iterable[Finding]:
    turns, show, capture = turned_on(layout), layout.show, reach(layout)
    if turns is None:
        return
    guides: dict[Seat, Guide] = {"locked": front_guide(layout), "unlocked": rear_guide(layout)}
    for seat, guide in guides.items():
        pushes = turns[seat].pushes
        if pushes > capture + SLACK:
            helps = ""
            if floor_of(guide)[1] > side_bottom(layout) + SLACK:
                helps = f" A {guide.name} nearer to the centreline stops it sooner."
            yield PUSHED_PAST[seat].found(
                f"A key that is turned on pushes the bolt {show(pushes)} past its {seat} seat; the detent draws it "
                f"back over {show(capture)} only.{helps}",
                pushes, capture,
            )  # fmt: skip


def _report(layout: Layout) -> Mapping[str, Any]:
    turns = turned_on(layout)
    return {
        "stops": {
            seat: {
                "by": None if stop.by == NOTHING else stop.by,
                "distance": _finite(stop.distance),
                "kind": kind_of(layout, seat),
                "asked": asked(layout, seat),
                "area": stop.area,
                "sheared": stop.sheared,
                "second_turn": None if turns is None else _turn_as_data(turns[seat], seat),
            }
            for seat, stop in end_stops(layout).items()
        }
    }


def _turn_as_data(turn: SecondTurn, seat: Seat) -> dict[str, Any]:
    side = 1 if seat == "unlocked" else -1
    return {
        "touches_at": _finite(side * math.degrees(turn.touches)),
        "pushes": turn.pushes,
        "stops_at": _finite(side * math.degrees(turn.ends)),
        "ending": turn.ending,
    }


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _bench(layout: Layout) -> Iterable[BenchTable]:
    stops = end_stops(layout)
    rows = []
    for seat in SEATS:
        over, stop = asked(layout, seat), stops[seat]
        rows.append((f"past the {seat} seat", stop_words(layout, stop)))
        if over is not None:
            rows.append(("  asked for", f"{kind_of(layout, seat)}, after {layout.show(over)}"))
        if stop.by != NOTHING:
            rows.append(("  takes the blow", blow_words(layout, stop)))
    for seat in SEATS if turned_on(layout) is not None else ():
        first, _, then = turn_words(layout, seat).partition(", ")
        rows.append((f"a key turned on, bolt {seat}", first))
        rows += [("", then)] if then else []
    yield BenchTable("What stops the bolt", 35, tuple(rows))


CHECK = Check(
    "turned on",
    92,
    codes=tuple(PUSHED_PAST.values()),
    findings=_findings,
    report=_report,
    bench=_bench,
)
