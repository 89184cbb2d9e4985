"""Write the sheets of a lock into a folder: the way in for the command line and for the program."""

import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import partial
from pathlib import Path

from core.errors import BadEntryError
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.report.bench_report import bench_report
from core.sheets import bench_card
from core.sheets.book import book
from core.sheets.compose import Composed, composed
from core.sheets.cutter import Cutting, about, checked_kerf, cutting, flat_parts
from core.sheets.dxf import dxf_text
from core.sheets.faces import all_sheets
from core.sheets.folder import Folder, NotOursError, written_marks
from core.sheets.furniture import Job
from core.sheets.lettering import lacking
from core.sheets.markdown import markdown
from core.sheets.pages import too_large
from core.sheets.paper import PAPERS
from core.sheets.pdf import pages_pdf
from core.sheets.pdf_tables import tables_pdf
from core.sheets.printers import Printer
from core.sheets.states import (
    REPORT,
    TABLES,
    States,
    cutter_marks,
    cutter_name,
    marks,
    part_name,
    states,
)
from core.sheets.svg import svg_text
from core.sheets.table import Table
from core.sheets.tables import tables
from core.text import plain

Progress = Callable[[int, int, str], None]
_NAME = re.compile(r"[^a-z0-9]+")


@dataclass(frozen=True)
class Written:
    """What was written: the files in order, sentences about what could not be shown, and what has changed."""

    files: tuple[Path, ...]
    notes: tuple[str, ...]
    states: States


@dataclass(frozen=True)
class _Made:
    """A file that is to be written: the marks of the sheets in it, by name, and what makes it."""

    marks: dict[str, str]
    make: Callable[[], bytes]


def sheet_titles(layout: Layout) -> dict[str, str]:
    """Return what there is to choose from, by name: every sheet, the bench card, the tables, the report."""
    sheets = {sheet.name: sheet.title for sheet in all_sheets(layout)}
    return sheets | {
        bench_card.NAME: bench_card.TITLE,
        TABLES: "Marking, drills, stock, tick list",
        REPORT: "Bench report",
    }


def job_of(
    layout: Layout,
    *,
    day: date,
    source: Path | None = None,
    paper: str = "A4",
    printer: Printer | None = None,
    scribe_outside: bool = False,
) -> Job:
    """Return an order of sheets; see `write_sheets`.

    Raises
    ------
    BadEntryError
        For a paper that there is none of.
    """
    if paper not in PAPERS:
        raise BadEntryError(f"{paper!r} is no paper: it takes {' or '.join(PAPERS)}")
    name = source.name if source else "not saved yet"
    return Job(layout, name, day, paper, scribe_outside, printer)


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
    printer: Printer | None = None,
    scribe_outside: bool = False,
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
    printer
        One that was measured, for which the PDF files are corrected.
    scribe_outside
        Also scribe the faces that show when the lock is done.

    Raises
    ------
    BadEntryError
        For a sheet or paper that there is none of.
    NotOursError
        Where files are in the way and `replace` is not set; nothing is written.
    SaveError
        Where nothing can be written there.
    """
    job = job_of(
        layout, day=day, source=source, paper=paper, printer=printer, scribe_outside=scribe_outside
    )
    found, stem = tuple(notes), file_stem(source)
    chosen = _picked(tuple(sheet_titles(layout)), tuple(only), "sheet")
    now = marks(job, found)
    every = all_sheets(layout, scribe_outside=scribe_outside)
    sheets = [composed(sheet) for sheet in every if sheet.name in chosen]
    whole = len(sheets) == len(every)
    makers = _makers(job, stem, {name: now[name] for name in chosen}, found, sheets, whole=whole)
    before = states(now, written_marks(folder, stem))
    files = _put(folder, stem, makers, replace=replace, progress=progress)
    return Written(files, (*_shown_badly(job), *_too_large(job, sheets)), before)


def write_for_cutter(
    layout: Layout,
    folder: Path,
    *,
    kerf: float = 0.0,
    source: Path | None = None,
    only: Iterable[str] = (),
    replace: bool = False,
    progress: Progress | None = None,
) -> Written:
    """Write a DXF and an SVG file of every flat part, for a cutter with that `kerf` [mm]; otherwise as `write_sheets`.

    `only` has names from `part_names`; none for all parts. `notes` of what is returned say how thick each part is and
    from which side it is drawn.

    Raises
    ------
    BadEntryError
        For a part that there is none of, and a kerf that is none, or too wide for a part; nothing is written.
    NotOursError
        Where files are in the way and `replace` is not set; nothing is written.
    SaveError
        Where nothing can be written there.
    """
    stem, flats = file_stem(source), {part_name(flat): flat for flat in flat_parts(layout)}
    chosen = _picked(tuple(flats), tuple(only), "part to cut")
    cuts = [cutting(flats[name], checked_kerf(kerf)) for name in chosen]
    now = cutter_marks(cuts)
    makers: dict[str, _Made] = {}
    for cut in cuts:
        name = cutter_name(cut.flat)
        held = {name: now[name]}
        makers[f"{stem}-{name}.dxf"] = _Made(held, partial(_dxf_of, cut))
        makers[f"{stem}-{name}.svg"] = _Made(held, partial(_svg_of, cut))
    passed_by = {cutter_name(flat) for name, flat in flats.items() if name not in chosen}
    written = written_marks(folder, stem)
    before = states(
        now, {file: held for file, held in written.items() if not passed_by & set(held)}
    )
    files = _put(folder, stem, makers, replace=replace, progress=progress)
    return Written(files, tuple(about(layout, cut) for cut in cuts), before)


def part_names(layout: Layout) -> tuple[str, ...]:
    """Return the names of the parts that there are files for a cutter of."""
    return tuple(part_name(flat) for flat in flat_parts(layout))


def _dxf_of(cut: Cutting) -> bytes:
    return cut.dxf


def _svg_of(cut: Cutting) -> bytes:
    return cut.svg


def _put(
    folder: Path, stem: str, makers: dict[str, _Made], *, replace: bool, progress: Progress | None
) -> tuple[Path, ...]:
    """Make files and write them into a folder; nothing is written where one of somebody else's is in the way."""
    target = Folder(folder)
    foreign = () if replace else target.in_the_way(makers)
    if foreign:
        raise NotOursError(folder, foreign)
    for number, (name, made) in enumerate(makers.items(), start=1):
        if progress is not None:
            progress(number, len(makers), name)
        target.write(name, made.make(), stem, made.marks)
    return tuple(folder / name for name in makers)


