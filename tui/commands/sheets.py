"""`boltwright sheets FILE --to FOLDER`: full-size templates, marking tables and the report, as files."""

import argparse
import sys
from pathlib import Path

from core.files.project_file import load
from core.layout.layout import Layout
from core.sheets.paper import PAPERS, today
from tui.commands._console import say

NAME = "sheets"
HELP = "write full-size templates, marking tables and the report"


def add(parser: argparse.ArgumentParser) -> None:
    """Declare file, folder, paper, choice of sheets, and leave to overwrite."""
    parser.add_argument("file", metavar="FILE", type=Path, help="a project file (.toml)")
    parser.add_argument(
        "--to", metavar="FOLDER", type=Path, required=True, help="where they go; made if need be"
    )
    parser.add_argument(
        "--paper",
        choices=PAPERS,
        default=next(iter(PAPERS)),
        help="paper of the PDF files (%(default)s)",
    )
    parser.add_argument(
        "--only", metavar="NAMES", action="append", default=[],
        help="only these, with commas between; a wrong name lists them all",
    )  # fmt: skip
    parser.add_argument(
        "--replace",
        action="store_true",
        help="overwrite files that were not written by this command, unasked",
    )


def run(args: argparse.Namespace) -> int:
    """Write the sheets; returns 0.

    Raises
    ------
    BadFileError
        For a file that cannot be read as a lock.
    BadEntryError
        For a sheet that there is none of, or a date in the environment that is none.
    SaveError
        Where nothing can be written there, or files of somebody else's are in the way.
    """
    project = load(args.file)
    # the libraries behind these take half a second to load, and only this command needs them
    from core.sheets.folder import NotOursError
    from core.sheets.write import Written, write_sheets

    layout, day = Layout(project.lock), today()
    only = [name.strip() for names in args.only for name in names.split(",") if name.strip()]

    def write(*, replace: bool) -> Written:
        return write_sheets(
            layout, args.to, day=day, source=args.file, paper=args.paper, only=only, replace=replace,
            notes=project.notes, progress=_progress,
        )  # fmt: skip

    try:
        written = write(replace=args.replace)
    except NotOursError as error:
        if not _may_replace(error.names):
            raise
        written = write(replace=True)
    for note in written.notes:
        say(note)
    say(
        f"{len(written.files)} files in {args.to}. Print at 100 %, and measure both bars before you cut."
    )
    return 0


def _progress(number: int, count: int, name: str) -> None:
    say(f"{number:>3} of {count}  {name}")


def _may_replace(names: tuple[str, ...]) -> bool:
    """Ask whether to overwrite; without a terminal to ask on the answer is no."""
    if not all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout)):
        return False
    say("These were not written by this command, or were changed since:")
    for name in names:
        say(f"  {name}")
    say("Overwrite them? Type yes, anything else stops.")
    return sys.stdin.readline().strip().lower() in ("yes", "y")
