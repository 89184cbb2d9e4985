"""`boltwright spread FILE`: how near to the plan the parts of a lock have to be, as text or as JSON for scripts."""

import argparse
from collections.abc import Callable
from pathlib import Path

from core.files.project_file import load
from core.layout.layout import Layout
from core.spread.spread_data import spread_data
from core.spread.spread_text import spread_text
from core.spread.study import LOCKS, SEED
from core.spread.whole import spreading
from core.text import plain
from tui.commands._answers import say_data, verdict_code
from tui.commands._console import say

NAME = "spread"
HELP = "print how near to the plan the parts of a lock have to be"
MOST = 10_000_000
_LONGEST = 20
"""Digits from which on no number is read."""


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the file, how many locks from which seed, and the choice of JSON."""
    parser.add_argument("file", metavar="FILE", type=Path, help="a project file (.toml)")
    parser.add_argument(
        "--locks", metavar="N", type=_number(100, MOST), default=LOCKS,
        help=f"how many locks to draw, 100 to {MOST:,}; {LOCKS:,} if not said",
    )  # fmt: skip
    parser.add_argument(
        "--seed", metavar="N", type=_number(0, 2**32 - 1), default=SEED,
        help="whole number that the draws begin from: the same gives the same",
    )  # fmt: skip
    parser.add_argument("--json", action="store_true", help="print data for scripts instead")


def _number(least: int, most: int) -> Callable[[str], int]:
    """Return what reads a whole number between two others, and refuses anything else in one sentence."""

    def read(text: str) -> int:
        number = int(text) if text.isascii() and text.isdigit() and len(text) < _LONGEST else -1
        if not least <= number <= most:
            raise argparse.ArgumentTypeError(
                f"{plain(text)!r} is no whole number from {least} to {most}"
            )
        return number

    return read


def run(args: argparse.Namespace) -> int:
    """Print the spread; returns 1 where a finding stops the lock, else 0.

    Raises
    ------
    BadFileError
        For a file that cannot be read as a lock.
    """
    layout = Layout(load(args.file).lock)
    found = None
    for found in spreading(layout, args.locks, args.seed):  # noqa: B007 - the last one has everything
        pass
    if args.json:
        say_data(spread_data(layout, found, args.locks, args.seed))
    else:
        say(spread_text(layout, found))
    return verdict_code(layout)