def found_states(now: Mapping[str, str], folder: Path, source: Path | None) -> States:
    """Return which sheets, whose marks are `now` by name, are new or stale in a folder, without writing anything."""
    return states(now, written_marks(folder, file_stem(source)))


def file_stem(source: Path | None) -> str:
    """Return what the names of the files begin with: the project file's name in plain letters, digits and -."""
    name = source.stem if source else ""
    simple = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return _NAME.sub("-", simple).strip("-")[:60] or "lock"


def _picked(names: tuple[str, ...], only: tuple[str, ...], what: str) -> tuple[str, ...]:
    """Return those of `names` that are wanted, in their order; none wanted is all of them."""
    for name in only:
        if name not in names:
            raise BadEntryError(
                f"There is no {what} called {plain(name)!r}: choose from {', '.join(names)}"
            )
    return tuple(name for name in names if not only or name in only)


def _makers(
    job: Job,
    stem: str,
    chosen: dict[str, str],
    notes: tuple[Finding, ...],
    sheets: list[Composed],
    *,
    whole: bool,
) -> dict[str, _Made]:
    """Return what makes each file, by its name, in the order of writing.

    `chosen` are marks by name, `sheets` those of them that are drawings; `whole` says that it is all there are, which
    then go into one book.
    """
    layout = job.layout
    title = plain(layout.lock.title)
    card = bench_card.bench_card(layout) if bench_card.NAME in chosen else ()
    makers: dict[str, _Made] = {}

    def pdf(name: str, of: list[Composed], said: str, card: tuple[Table, ...] = ()) -> None:
        held = {made.sheet.name: made.mark for made in of}
        mark = chosen.get(bench_card.NAME, "")
        held |= {bench_card.NAME: mark} if card else {}
        make = lambda: pages_pdf(job, book(job, of, card, mark), f"{title}: {said}")  # noqa: E731
        makers[f"{stem}-{name}.pdf"] = _Made(held, make)

    if whole:
        pdf("templates", sheets, "templates", card)
    else:
        for sheet in sheets:
            pdf(sheet.sheet.name, [sheet], sheet.sheet.title)
        if card:
            pdf(bench_card.NAME, [], bench_card.TITLE, card)
    for sheet in sheets:
        held = {sheet.sheet.name: sheet.mark}
        makers[f"{stem}-{sheet.sheet.name}.svg"] = _Made(held, _svg(job, sheet))
        makers[f"{stem}-{sheet.sheet.name}.dxf"] = _Made(held, _dxf(job, sheet))
    if TABLES in chosen:
        made, held = tables(job), {TABLES: chosen[TABLES]}
        makers[f"{stem}-tables.pdf"] = _Made(held, lambda: tables_pdf(job, made))
        makers[f"{stem}-tables.md"] = _Made(held, lambda: markdown(job, made).encode())
    if REPORT in chosen:
        report = {REPORT: chosen[REPORT]}
        makers[f"{stem}-report.txt"] = _Made(report, lambda: bench_report(layout, notes).encode())
    return makers


def _svg(job: Job, sheet: Composed) -> Callable[[], bytes]:
    marks, bounds = sheet.whole(job)
    return lambda: svg_text(marks, bounds, f"{sheet.sheet.title}, {job.subtitle}").encode()


def _dxf(job: Job, sheet: Composed) -> Callable[[], bytes]:
    marks, _ = sheet.whole(job)
    return lambda: dxf_text(marks, f"{sheet.sheet.title}, {job.subtitle}").encode()


def _too_large(job: Job, sheets: Iterable[Composed]) -> Iterable[str]:
    """Yield a sentence for each sheet that no number of pages is sensible for."""
    for sheet in sheets:
        if said := too_large(job, sheet):
            yield f"{said}; take its SVG or DXF file to a large printer or plotter."


def _shown_badly(job: Job) -> Iterable[str]:
    missing = lacking(job.layout.lock.title + job.source)
    if missing:
        yield (
            f"The letters of the PDF files lack {missing[:20]}: a question mark stands for each; the other files "
            "show them."
        )
