"""A comparison as plain text: what was changed, what got worse first, findings, windows, made parts."""

import textwrap
from collections.abc import Iterable, Iterator

from core.change.comparison import SAME, Comparison, FindingChange, OutcomeChange, WindowChange
from core.checks.gathered import findings
from core.layout.findings import Finding
from core.layout.windows import Window
from core.lock.lock import spec_of
from core.lock.numbers import ACROSS
from core.lock.paths import label_in_row, place_at, row_title
from core.made.verdicts import Verdict
from core.made.wording import marks_words, named, shown_at, verdict_words
from core.report.bench_report import verdict
from core.report.cautions import CAUTIONS
from core.text import plain

WIDTH = 78
"""Columns of the text: fits an 80-column terminal and a page."""
_TRENDS = {"worse": "worse", "better": "better", "other": ""}


def comparison_text(
    comparison: Comparison, notes: tuple[Iterable[Finding], Iterable[Finding]] = ((), ())
) -> str:
    """Return a comparison as text, each lock's lengths in its own units.

    `notes` are what there is to say of the two files that the locks came from, the old one's first.
    """
    old, new = comparison.old, comparison.new
    head = [
        f"old: {plain(old.lock.title)}. {verdict(findings(old))}",
        f"new: {plain(new.lock.title)}. {verdict(findings(new))}",
    ]
    files = [
        line
        for name, found in zip(("old", "new"), notes, strict=True)
        for finding in found
        for line in _finding(name, finding)
    ]
    sections = (
        [line for text in head for line in textwrap.wrap(text, WIDTH, subsequent_indent="     ")],
        *([["OF THE FILES", *files]] if files else []),
        ["CHANGED", *(_changed(comparison) or ["  nothing"])],
        ["WHAT COMES OF IT, the worse first", *(_outcomes(comparison) or ["  nothing"])],
        ["FINDINGS", *(_findings(comparison) or ["  none, before or after"])],
        ["WHAT FITS", *(_windows(comparison) or ["  as before"])],
        *([["PARTS ALREADY MADE", *_made(comparison), *_caution()]] if comparison.made else []),
    )
    return "\n\n".join("\n".join(section) for section in sections) + "\n"


def _changed(comparison: Comparison) -> list[str]:
    units = (comparison.old.lock.units, comparison.new.lock.units)
    lines: list[str] = []
    rows: dict[tuple[str, bool], list[str]] = {}
    for c in comparison.changed:
        if c.old is None or c.new is None:
            value, unit = (c.new, units[1]) if c.old is None else (c.old, units[0])
            here = rows.setdefault((place_at(c.path).holder, c.old is None), [])
            shown = shown_at(c.path, value, unit)
            sided = value and spec_of(c.path).kind is ACROSS  # the side says what the label would
            here.append(shown if sided else f"{shown} {label_in_row(c.path)}")
        else:
            old, new = shown_at(c.path, c.old, units[0]), shown_at(c.path, c.new, units[1])
            lines.append(f"  {named(c.path):<24}{old:>14} -> {new}")
    for (path, added), values in rows.items():
        text = (
            f"  {row_title(path):<24}{'added' if added else 'removed':>14}    {', '.join(values)}"
        )
        lines += textwrap.wrap(text, WIDTH, subsequent_indent=" " * 42)
    return lines


def _outcomes(comparison: Comparison) -> list[str]:
    order = ("worse", "better", "other")
    differing = [change for change in comparison.outcomes if change.differs]
    differing.sort(key=lambda c: (order.index(c.trend), -c.weight if c.trend == "worse" else 0))
    return [outcome_line(comparison, change) for change in differing]


def outcome_line(comparison: Comparison, change: OutcomeChange) -> str:
    """Return one outcome as a line, old -> new."""
    old = change.outcome.shown(comparison.old, change.old)
    new = change.outcome.shown(comparison.new, change.new)
    return f"  {change.outcome.label:<46}{old:>10} -> {new:<10} {_TRENDS[change.trend]}".rstrip()


def _findings(comparison: Comparison) -> list[str]:
    lines: list[str] = []
    for finding in comparison.came:
        lines += _finding("came", finding)
    for change in comparison.stayed:
        lines += _stayed(change)
    for finding in comparison.went:
        lines += _finding("went", finding)
    return lines


def _stayed(change: FindingChange) -> list[str]:
    if change.new is None:
        return []
    how = {"worse": "worse", "better": "eased", "other": "as was"}[change.trend]
    return _finding(how, change.new)


def _finding(how: str, finding: Finding) -> list[str]:
    text = f"  {how:<7}{finding.level:<5} {plain(finding.text)} [{finding.step}]"
    return textwrap.wrap(text, WIDTH, subsequent_indent=" " * 15)


def _windows(comparison: Comparison) -> list[str]:
    lines = []
    for change in sorted(comparison.windows, key=lambda c: (c.new_fits, not c.old_fits)):
        if change.old_value is None or change.new_value is None:
            differs = not change.new_fits  # a row that came or went: told already, but for this
        else:
            differs = _ends(change.old) != _ends(change.new) or change.old_fits != change.new_fits
        if differs:
            line = _window_line(comparison, change)
            lines += textwrap.wrap(line, WIDTH, subsequent_indent=" " * 20)
    return lines


def _window_line(comparison: Comparison, change: WindowChange) -> str:
    sides = []
    for layout, window in ((comparison.old, change.old), (comparison.new, change.new)):
        units = layout.lock.units
        ends = [None if end is None else shown_at(change.path, end, units) for end in _ends(window)]
        sides.append(f"{ends[0] or 'any'} to {ends[1] or 'any'}")
    fits = ""
    if not change.new_fits:
        fits = "outside" if change.old_fits else "still outside"
    elif not change.old_fits:
        fits = "fits now"
    label = named(change.path)
    return f"  {label:<18}{sides[0]:>20} -> {sides[1]:<22} {fits}".rstrip()


def _ends(window: Window | None) -> tuple[float | None, float | None]:
    if window is None:
        return (None, None)
    low, high = window.low, window.high
    return (
        None if low is None else round(low.value / SAME) * SAME,
        None if high is None else round(high.value / SAME) * SAME,
    )


def _made(comparison: Comparison) -> Iterator[str]:
    for made in comparison.made:
        yield from made_lines(comparison, made)


def made_lines(comparison: Comparison, made: Verdict) -> Iterable[str]:
    """Return the verdict on one made part, in as many lines as it takes."""
    said = [verdict_words(comparison.new, made), marks_words(comparison.new, made)]
    text = f"  {made.name:<12} {made.word:<7} {'; '.join(s for s in said if s)}"
    return textwrap.wrap(text, WIDTH, subsequent_indent=" " * 22)


def _caution() -> list[str]:
    return ["", *textwrap.wrap(CAUTIONS, WIDTH)]
