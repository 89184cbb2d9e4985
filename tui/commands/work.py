"""`boltwright work FILE`: the order of work from sheets to closed lock, with its ticks."""

import argparse
import textwrap
from collections.abc import Iterator
from pathlib import Path

from core.errors import BadEntryError
from core.files.project_file import load, save
from core.layout.layout import Layout
from core.lock.ticks import ticked, unticked
from core.text import plain
from core.units import parse_count
from tui.commands._console import columns, say

NAME = "work"
HELP = "print the order of work, from sheets to closed lock, and tick what is done"
BOXES = {"open": "[ ]", "done": "[x]", "changed": "[!]"}


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the file, and which tasks to tick."""
    parser.add_argument("file", metavar="FILE", type=Path, help="a project file (.toml)")
    parser.add_argument(
        "--tick", metavar="NUMBERS", action="append", default=[],
        help="these tasks are done, with commas between, such as 1,2,5-7; kept in the file",
    )  # fmt: skip
    parser.add_argument(
        "--untick", metavar="NUMBERS", action="append", default=[], help="these are not done after all"
    )  # fmt: skip


def run(args: argparse.Namespace) -> int:
    """Tick what is asked for and print the order; returns 0.

    Raises
    ------
    BadFileError
        For a file that cannot be read as a lock.
    BadEntryError
        For a number of no task; nothing is ticked.
    SaveError
        Where the file cannot be written.
    """
    # the sheets' own words need their libraries, and only some commands wait for them
    from core.sheets.work_order import order_of_work

    project = load(args.file)
    layout = Layout(project.lock)
    entries = {entry.number: entry for entry in order_of_work(layout)}
    done = [entries[n].tick for n in _numbers(args.tick, len(entries))]
    undone = [entries[n].tick for n in _numbers(args.untick, len(entries))]
    lock = unticked(ticked(project.lock, done), [(tick.stage, tick.task) for tick in undone])
    if lock != project.lock:
        save(project.with_lock(lock))
        layout = Layout(lock)
    say("\n".join(_text(layout)))
    return 0


def _text(layout: Layout) -> Iterator[str]:
    from core.sheets.work_order import counts, order_of_work, parts_of_work

    done, every = counts(order_of_work(layout))
    wide = columns()
    yield f"ORDER OF WORK: {plain(layout.plan.title)}, {done} of {every} done"
    for part in parts_of_work(layout):
        yield from ("", part.title.upper())
        yield from (textwrap.fill(caution, wide) for caution in part.cautions)
        for entry in part.entries:
            head = f"{entry.number:>3} {BOXES[entry.state]} "
            yield textwrap.fill(
                entry.said, wide, initial_indent=head, subsequent_indent=" " * len(head)
            )


def _numbers(typed: list[str], most: int) -> Iterator[int]:
    """Yield the numbers of tasks as typed, ranges among them."""
    for text in (part.strip() for one in typed for part in one.split(",") if part.strip()):
        first, dash, last = text.partition("-")
        low, high = (parse_count(end) for end in (first, last if dash else first))
        if not 1 <= low <= high <= most:
            raise BadEntryError(f"There is no task {plain(text)}: they are numbered 1 to {most}")
        yield from range(low, high + 1)
