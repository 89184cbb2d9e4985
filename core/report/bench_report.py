"""The bench report: what a lock comes to, as plain text for terminal and paper."""

import math
import textwrap
from collections.abc import Iterable

from core.checks import gathered
from core.layout.findings import LEVELS, Finding, worst_first
from core.layout.layout import Layout
from core.layout.windows import Bound
from core.lock.lock import spec_of
from core.made.wording import shown_at
from core.mechanism.narrow_gap import gap_needed
from core.parts.bolt_contour import bolt
from core.parts.pivot import foot_miss, lean
from core.parts.plate import wall_distance
from core.parts.tooth import lobe, tooth
from core.report.data import FACES, marking
from core.text import plain
from core.turning.turn import turn_check

WIDTH = 78
"""Columns of the report: fits an 80-column terminal and a page."""
CAUTIONS = (
    "Clamp the work and wear eye protection when drilling, filing, grinding or riveting; springs under load "
    "and hot metal hurt; keep lead and brass dust out of lungs and food. Follow your local codes and ask a "
    "licensed practitioner where they ask for one. For locks of your own property; no security rating is claimed."
)


def bench_report(layout: Layout, notes: Iterable[Finding] = ()) -> str:
    """Return the report as text in the lock's own units; `notes` are findings on the lock's file."""
    lock = layout.lock
    found = worst_first([*gathered.findings(layout), *notes])
    sections = (
        [
            plain(lock.title),
            f"unlocks to the {lock.unlocks}, seen from inside the back plate",
            verdict(found),
        ],
        ["THE TOOTH", *_rows(_tooth(layout))],
        ["PLATE AND CENTRELINE", *_rows(_plate(layout))],
        ["ONE TURN OF THE KEY, BOTH WAYS", *_turn(layout)],
        *_from_parts(layout),
        ["WHAT FITS (everything else as it stands)", *_windows(layout)],
        ["MARKING OUT, from the datum mark", *_marking(layout)],
        ["FINDINGS", *(_finding(found) or ["none"])],
        ["CAUTIONS", *_wrapped(CAUTIONS, "")],
    )
    return "\n\n".join("\n".join(section) for section in sections) + "\n"


def verdict(found: Iterable[Finding]) -> str:
    """Return one line that counts the findings by level."""
    levels = [f.level for f in found]
    if not levels:
        return "No findings: the layout works as drawn."
    counts = ", ".join(f"{levels.count(level)} {level}" for level in LEVELS if level in levels)
    works = "It does not work so." if "stop" in levels else "Nothing stops it."
    return f"{works} Findings: {counts}."


def _from_parts(layout: Layout) -> Iterable[list[str]]:
    for check in gathered.all_checks():
        for table in check.bench(layout):
            yield [table.heading.upper(), *_rows(table.rows)]


def _tooth(layout: Layout) -> Iterable[tuple[str, str]]:
    cut, show = tooth(layout), layout.show
    yield "throw, seat to seat", show(cut.throw)
    yield "key's circle with clearance", show(cut.relief_radius)
    beside = lobe(layout)
    yield "gap, flank to flank", show(cut.gap_width)
    if cut.drives:
        yield "gap that the bit needs to turn in", show(gap_needed(beside))
    yield "unlocking flank from the centreline", show(cut.pickup_offset)
    yield "locking flank from the centreline", show(-cut.flank)
    yield "flanks' foot above the pivot", show(cut.flank_foot)
    yield "lower edge above the pivot", show(cut.lower_edge)
    yield "bridge above the gap", show(cut.bridge)
    yield "roof", bolt(layout).roof
    yield "driven by the key", show(cut.driven_travel)
    yield "drawn home by the detent", show(cut.home_travel)
    if cut.drives:
        yield "left off its seat without a detent", show(beside.rests_off)
        yield "bit comes in, bolt off its seat by", f"{show(beside.shut_out)} at most"
    yield (
        "the key lets go at",
        f"{math.degrees(cut.release_angle):.1f} degrees past top dead centre",
    )


def _plate(layout: Layout) -> Iterable[tuple[str, str]]:
    show = layout.show
    yield "pivot to the inner wall", show(float(wall_distance(layout)))
    yield "lean of the centreline", f"{lean(layout):.2f} degrees clockwise"
    yield "lowest point off the centreline", show(foot_miss(layout))


def _turn(layout: Layout) -> Iterable[str]:
    check, show = turn_check(layout), layout.show
    for foul in check.fouls:
        yield f"  fouls the {foul.part}, from {math.degrees(foul.first):.1f} degrees while {foul.stroke}"
    at = math.degrees(check.least_gap_at)
    yield (
        f"  least gap outside the contact {show(check.least_gap)}, to the {check.least_gap_part} at "
        f"{at:.1f} degrees"
    )


def _windows(layout: Layout) -> Iterable[str]:
    for path, window in gathered.windows(layout).items():
        value, label, units = layout.lock.value(path), spec_of(path).label, layout.lock.units
        ends = [_end(layout, bound) for bound in (window.low, window.high)]
        mark = "" if window.holds(value) else "  << outside"
        if window.conflict:
            mark = "  << nothing fits"
        yield f"  {label:<14}{shown_at(path, value, units):>12}   fits {ends[0]} to {ends[1]}{mark}"
        yield from _wrapped(f"      from: {_by(window.low)}; to: {_by(window.high)}", " " * 8)


def _end(layout: Layout, bound: Bound | None) -> str:
    return "any" if bound is None else shown_at(bound.path, bound.value, layout.lock.units)


def _by(bound: Bound | None) -> str:
    return "nothing" if bound is None else bound.by


def _marking(layout: Layout) -> Iterable[str]:
    rows = marking(layout)
    for face, sign in FACES:
        mirrored = "" if sign > 0 else " (mirrored)"
        yield f" {face}{mirrored}"
        for row in rows:
            if row["face"] == face:
                across, below = layout.show(row["across"]), layout.show(row["below"])
                yield f"  {row['what']:<41}{across:>11} across{below:>11} below"


def _finding(found: Iterable[Finding]) -> list[str]:
    lines: list[str] = []
    for finding in found:
        lines += _wrapped(f"{finding.level:<5} {plain(finding.text)} [{finding.step}]", "      ")
    return lines


def _rows(pairs: Iterable[tuple[str, str]]) -> list[str]:
    return [f"  {name:<38}{value}" for name, value in pairs]


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, subsequent_indent=indent)
