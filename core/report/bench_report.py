"""The bench report: what a lock comes to, as plain text for terminal and paper."""

import textwrap
from collections.abc import Iterable

from core.checks import gathered
from core.layout.findings import LEVELS, Finding, worst_first
from core.layout.layout import Layout
from core.layout.windows import Bound
from core.made.wording import named, shown_at
from core.report.cautions import CAUTIONS
from core.report.data import FACES, marking
from core.text import plain

WIDTH = 78
"""Columns of the report: fits an 80-column terminal and a page."""


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
    tables = [
        table
        for check in gathered.all_checks()
        for table in check.bench(gathered.seen_by(check, layout))
    ]
    for table in sorted(tables, key=lambda table: table.order):
        yield [table.heading.upper(), *_rows(table.rows)]


def _windows(layout: Layout) -> Iterable[str]:
    for path, window in gathered.windows(layout).items():
        value, label, units = layout.lock.value(path), named(path), layout.lock.units
        ends = [_end(layout, bound) for bound in (window.low, window.high)]
        mark = "" if window.holds(value) else "  << outside"
        if window.conflict:
            mark = "  << nothing fits"
        told = f"{label} {shown_at(path, value, units):>{max(27 - len(label), 10)}}"
        yield f"  {told}   fits {ends[0]} to {ends[1]}{mark}"
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
    return [f"  {name:<38}{value}" if value else f"  {name}" for name, value in pairs]


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, subsequent_indent=indent)
