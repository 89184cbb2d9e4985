"""Writing sheets for the dialog: what may run beside the screen, and what it is told to do.

The libraries behind the sheets take as long to load as the rest of the program, so they are
loaded here, and only once sheets are asked for.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from core.errors import BadEntryError
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.sheets.paper import PAPERS, today
from core.text import plain
from core.units import parse_length
from tui.desk.naming import folder_named
from tui.desk.session import Session
from tui.sheets.state import Choice, State

if TYPE_CHECKING:
    from core.sheets.printers import Printers

TEST_PAGE = "test-page"


class StoppedError(Exception):
    """The maker wants no more files; so many of `count` are written."""

    def __init__(self, written: int, count: int) -> None:
        """Stop after so many files."""
        super().__init__(f"{written} of {count}")
        self.written, self.count = written, count


@dataclass(frozen=True)
class Order:
    """What is to be written, and where: the `names` that are chosen, for a printer that was measured or none.

    With a `kerf` [mm] they are parts for a cutter, and paper and printer do not matter.
    """

    lock: Lock
    source: Path | None
    notes: tuple[Finding, ...]
    folder: Path
    paper: str
    names: tuple[str, ...]
    printer: str = ""
    kerf: float | None = None
    replace: bool = False


@dataclass(frozen=True)
class Done:
    """What came of it: how many files, and sentences about what they could not show."""

    files: int
    notes: tuple[str, ...]


def first_folder(session: Session) -> str:
    """Return the folder that is suggested, beside the project file."""
    path = session.project.path
    name = f"{path.stem if path is not None else 'lock'}-sheets"
    if path is None or path.parent.resolve() == Path.cwd():
        return plain(name)
    return plain(str(path.parent / name))


def first_paper(lock: Lock) -> str:
    """Return the paper that is usual where a lock's units are."""
    metric, imperial = PAPERS
    return imperial if lock.units == "in" else metric


def ordered(session: Session, folder: str, state: State) -> Order:
    """Return the order to write what is chosen into the folder that is typed.

    Raises
    ------
    BadEntryError
        Without a folder that can be, or with nothing chosen.
    """
    if not folder.strip():
        raise BadEntryError("Type the name of a folder; it is made if there is none")
    if not state.names:
        what = "part" if state.for_cutter else "sheet"
        raise BadEntryError(f"Choose at least one {what}: F9, then Space")
    project = session.project
    return Order(
        session.lock, project.path, project.notes, folder_named(folder), state.paper, state.names,
        state.printer, state.kerf,
    )  # fmt: skip


def choices(lock: Lock, source: Path | None, notes: tuple[Finding, ...]) -> tuple[Choice, ...]:
    """Return what there is to write for a lock on paper, the test page last.

    Raises
    ------
    BadEntryError
        For a date in the environment that is none.
    """
    from core.sheets.states import marks
    from core.sheets.write import job_of, sheet_titles

    layout = Layout(lock)  # a layout is not to be shared with the screen, which runs beside this
    now = marks(job_of(layout, day=today(), source=source), notes)
    titles = sheet_titles(layout).items()
    found = (Choice(name, title, name, now.get(name, "")) for name, title in titles)
    return (*found, Choice(TEST_PAGE, "Test page, to measure a printer from"))


def parts(lock: Lock, kerf: float) -> tuple[Choice, ...]:
    """Return the parts that there are to write for a cutter with that `kerf` [mm].

    Raises
    ------
    BadEntryError
        For a kerf that is none, or too wide for a part.
    """
    from core.sheets.cutter import checked_kerf, cutting, flat_parts
    from core.sheets.states import cutter_marks, cutter_name, part_name

    layout = Layout(lock)
    flats = flat_parts(layout)
    now = cutter_marks(cutting(flat, checked_kerf(kerf)) for flat in flats)
    return tuple(
        Choice(
            part_name(flat), f"{layout.show(flat.thickness)} thick", cutter_name(flat),
            now[cutter_name(flat)],
        )
        for flat in flats
    )  # fmt: skip


def found(offered: tuple[Choice, ...], folder: str, source: Path | None) -> dict[str, str]:
    """Return "new" or "stale" by name for each choice, against what a folder holds that is typed; nothing else."""
    from core.sheets.write import found_states

    try:
        where = folder_named(folder)
    except BadEntryError:
        return {}
    now = {choice.key: choice.mark for choice in offered if choice.key}
    states = found_states(now, where, source)
    if not (states.stale or states.same):
        return {}  # nothing was written there yet, and all of it is new
    return {choice.name: states.of(choice.key) for choice in offered if choice.key}


def printers() -> "Printers":
    """Return the printers that were measured."""
    from core.sheets.printers import Printers

    return Printers()


def measured(typed: str, units: str) -> str:
    """Keep the printer whose name and bars are typed, and return its name.

    Raises
    ------
    BadEntryError
        For what is no name and two bars, or bars that none of ours can be.
    SaveError
        Where it cannot be kept.
    """
    from core.sheets.printers import Printers
    from core.sheets.printers import measured as printer_of

    parts = [part.strip() for part in typed.split(";")]
    if len(parts) != 3:
        raise BadEntryError(
            "Type its name, then what a bar across and a bar along measure, with ; between"
        )
    printer = printer_of(parts[0], parts[1], parts[2], units)
    Printers().keep(printer, today())
    return printer.name


def kerf_typed(typed: str, units: str) -> float:
    """Return the kerf [mm] that is typed.

    Raises
    ------
    BadEntryError
        For what is no kerf.
    """
    from core.sheets.cutter import checked_kerf

    return checked_kerf(parse_length(typed, units))


def checked(session: Session, mark: str) -> str:
    """Return in a sentence whether a printed sheet with a mark agrees with the lock.

    Raises
    ------
    BadEntryError
        For what is no mark of a sheet of this lock.
    """
    from core.sheets.states import check
    from core.sheets.write import job_of

    project = session.project
    job = job_of(Layout(session.lock), day=today(), source=project.path)
    return check(job, mark, project.notes).said


def written(order: Order, progress: Callable[[int, int, str], None]) -> Done:
    """Write what was ordered; `progress` is told number, count and name before each file.

    Raises
    ------
    NotOursError
        Where files are in the way that were not written here, and `replace` is not set.
    SaveError
        Where nothing can be written there.
    BadEntryError
        For a date in the environment that is none.
    StoppedError
        Passed on from `progress`.
    """
    from core.sheets.proof_page import write_test_page
    from core.sheets.write import write_for_cutter, write_sheets

    if order.kerf is not None:
        done = write_for_cutter(
            Layout(order.lock), order.folder, kerf=order.kerf, source=order.source, only=order.names,
            replace=order.replace, progress=progress,
        )  # fmt: skip
        return Done(len(done.files), done.notes)
    printer = printers().printer(order.printer) if order.printer else None
    only = tuple(name for name in order.names if name != TEST_PAGE)
    if only != order.names:
        write_test_page(order.folder, order.paper, printer, today(), replace=order.replace)
        if not only:
            return Done(1, ())
    done = write_sheets(
        Layout(order.lock), order.folder, day=today(), source=order.source, paper=order.paper,
        only=only, replace=order.replace, notes=order.notes, progress=progress, printer=printer,
    )  # fmt: skip
    return Done(len(done.files) + (only != order.names), done.notes)
