"""The turn as a part of the lock: what the turn check has to say, and its place in the report."""

import math
from collections.abc import Iterable, Mapping
from typing import Any

from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.part import Check
from core.mechanism.narrow_gap import gap_needed
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt_contour import bolt_area
from core.parts.plate import outside_wall
from core.parts.tooth import lobe, tooth
from core.turning.turn import Foul, turn_check

_STEPS = {"bolt": "tooth", "inner wall": "key radius", "shackle end": "shackle"}
"""The step that mends a foul with a part, where it does not bear the part's own name."""


def _findings(layout: Layout) -> Iterable[Finding]:
    cut = tooth(layout)
    for foul in turn_check(layout).fouls:
        if foul.part == "bolt" and gap_needed(lobe(layout)) > cut.gap_width + SLACK:
            continue  # the tooth says by how much its gap is too narrow
        yield Finding(
            f"key-fouls-{foul.part.replace(' ', '-')}", "stop", _STEPS.get(foul.part, foul.part),
            _sentence(foul), foul.overlap, 0.0,
        )  # fmt: skip
    over = outside_wall(layout, bolt_area(layout))
    seat = "locked"
    if over == 0:
        from_there = _moved(layout, cut.throw)
        over, seat = outside_wall(layout, from_there), "unlocked"
    if over > 0:
        yield Finding(
            "bolt-outside-wall", "stop", "bolt",
            f"At the {seat} seat the bolt reaches {over:.1f} mm2 outside the inner wall.", over, 0.0,
        )  # fmt: skip


def _sentence(foul: Foul) -> str:
    return (
        f"The key fouls the {foul.part} while {foul.stroke}: from {math.degrees(foul.first):.1f} degrees, at "
        f"its worst at {math.degrees(foul.at):.1f} degrees with {foul.overlap:.3f} mm2."
    )


def _moved(layout: Layout, by: float) -> BaseGeometry:
    return translate(bolt_area(layout), by)


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


CHECK = Check("turn", 90, findings=_findings, report=_report)
