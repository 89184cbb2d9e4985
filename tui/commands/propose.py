"""`boltwright propose [FILE]`: locks that work for what is given, as text or as JSON for scripts."""

import argparse
from pathlib import Path

from core.errors import BadEntryError
from core.files.project_file import Project, load, save
from core.layout.layout import Layout
from core.lock.first_lock import first_lock
from core.lock.lock import Lock, paths, spec_of
from core.propose.given import AT_HAND, PROPOSED
from core.propose.proposals import Proposals, proposals
from core.propose.proposals_data import proposals_data
from core.propose.proposals_text import proposals_text
from core.text import plain
from tui.commands._answers import say_data
from tui.commands._console import say

NAME = "propose"
HELP = "propose locks that work for a plate and a shackle's end"
_LONGEST = 60


def add(parser: argparse.ArgumentParser) -> None:
    """Declare what is given, what is kept, what the maker will make, and where a proposal goes."""
    parser.add_argument(
        "file", metavar="FILE", type=Path, nargs="?",
        help="a project file (.toml) to begin with; a new lock if not said",
    )  # fmt: skip
    parser.add_argument("--units", choices=("mm", "in"), default="mm", help="units of a new lock")
    parser.add_argument(
        "--set", metavar="PATH=VALUE", action="append", default=[],
        help="a value that is given, such as plate.width=80 or shackle.across=-29; it is kept",
    )  # fmt: skip
    parser.add_argument(
        "--keep", metavar="PATH", action="append", default=[],
        help="a value of FILE that stays as it is, such as key.radius",
    )  # fmt: skip
    for way, what in (("least", "least"), ("most", "most")):
        parser.add_argument(
            f"--{way}", metavar="PATH=VALUE", action="append", default=[],
            help=f"the {what} that you will make of one, such as key.radius=18",
        )  # fmt: skip
    parser.add_argument(
        "--take", metavar="N", type=int, help="the number of the proposal that is saved with --to"
    )
    parser.add_argument("--to", metavar="NEW", type=Path, help="a new project file for it")
    parser.add_argument("--json", action="store_true", help="print data for scripts instead")


def run(args: argparse.Namespace) -> int:
    """Print proposals, and save one where that is asked for; returns 1 where there is none, else 0.

    Raises
    ------
    BadFileError
        For a file that cannot be read as a lock.
    BadEntryError, BadValueError
        For a path that no lock has, or a value that may not stand there.
    SaveError
        For a proposal that cannot be saved.
    """
    if (args.take is None) != (args.to is None):
        raise BadEntryError("--take and --to go together: which proposal, and the new file")
    if args.to is not None and args.to.exists():
        raise BadEntryError(f"{plain(str(args.to))} is there already: name a new file")
    lock = first_lock(args.units) if args.file is None else load(args.file).lock
    kept = {_path(lock, text, "--keep") for text in args.keep}
    kept |= set() if args.file is None else {*AT_HAND}
    for text in args.set:
        path, value = _entry(lock, text, "--set")
        lock = lock.with_value(path, value)
        kept.add(path)
    ranges: dict[str, tuple[float, float]] = {}
    for text in args.least:
        path, value = _size(lock, text, "--least")
        ranges[path] = (value, ranges.get(path, (0.0, float("inf")))[1])
    for text in args.most:
        path, value = _size(lock, text, "--most")
        ranges[path] = (ranges.get(path, (0.0, float("inf")))[0], value)
    found = proposals(lock, kept, ranges)
    layout = Layout(lock)
    if args.json:
        say_data(proposals_data(layout, found))
    else:
        say(proposals_text(layout, found))
    if args.to is not None:
        _saved(args, found)
    return 0 if found.found else 1


def _saved(args: argparse.Namespace, found: Proposals) -> None:
    if not 1 <= args.take <= len(found.found):
        raise BadEntryError(f"There is no proposal {args.take}: there are {len(found.found)}")
    save(Project(None, found.found[args.take - 1].lock), args.to)


def _path(lock: Lock, text: str, option: str) -> str:
    if text not in paths(lock):
        raise BadEntryError(
            f"{option}: a lock has no {plain(text)[:_LONGEST]!r}; a path is like key.radius"
        )
    return text


def _entry(lock: Lock, text: str, option: str) -> tuple[str, object]:
    path, sign, value = text.partition("=")
    if not sign:
        raise BadEntryError(
            f"{option} takes PATH=VALUE, such as key.radius=18, not {plain(text)[:_LONGEST]!r}"
        )
    path = _path(lock, path.strip(), option)
    return path, spec_of(path).entered(value.strip(), lock.units)


def _size(lock: Lock, text: str, option: str) -> tuple[str, float]:
    path, value = _entry(lock, text, option)
    if path not in PROPOSED or not isinstance(value, float):
        raise BadEntryError(f"{option}: {path} is nothing that is proposed; see the sizes of one")
    return path, value
