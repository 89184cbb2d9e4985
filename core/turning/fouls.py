"""The turn as a part of the lock: what the turn check has to say, and its place in the report."""

import math
from collections.abc import Iterable, Mapping
from typing import Any

from core.layout.codes import Code, Family
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.outcomes import Outcome
from core.layout.part import BenchTable, Check
from core.lock.row_kinds import the
from core.mechanism.narrow_gap import gap_needed
from core.mechanism.tooth_numbers import SLACK
from core.parts.tooth import lobe, made_for, tooth
from core.parts.tooth_limits import KEY_FOULS_BOLT
from core.turning.turn_check import Foul, fouls, turn_check
from core.whole import assembly

KEY_FOULS = Family(
    "key-fouls-{}", "stop", "", "At some angle bit or shank would have to pass through the {}: there the key stops."
)  # fmt: skip


def _of_what_stands_still() -> Iterable[Code]:
    return (KEY_FOULS.of(thing.kind).at(thing.step) for thing in assembly.fixed())


def _code(layout: Layout, name: str) -> Code:
    """Return what a foul with the thing of that name is found for."""
    for thing in assembly.fixed():
        if name in thing.areas(layout):
            code = KEY_FOULS.of(thing.kind).at(thing.step)
            return code if name == thing.kind else code.about(name.removeprefix(f"{thing.kind} "))
    return KEY_FOULS_BOLT


def _findings(layout: Layout) -> Iterable[Finding]:
    cut = tooth(layout)
    wanted = made_for(layout) is None
    narrow = wanted and cut.drives and gap_needed(lobe(layout)) > cut.gap_width + SLACK
    for foul in fouls(layout):
        if foul.part == "bolt" and narrow:
            continue  # the tooth says by how much its gap is too narrow
        yield _code(layout, foul.part).found(_sentence(layout, foul), foul.overlap, 0.0)


def _sentence(layout: Layout, foul: Foul) -> str:
    return (
        f"The key fouls {the(foul.part)} while {foul.stroke}: from {_degrees(foul.first)} degrees, at "
        f"its worst at {_degrees(foul.at)} degrees with {layout.show_area(foul.overlap, 3)}."
    )


def _degrees(angle: float) -> str:
    """Write an angle [rad] in tenths of a degree; one just before the top is at 0.0, not at -0.0."""
    return f"{round(math.degrees(angle), 1) + 0.0:.1f}"


def _report(layout: Layout) -> Mapping[str, Any]:
    check = turn_check(layout)
    worst = check.worst
    return {
        "turn": {
            "overlap": worst.overlap if worst else 0.0,
            "overlap_with": worst.part if worst else None,
            "overlap_at": math.degrees(worst.at) if worst else None,
            "least_gap": check.least_gap,
            "least_gap_at": math.degrees(check.least_gap_at),
        }
    }


def _bench(layout: Layout) -> Iterable[BenchTable]:
    check = turn_check(layout)
    lines = [
        f"fouls {the(foul.part)}, from {_degrees(foul.first)} degrees while {foul.stroke}"
        for foul in check.fouls
    ]
    lines.append(
        f"least room outside the contact {layout.show(check.least_gap)}, to {the(check.least_gap_part)} at "
        f"{_degrees(check.least_gap_at)} degrees"
    )
    yield BenchTable("One turn of the key, both ways", 30, tuple((line, "") for line in lines))


def _least_gap(layout: Layout) -> float:
    return turn_check(layout).least_gap


def _overlap(layout: Layout) -> float:
    worst = turn_check(layout).worst
    return 0.0 if worst is None else worst.overlap


_OUTCOMES = (
    Outcome(
        "least_gap", "least room while the key turns", 150, 1, _least_gap, known_to=1e-3, slow=True
    ),
    Outcome(
        "overlap", "worst overlap while the key turns", 160, -1, _overlap, "area", 1e-3, slow=True
    ),
)

CHECK = Check(
    "turn",
    90,
    family=_of_what_stands_still,
    findings=_findings,
    outcomes=_OUTCOMES,
    report=_report,
    bench=_bench,
)
