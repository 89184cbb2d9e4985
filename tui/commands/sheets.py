"""`boltwright sheets FILE --to FOLDER`: full-size templates, marking tables and the report, as files."""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from core.errors import BadEntryError
from core.files.project_file import Project, load
from core.layout.layout import Layout
from core.sheets.paper import PAPERS, today
from core.text import plain
from core.units import parse_length
from tui.commands._console import say

if TYPE_CHECKING:
    from core.sheets.printers import Printer
    from core.sheets.states import States

NAME = "sheets"
HELP = "write full-size sheets, marking tables and the report"


def add(parser: argparse.ArgumentParser) -> None:
    """Declare file, folder, paper, choice of sheets, and leave to overwrite."""
    parser.add_argument("file", metavar="FILE", type=Path, help="a project file (.toml)")
    parser.add_argument("--to", metavar="FOLDER", type=Path, help="where they go; made if need be")
    parser.add_argument(
        "--paper",
        choices=PAPERS,
        default=next(iter(PAPERS)),
        help="paper of the PDF files (%(default)s)",
    )
    parser.add_argument(
        "--only", metavar="NAMES", action="append", default=[],
        help="only these sheets, or parts for a cutter, with commas between; a wrong name lists them all",
    )  # fmt: skip
    parser.add_argument(
        "--for", dest="cutter", choices=("paper", "cutter"), default="paper",
        help="cutter: a DXF and an SVG of each flat part for laser or mill, instead of the sheets",
    )  # fmt: skip
    parser.add_argument(
        "--kerf", metavar="WIDTH", default="0", help="what the cutter takes away, such as 0.2 mm"
    )
    parser.add_argument(
        "--printer", metavar="NAME", help="correct the PDF files for a printer that was measured"
    )
    parser.add_argument(
        "--bars", nargs=2, metavar=("ACROSS", "ALONG"),
        help="what that printer's bars measure; kept with your settings",
    )  # fmt: skip
    parser.add_argument(
        "--test-page", action="store_true", help="write only the page to measure a printer from"
    )
    parser.add_argument(
        "--check", metavar="MARK",
        help="write nothing: say whether a printed sheet with this mark still agrees with the file",
    )  # fmt: skip
    parser.add_argument(
        "--scribe-outside", action="store_true",
        help="draw lines on the faces that show when the lock is done, too",
    )  # fmt: skip
    parser.add_argument(
        "--replace",
        action="store_true",
        help="overwrite files that were not written by this command, unasked",
    )


def run(args: argparse.Namespace) -> int:
    """Write the sheets, or check a mark; returns 0, and 1 for a printed sheet that no longer agrees.

    Raises
    ------
    BadFileError
        For a file that cannot be read as a lock.
    BadEntryError
        For a sheet, printer, kerf, bar or mark that there is none of, or a date in the environment that is none.
    SaveError
        Where nothing can be written there, or files of somebody else's are in the way.
    """
    project = load(args.file)
    if args.check is not None:
        return _check(args, project)
    if args.to is None:
        raise BadEntryError("Say where the sheets go: --to FOLDER")
    # the libraries behind these take half a second to load, and only this command needs them
    from core.sheets.folder import NotOursError
    from core.sheets.proof_page import NAME as TEST_PAGE
    from core.sheets.proof_page import write_test_page
    from core.sheets.write import Written, write_for_cutter, write_sheets

    layout, day = Layout(project.lock), today()
    kerf = parse_length(args.kerf, layout.lock.units)
    if kerf and args.cutter != "cutter":
        raise BadEntryError("A kerf is for a cutter: add --for cutter")
    printer = _printer(args, layout.lock.units)
    if args.test_page:
        write_test_page(args.to, args.paper, printer, day, replace=args.replace)
        say(f"{TEST_PAGE} is in {args.to}. Print it at 100 %, and measure a bar each way.")
        return 0
    only = [name.strip() for names in args.only for name in names.split(",") if name.strip()]

    def write(*, replace: bool) -> Written:
        if args.cutter == "cutter":
            return write_for_cutter(
                layout, args.to, kerf=kerf, source=args.file, only=only, replace=replace, progress=_progress,
            )  # fmt: skip
        return write_sheets(
            layout, args.to, day=day, source=args.file, paper=args.paper, only=only, replace=replace,
            notes=project.notes, progress=_progress, printer=printer, scribe_outside=args.scribe_outside,
        )  # fmt: skip

    try:
        written = write(replace=args.replace)
    except NotOursError as error:
        if not _may_replace(error.names):
            raise
        written = write(replace=True)
    for note in (*written.notes, *_changed(written.states, args.cutter)):
        say(note)
    last = (
        "The files are metric, in any lock; measure the first part before you cut the rest."
        if args.cutter == "cutter"
        else "Print at 100 %, and measure both bars before you cut."
    )
    say(f"{len(written.files)} files in {args.to}. {last}")
    return 0


def _check(args: argparse.Namespace, project: Project) -> int:
    from core.sheets.states import check
    from core.sheets.write import job_of

    job = job_of(
        Layout(project.lock), day=today(), source=args.file, scribe_outside=args.scribe_outside
    )
    found = check(job, args.check, project.notes)
    say(found.said)
    return 0 if found.agrees else 1


def _printer(args: argparse.Namespace, units: str) -> "Printer | None":
    """Return the printer that was asked for; one that was just measured is kept."""
    if args.printer is None:
        if args.bars:
            raise BadEntryError("Give the printer whose bars these are a name: --printer NAME")
        return None
    from core.sheets.printers import Printers, measured

    printers = Printers()
    if args.bars:
        printers.keep(measured(args.printer, args.bars[0], args.bars[1], units), today())
    return printers.printer(plain(args.printer).strip())


def _changed(found: "States", written_for: str) -> Iterator[str]:
    """Yield what has become of the sheets since the folder was written before; nothing for a folder's first time."""
    if not (found.stale or found.same or found.left):
        return
    if found.stale:
        since = (
            "Lock or kerf changed since these were written here, cut nothing from older copies"
            if written_for == "cutter"
            else "The lock changed since these were written here, throw their paper away"
        )
        yield f"{since}: {', '.join(found.stale)}."
    if found.new:
        yield f"New in this folder: {', '.join(found.new)}."
    if found.left:
        yield f"Left from before, of no sheet that the lock still has: {', '.join(found.left)}."


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
