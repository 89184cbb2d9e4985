"""`boltwright map FILE`: what room there is about a lock, over two of its dimensions, as text or as JSON."""

import argparse
from pathlib import Path

from core.files.project_file import load
from core.layout.layout import Layout
from core.propose.map_data import map_data
from core.propose.map_text import map_text
from core.propose.room_map import ACROSS, COLUMNS, ROWS, UP, room_map, seen_whole
from tui.commands._answers import say_data, verdict_code
from tui.commands._console import say

NAME = "map"
HELP = "print what room there is about a lock, over two of its dimensions"
_LEAST, _MOST = 10, 400


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the file, the two dimensions, the size of the map, and the choice of JSON."""
    parser.add_argument("file", metavar="FILE", type=Path, help="a project file (.toml)")
    parser.add_argument(
        "--across",
        metavar="PATH",
        default=ACROSS,
        help=f"the dimension across; {ACROSS} if not said",
    )
    parser.add_argument("--up", metavar="PATH", default=UP, help=f"the one up; {UP} if not said")
    parser.add_argument(
        "--size", metavar="COLUMNSxROWS", type=_size, default=(COLUMNS, ROWS),
        help=f"how many places each way, {_LEAST} to {_MOST}; {COLUMNS}x{ROWS} if not said",
    )  # fmt: skip
    parser.add_argument("--json", action="store_true", help="print data for scripts instead")


def _size(text: str) -> tuple[int, int]:
    sizes = text.split("x")
    good = len(sizes) == 2 and all(s.isascii() and s.isdigit() and len(s) < 5 for s in sizes)
    if not good or not all(_LEAST <= int(s) <= _MOST for s in sizes):
        raise argparse.ArgumentTypeError(
            f"a size is like {COLUMNS}x{ROWS}, each from {_LEAST} to {_MOST}"
        )
    return int(sizes[0]), int(sizes[1])


def run(args: argparse.Namespace) -> int:
    """Print the map; returns 1 where a finding stops the lock, else 0.

    Raises
    ------
    BadFileError
        For a file that cannot be read as a lock.
    BadEntryError
        For a path that is no dimension of the lock.
    """
    lock = load(args.file).lock
    found = seen_whole(room_map(lock, args.across, args.up, *args.size), lock)
    if args.json:
        say_data(map_data(found))
    else:
        say(map_text(found))
    return verdict_code(Layout(lock))
