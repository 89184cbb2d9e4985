"""What a folder of sheets holds against what the lock now asks for: which sheets are new, which are stale."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from core.errors import BadEntryError
from core.layout.findings import Finding
from core.report.bench_report import bench_report
from core.sheets import bench_card
from core.sheets.cutter import Cutting
from core.sheets.faces import all_sheets
from core.sheets.furniture import Job
from core.sheets.record import Flat
from core.sheets.stamp import is_of, mark_of, read_mark, said, sheet_mark
from core.sheets.table import Table
from core.sheets.tables import tables

TABLES, REPORT = "tables", "report"
CUTTER = "cutter-"
"""What the names of files for a cutter begin with."""


@dataclass(frozen=True)
class States:
    """Names of sheets by what has become of them since a folder was written.

    `new` were never written there, `stale` are of another state of the lock, `same` are as they were; `left` are files
    of sheets that the lock no longer has.
    """

    new: tuple[str, ...] = ()
    stale: tuple[str, ...] = ()
    same: tuple[str, ...] = ()
    left: tuple[str, ...] = ()

    def of(self, name: str) -> str:
        """Return one word for a sheet: "new", "stale", or "" for one that is as it was."""
        return "stale" if name in self.stale else "new" if name in self.new else ""


def marks(job: Job, notes: Iterable[Finding] = ()) -> dict[str, str]:
    """Return the mark that each sheet would bear if it were written now, by name."""
    sheets = all_sheets(job.layout, scribe_outside=job.scribe_outside)
    found = {sheet.name: sheet_mark(sheet) for sheet in sheets}
    found[bench_card.NAME] = card_mark(job)
    found[TABLES] = mark_of(TABLES, _cells(tables(job)))
    found[REPORT] = mark_of(REPORT, [bench_report(job.layout, tuple(notes))])
    return found


def cutter_marks(cuttings: Iterable[Cutting]) -> dict[str, str]:
    """Return the marks of the files for a cutter, by name."""
    return {
        cutter_name(cut.flat): mark_of(
            cutter_name(cut.flat), [f"{cut.kerf:.4f}", *map(said, cut.strokes)]
        )
        for cut in cuttings
    }


def cutter_name(flat: Flat) -> str:
    """Return what a flat part is called in the names of files for a cutter."""
    return CUTTER + part_name(flat)


def part_name(flat: Flat) -> str:
    """Return what a flat part is called where names of parts are chosen from."""
    return flat.name.replace(" ", "-")


def card_mark(job: Job) -> str:
    """Return the mark of the bench card."""
    return mark_of(bench_card.NAME, _cells(bench_card.bench_card(job.layout)))


def _cells(of: Iterable[Table]) -> Iterable[str]:
    for table in of:
        yield from (table.title, *table.notes, *(cell for row in table.rows for cell in row))


def states(now: Mapping[str, str], before: Mapping[str, Mapping[str, str]]) -> States:
    """Return what has become of the sheets whose marks are `now`, by name.

    `before` has for every file that was written the marks of the sheets in it, by name. Sheets and files for a cutter
    are apart: each knows only its own.
    """
    cutter = any(name.startswith(CUTTER) for name in now)
    before = {
        file: written
        for file, written in before.items()
        if all(name.startswith(CUTTER) is cutter for name in written)
    }
    known: dict[str, set[str]] = {}
    for written in before.values():
        for name, mark in written.items():
            known.setdefault(name, set()).add(mark)
    return States(
        new=tuple(name for name in now if name not in known),
        stale=tuple(name for name, mark in now.items() if known.get(name, {mark}) != {mark}),
        same=tuple(name for name, mark in now.items() if known.get(name) == {mark}),
        left=tuple(
            file for file, written in before.items() if written and not set(written) & set(now)
        ),
    )


@dataclass(frozen=True)
class Checked:
    """A printed sheet held against the file: which sheet it is, whether they agree, and the mark it would have now."""

    name: str
    agrees: bool
    mark: str

    @property
    def said(self) -> str:
        """Whether they agree, in a sentence."""
        if self.agrees:
            return f"Paper and file agree: the sheet {self.name} is as it would be printed now."
        return f"Paper and file differ: the sheet {self.name} now has the mark {self.mark}. Print it before you cut."


def check(job: Job, text: str, notes: Iterable[Finding] = ()) -> Checked:
    """Hold the mark on a printed sheet against the lock as it stands.

    Raises
    ------
    BadEntryError
        For what is no mark, and for one that no sheet of any state of this lock bears.
    """
    mark = read_mark(text)
    for name, now in marks(job, notes).items():
        if is_of(mark, name):
            return Checked(name, mark == now, now)
    raise BadEntryError(f"No sheet of this lock has a mark that begins like {mark}: read it again")
