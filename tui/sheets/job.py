"""Writing sheets for the dialog: what may run beside the screen, and what it is told to do.

The libraries behind the sheets take as long to load as the rest of the program, so they are
loaded here, and only once sheets are asked for.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from core.errors import BadEntryError
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.sheets.paper import PAPERS, today
from core.text import plain
from tui.desk.naming import folder_named
from tui.desk.session import Session


class StoppedError(Exception):
    """The maker wants no more files; so many of `count` are written."""

    def __init__(self, written: int, count: int) -> None:
        """Stop after so many files."""
        super().__init__(f"{written} of {count}")
        self.written, self.count = written, count


@dataclass(frozen=True)
class Choice:
    """One thing that can be written: its name in files, and its title."""

    name: str
    title: str


@dataclass(frozen=True)
class Order:
    """What is to be written, and where. `names` are those chosen, none for all of them."""

    lock: Lock
    source: Path | None
    notes: tuple[Finding, ...]
    folder: Path
    paper: str
    names: tuple[str, ...]
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


def ordered(session: Session, folder: str, paper: str, names: tuple[str, ...]) -> Order:
    """Return the order to write the sheets of some `names` into the folder that is typed.

    Raises
    ------
    BadEntryError
        Without a folder that can be, or without a sheet.
    """
    if not folder.strip():
        raise BadEntryError("Type the name of a folder; it is made if there is none")
    if not names:
        raise BadEntryError("Choose at least one sheet: F9, then Space")
    project = session.project
    return Order(session.lock, project.path, project.notes, folder_named(folder), paper, names)


def choices(lock: Lock) -> tuple[Choice, ...]:
    """Return what there is to write for a lock."""
    from core.sheets.write import sheet_titles

    layout = Layout(lock)  # a layout is not to be shared with the screen, which runs beside this
    return tuple(Choice(name, title) for name, title in sheet_titles(layout).items())


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
    from core.sheets.write import write_sheets

    done = write_sheets(
        Layout(order.lock), order.folder, day=today(), source=order.source, paper=order.paper,
        only=order.names, replace=order.replace, notes=order.notes, progress=progress,
    )  # fmt: skip
    return Done(len(done.files), done.notes)
