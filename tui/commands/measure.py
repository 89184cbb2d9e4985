"""`boltwright measure FILE`: what to take off after each measure, and the filing plan."""

import argparse
import textwrap
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from core.errors import BadEntryError
from core.files.project_file import load, save
from core.filing.advice import advice, checked_reading
from core.filing.as_filed import MEASURES, NAMES, measure_called
from core.filing.plan import edges
from core.filing.strokes_left import readings_in
from core.layout.layout import Layout
from core.lock.filed import Reading
from core.lock.lock import Lock
from core.text import capital, plain
from core.units import parse_length
from tui.commands._console import columns, say

NAME = "measure"
HELP = "say what to take off after each measure; without one, print the filing plan"
CAUTION = (
    "Filing: clamp the work, wear eye protection, take off every burr, brush filings away, never blow them; keep lead "
    "and brass dust out of lungs and food."
)


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the file, and what was measured."""
    parser.add_argument("file", metavar="FILE", type=Path, help="a project file (.toml)")
    parser.add_argument(
        "measured", metavar="NAME=SIZE", nargs="*",
        help=f"what you measured, such as gap=11.9; kept in the file. Names: {', '.join(NAMES)}",
    )  # fmt: skip
    parser.add_argument(
        "--forget", metavar="NAMES", action="append", default=[],
        help="take measures out of the file again, with commas between, or all",
    )  # fmt: skip


def run(args: argparse.Namespace) -> int:
    """Keep what was measured, and print the advice on it, or the plan where nothing was; returns 0.

    Raises
    ------
    BadFileError
        For a file that cannot be read as a lock.
    BadEntryError
        For a measure that there is none of, or that this lock cannot have; nothing is kept.
    SaveError
        Where the file cannot be written.
    """
    project = load(args.file)
    lock = _forgotten(project.lock, args.forget)
    layout = Layout(lock)
    new = dict(_typed(layout, text) for text in args.measured)
    kept = [r for r in lock.filed if r.name not in new]
    readings = [Reading(measure_called(n).part, n, mm) for n, mm in new.items()]
    lock = replace(lock, filed=tuple(sorted([*kept, *readings])))
    if lock != project.lock:
        save(project.with_lock(lock))
    layout = Layout(lock)
    lines = _advice(layout, tuple(new)) if new else _plan(layout)
    say("\n".join(lines))
    return 0


def _forgotten(lock: Lock, typed: list[str]) -> Lock:
    names = {part.strip() for text in typed for part in text.split(",") if part.strip()}
    for name in names - {"all", *NAMES}:
        raise BadEntryError(
            f"There is no measure called {plain(name)!r}: it takes all, {', '.join(NAMES)}"
        )
    left = tuple(r for r in lock.filed if "all" not in names and r.name not in names)
    return replace(lock, filed=left)


def _typed(layout: Layout, text: str) -> tuple[str, float]:
    name, equals, size = text.partition("=")
    if not equals:
        raise BadEntryError(
            f"{plain(text)!r} is no measure: write its name and its size, such as gap=11.9"
        )
    mm = parse_length(size, layout.lock.units)
    return name.strip(), checked_reading(layout, name.strip(), mm)


def _advice(layout: Layout, names: tuple[str, ...]) -> Iterator[str]:
    readings = readings_in(layout)
    for name in names:
        yield textwrap.fill(advice(layout, readings, name), columns())


def _plan(layout: Layout) -> Iterator[str]:
    show, readings = layout.show, readings_in(layout)
    yield f"FILING PLAN: {plain(layout.lock.title)}"
    yield textwrap.fill(CAUTION, columns())
    for number, edge in enumerate(edges(layout), start=1):
        costs = (
            ""
            if abs(edge.costs) < 0.005
            else f" Travel changes by {edge.costs:+.2f} of what is taken off."
        )
        text = f"{capital(edge.name)}: {show(edge.left)} left on, {edge.order}.{costs}"
        text = f"{text} May it stay full: {edge.may_stay}."
        yield textwrap.fill(
            text, columns(), initial_indent=f"{number:>3} ", subsequent_indent="    "
        )
    yield ""
    yield "WHAT TO MEASURE (full, then finished)"
    for measure in MEASURES:
        head = f"  {measure.name:<16}"
        text = f"{show(measure.full(layout))}, {show(measure.finished(layout))}. {measure.how}"
        yield textwrap.fill(head + text, columns(), subsequent_indent=" " * len(head))
    if readings:
        yield ""
        yield "WHAT TO DO NEXT"
        for name in NAMES:
            if name in readings:
                yield textwrap.fill(
                    advice(layout, readings, name),
                    columns(),
                    initial_indent="  ",
                    subsequent_indent="  ",
                )
