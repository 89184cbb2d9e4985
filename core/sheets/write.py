"""Write the sheets of a lock into a folder: the way in for the command line and for the program."""

import re
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from core.errors import BadEntryError
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.report.bench_report import bench_report
from core.sheets.compose import Composed, composed
from core.sheets.dxf import dxf_text
from core.sheets.faces import all_sheets
from core.sheets.folder import Folder, NotOursError
from core.sheets.furniture import Job
from core.sheets.lettering import lacking
from core.sheets.markdown import markdown
from core.sheets.paper import PAPERS
from core.sheets.pdf import templates_pdf
from core.sheets.pdf_tables import tables_pdf
from core.sheets.svg import svg_text
from core.sheets.tables import tables
from core.text import plain

TABLES, REPORT = "tables", "report"
Progress = Callable[[int, int, str], None]
_NAME = re.compile(r"[^a-z0-9]+")


@dataclass(frozen=True)
class Written:
    """What was written: the files in order, and sentences about what could not be shown."""

    files: tuple[Path, ...]
    notes: tuple[str, ...]


def sheet_titles(layout: Layout) -> dict[str, str]:
    """Return what there is to choose from, by name: every sheet, then the tables and the report."""
    sheets = {sheet.name: sheet.title for sheet in all_sheets(layout)}
    return sheets | {TABLES: "Marking, drills, stock, tick list", REPORT: "Bench report"}


def write_sheets(
    layout: Layout,
    folder: Path,
    *,
    day: date,
    source: Path | None = None,
    paper: str = "A4",
    only: Iterable[str] = (),
    replace: bool = False,
    notes: Iterable[Finding] = (),
    progress: Progress | None = None,
) -> Written:
    """Write sheets, tables and report of a lock; the same arguments give the same files, byte for byte.

    Parameters
    ----------
    layout
        The lock; its units are those of the sheets.
    folder
        Made if it is not there.
    day
        The date printed on every sheet.
    source
        The project file, whose name is printed and begins the names of the files.
    paper
        "A4" or "Letter".
    only
        Names from `sheet_titles`; none for everything.
    replace
        Also overwrite files that this program did not write, or that were changed since.
    notes
        Findings of reading the project file, for the report.
    progress
        Called before each file with its number, how many there are, and its name.

    Raises
    ------
    BadEntryError
        For a sheet or paper that there is none of.
    NotOursError
        Where files are in the way and `replace` is not set; nothing is written.
    SaveError
        Where nothing can be written there.
    """
    if paper not in PAPERS:
        raise BadEntryError(f"{paper!r} is no paper: it takes {' or '.join(PAPERS)}")
    chosen = _chosen(layout, tuple(only))
    stem = file_stem(source)
    job = Job(layout, source.name if source else "not saved yet", day, paper)
    makers = _makers(job, stem, chosen, notes)
    target = Folder(folder)
    foreign = () if replace else target.in_the_way(makers)
    if foreign:
        raise NotOursError(folder, foreign)
    for number, (name, make) in enumerate(makers.items(), start=1):
        if progress is not None:
            progress(number, len(makers), name)
        target.write({name: make()})
    return Written(tuple(folder / name for name in makers), tuple(_shown_badly(job)))


def file_stem(source: Path | None) -> str:
    """Return what the names of the files begin with: the project file's name in plain letters, digits and -."""
    name = source.stem if source else ""
    simple = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return _NAME.sub("-", simple).strip("-")[:60] or "lock"


def _chosen(layout: Layout, only: tuple[str, ...]) -> tuple[str, ...]:
    names = tuple(sheet_titles(layout))
    for name in only:
        if name not in names:
            raise BadEntryError(
                f"There is no sheet called {plain(name)!r}: choose from {', '.join(names)}"
            )
    return tuple(name for name in names if not only or name in only)


def _makers(
    job: Job, stem: str, chosen: tuple[str, ...], notes: Iterable[Finding]
) -> dict[str, Callable[[], bytes]]:
    """Return what makes each file, by its name, in the order of writing."""
    sheets = [composed(job, sheet) for sheet in all_sheets(job.layout) if sheet.name in chosen]
    title = plain(job.layout.lock.title)
    makers: dict[str, Callable[[], bytes]] = {}
    if len(sheets) == len(all_sheets(job.layout)):
        makers[f"{stem}-templates.pdf"] = lambda: templates_pdf(job, sheets, f"{title}: templates")
    else:
        for sheet in sheets:
            makers[f"{stem}-{sheet.sheet.name}.pdf"] = _pdf(job, sheet)
    for sheet in sheets:
        makers[f"{stem}-{sheet.sheet.name}.svg"] = _svg(job, sheet)
        makers[f"{stem}-{sheet.sheet.name}.dxf"] = _dxf(job, sheet)
    if TABLES in chosen:
        made = tables(job)
        makers[f"{stem}-tables.pdf"] = lambda: tables_pdf(job, made)
        makers[f"{stem}-tables.md"] = lambda: markdown(job, made).encode()
    if REPORT in chosen:
        found = tuple(notes)
        makers[f"{stem}-report.txt"] = lambda: bench_report(job.layout, found).encode()
    return makers


def _pdf(job: Job, sheet: Composed) -> Callable[[], bytes]:
    return lambda: templates_pdf(
        job, [sheet], f"{plain(job.layout.lock.title)}: {sheet.sheet.title}"
    )


def _svg(job: Job, sheet: Composed) -> Callable[[], bytes]:
    marks, bounds = sheet.whole(job)
    return lambda: svg_text(marks, bounds, f"{sheet.sheet.title}, {job.subtitle}").encode()


def _dxf(job: Job, sheet: Composed) -> Callable[[], bytes]:
    marks, _ = sheet.whole(job)
    return lambda: dxf_text(marks, f"{sheet.sheet.title}, {job.subtitle}").encode()


def _shown_badly(job: Job) -> Iterable[str]:
    missing = lacking(job.layout.lock.title + job.source)
    if missing:
        yield (
            f"The letters of the PDF files lack {missing[:20]}: a question mark stands for each; the other files "
            "show them."
        )
