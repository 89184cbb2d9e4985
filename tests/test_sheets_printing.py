"""True printing: a printer that is out, as poppler draws the page at uneven resolutions, measured and put right."""

import io
import os
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from core.errors import BadEntryError, SaveError
from core.layout.drawing import Label, Stroke
from core.layout.layout import Layout
from core.sheets.book import book
from core.sheets.folder import NotOursError
from core.sheets.furniture import Job
from core.sheets.leaf import Leaf
from core.sheets.pdf import pages_pdf
from core.sheets.printers import FARTHEST, Printer, Printers, measured, own_file
from core.sheets.proof_page import marks, proof_pdf, write_test_page
from tests.page_reading import sheets_of, touching
from tests.sheet_reading import DAY, SAMPLES, unbroken, written

DPI = 300
PER_MM = DPI / 25.4
WITHIN = 0.1  # mm
PDFTOPPM = shutil.which("pdftoppm") or ""
poppler = pytest.mark.skipif(
    not PDFTOPPM, reason="poppler is not installed: apt-get install poppler-utils"
)
OUT = (0.995, 1.004)
"""What a printer that is half a percent out makes of a length of 1, across the paper and along it."""


def printed(data: bytes, folder: Path, across: float = 1.0, along: float = 1.0) -> np.ndarray:
    """Return the first page as such a printer prints it, dark pixels true, shape (rows, columns) at `DPI`."""
    file = folder / "page.pdf"
    file.write_bytes(data)
    subprocess.run(
        [PDFTOPPM, "-rx", str(DPI * across), "-ry", str(DPI * along), "-aa", "no", "-aaVector", "no",
         "-gray", "-l", "1", str(file), str(folder / "page")],
        check=True, capture_output=True,
    )  # fmt: skip
    (picture,) = folder.glob("page*.pgm")
    pixels = np.asarray(Image.open(picture)) < 160
    picture.unlink()
    return pixels


def bars_measure(pixels: np.ndarray, length: float) -> tuple[float, float]:
    """Return how long [mm] the bars nearest to `length` [mm] are, level and upright, as a calliper finds them."""
    found = []
    for runs in (unbroken(pixels), unbroken(pixels.T)):
        lengths = np.array(runs) / PER_MM - 0.13  # the end strokes reach half their width beyond
        found.append(float(lengths[np.argmin(np.abs(lengths - length))]))
    return (found[0], found[1])


def true(pixels: np.ndarray) -> bool:
    """The check of a printed sheet: every bar measures what it says, both ways."""
    return all(
        abs(found - length) <= WITHIN
        for length in (50.0, 150.0)
        for found in bars_measure(pixels, length)
    )


@poppler
@pytest.mark.slow
def test_a_printer_that_is_out_is_measured_and_prints_true_afterwards(tmp_path: Path) -> None:
    plain = proof_pdf(Leaf("A4"), DAY)
    assert true(printed(plain, tmp_path))
    # the control: half a percent must be caught
    assert not true(printed(plain, tmp_path, 0.995, 1.0))
    assert not true(printed(plain, tmp_path, 1.0, 1.005))
    across, along = bars_measure(printed(plain, tmp_path, *OUT), 150.0)
    printer = measured("workshop", f"{across:.2f} mm", f"{along:.2f} mm")
    assert printer.across == pytest.approx(OUT[0], abs=8e-4)
    assert printer.along == pytest.approx(OUT[1], abs=8e-4)
    corrected = proof_pdf(Leaf("A4", printer), DAY)
    assert true(printed(corrected, tmp_path, *OUT))
    # and on a printer that needs no correction it is as wrong the other way
    assert not true(printed(corrected, tmp_path))


@poppler
@pytest.mark.slow
def test_sheets_for_a_measured_printer_come_out_true(tmp_path: Path) -> None:
    lock = SAMPLES[0]
    wanted = None
    for printer, out, right in (
        (None, (1.0, 1.0), True), (Printer("workshop", *OUT), OUT, True), (None, OUT, False),
    ):  # fmt: skip
        job = Job(Layout(lock), "lock.toml", DAY, printer=printer)
        (made,) = [m for m in sheets_of(job) if m.sheet.name == "bolt"]
        pixels = printed(pages_pdf(job, book(job, [made]), "bolt"), tmp_path, *out)
        contour = next(m.path for m in made.marks if isinstance(m, Stroke) and m.layer == "cut")
        left, _, far, _ = contour.bounds()
        edges = np.array(unbroken(pixels)) / PER_MM
        edge = edges[np.argmin(np.abs(edges - (far - left + 0.25)))]
        found = np.array([*bars_measure(pixels, 50.0), edge])
        # first as a printer that is true has it
        wanted = found if wanted is None else wanted
        assert np.abs(wanted - [50.0, 50.0, far - left + 0.25]).max() <= 0.15
        assert (np.abs(found - wanted).max() <= WITHIN) == right


@poppler
@pytest.mark.slow
def test_a_lying_page_is_corrected_for_the_way_it_goes_through_the_printer(tmp_path: Path) -> None:
    lock = SAMPLES[0].with_value("plate.width", 240.0)
    job = Job(Layout(lock), "lock.toml", DAY, printer=Printer("workshop", *OUT))
    (made,) = [m for m in sheets_of(job) if m.sheet.name == "back-plate-outside"]
    pages = book(job, [made])
    assert pages[0].lying
    # lying, the page's own level is along the paper
    pixels = printed(pages_pdf(job, pages, "plate"), tmp_path, OUT[1], OUT[0])
    for found in bars_measure(pixels, 50.0):
        assert found == pytest.approx(50.0, abs=WITHIN)


@pytest.mark.slow
def test_the_correction_is_printed_on_every_sheet_and_texts_stay_clear() -> None:
    for printer in (Printer("workshop", 1 - FARTHEST, 1 + FARTHEST), Printer("workshop", *OUT)):
        job = Job(Layout(SAMPLES[0]), "lock.toml", DAY, printer=printer)
        pages = book(job, sheets_of(job))
        for page in pages:
            assert any(printer.words in text for text, _ in page.lines)
            assert touching(job, page) == []
    assert printer.words == (
        "Corrected for the printer workshop: drawn 0.50 % longer across the paper and 0.40 % shorter along it."
    )
    job, sheet = written(SAMPLES[0], "bolt")
    assert not any("Corrected" in text for page in book(job, [sheet]) for text, _ in page.lines)


def test_every_page_keeps_to_the_paper_however_it_is_corrected() -> None:
    job = Job(Layout(SAMPLES[0]), "lock.toml", DAY, printer=Printer("workshop", 0.97, 0.97))
    wide, high = job.leaf.room(False)
    assert (wide / 0.97, high / 0.97) == pytest.approx((190.0, 277.0))
    for page in book(job, sheets_of(job)):
        room = job.leaf.room(page.lying)
        for put in page.puts:
            for mark in put.marks:
                if isinstance(mark, Stroke):
                    left, low, right, top = mark.path.bounds()
                    assert min(left, -top) >= -1e-6
                    assert right <= room[0] + 1e-6
                    assert -low <= room[1] + 1e-6


@given(st.floats(0.97, 1.03), st.floats(0.97, 1.03), st.sampled_from(["mm", "in"]), st.booleans())
def test_a_bar_is_known_by_what_it_measures(
    across: float, along: float, units: str, long: bool
) -> None:
    bar = {("mm", False): 50.0, ("mm", True): 150.0, ("in", False): 2.0, ("in", True): 6.0}[
        units, long
    ]
    low, high = (f"{min(max(bar * s, bar * 0.9701), bar * 1.0299):.6f}" for s in (across, along))
    found = measured("x", low, high, units)
    assert found.across == pytest.approx(across, abs=2e-4)
    assert found.along == pytest.approx(along, abs=2e-4)
    spelt = measured("x", f"{low} {units}", f"{high} {units}")
    assert spelt == found


@pytest.mark.parametrize("entry", ["5 31/32", "5 31/32 in", '5 31/32"', "5-31/32 in"])
def test_a_bar_in_inches_is_known_as_every_prompt_knows_inches(entry: str) -> None:
    assert measured("x", entry, "6 in").across == pytest.approx((5 + 31 / 32) / 6)


@pytest.mark.parametrize(
    "entry", ["5", "500", "0", "-50", "50 in", "2 mm", "48.4", "51.6", "145", "", "long", "1e9"]
)
def test_a_bar_that_none_of_ours_can_be_is_refused_in_one_sentence(entry: str) -> None:
    for pair in ((entry, "50"), ("50", entry)):
        with pytest.raises(BadEntryError) as refused:
            measured("x", *pair)
        assert "\n" not in str(refused.value)
        assert str(refused.value).count(". ") == 0
    for share in (1 - FARTHEST - 1e-4, 1 + FARTHEST + 1e-4):
        with pytest.raises(BadEntryError, match="more than the 3 %"):
            measured("x", f"{50 * share:.4f}", "50")


@pytest.mark.parametrize("name", ["", "   ", "x" * 31, "\x1b\n"])
def test_a_printer_has_a_name(name: str) -> None:
    with pytest.raises(BadEntryError, match="needs a name"):
        measured(name, "50", "50")


# what is kept


def test_printers_are_kept_and_found_again(tmp_path: Path) -> None:
    file = tmp_path / "of the maker" / "printers.toml"
    first = measured('back "office" №1', "49.8", "150.3")
    Printers(file).keep(first, DAY)
    Printers(file).keep(measured("shed", "50", "50"), DAY)
    again = Printers(file)
    assert again.names == ('back "office" №1', "shed")
    assert again.printer(first.name) == first
    Printers(file).keep(measured("shed", "49.9", "50"), DAY)
    assert Printers(file).printer("shed").across == pytest.approx(0.998)
    with pytest.raises(BadEntryError, match="measured are: back"):
        again.printer("attic")
    with pytest.raises(BadEntryError, match="none so far"):
        Printers(tmp_path / "none.toml").printer("attic")


@pytest.mark.parametrize(
    "text",
    ["[[[", "printer = 3", "[printer.shed]\nacross = 1.2\nalong = 1.0\n", "[printer.shed]\nacross = true\nalong = 1\n",
     "[printer.shed]\nacross = nan\nalong = 1.0\n", "[printer.shed]\nalong = 1.0\n", "\xff"],
)  # fmt: skip
def test_a_file_that_cannot_be_understood_is_told_of_and_left_alone(
    text: str, tmp_path: Path
) -> None:
    file = tmp_path / "printers.toml"
    file.write_bytes(text.encode("latin-1"))
    found = Printers(file)
    assert found.names == ()
    assert str(file) in found.note
    with pytest.raises(BadEntryError, match="is of no use"):
        found.printer("shed")
    with pytest.raises(SaveError, match="take it away"):
        found.keep(measured("shed", "50", "50"), DAY)
    assert file.read_bytes() == text.encode("latin-1")


def test_a_place_that_cannot_be_written_to_is_told_in_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(SaveError, match="was not kept"):
        Printers(tmp_path / "file" / "printers.toml").keep(measured("shed", "50", "50"), DAY)


@pytest.mark.skipif(
    os.name != "posix", reason="XDG Base Directory Specification: a rule of Unix desktops"
)
def test_the_file_is_where_the_system_keeps_settings(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    assert own_file() == tmp_path / "boltwright" / "printers.toml"


def test_no_text_of_the_test_page_stands_on_a_line() -> None:
    from tests.page_reading import inked, letters

    for leaf in (
        Leaf("A4"),
        Leaf("Letter"),
        Leaf("Letter", Printer("the one under the bench", 0.97, 0.97)),
    ):
        drawn = tuple(marks(leaf, DAY))
        texts = [letters(mark) for mark in drawn if isinstance(mark, Label)]
        lines = [inked(mark) for mark in drawn if isinstance(mark, Stroke)]
        for number, text in enumerate(texts):
            assert not any(text.intersects(line) for line in lines)
            assert not any(text.intersects(other) for other in texts[number + 1 :])
        wide, high = leaf.room(False)
        assert all(
            m.path.bounds()[1] > -high and m.path.bounds()[2] < wide
            for m in drawn
            if isinstance(m, Stroke)
        )


def test_the_test_page_is_one_page_of_its_paper_with_every_bar_named() -> None:
    """Read by pypdf; A4 is 210 by 297 mm (ISO 216), a point 1/72 in."""
    (page,) = pypdf.PdfReader(io.BytesIO(proof_pdf(Leaf("A4"), DAY))).pages
    assert float(page.mediabox.width) == pytest.approx(210 / 25.4 * 72, abs=0.01)
    assert float(page.mediabox.height) == pytest.approx(297 / 25.4 * 72, abs=0.01)
    text = page.extract_text()
    for bar in ("150 mm", "6 in", "50 mm", "2 in"):
        assert bar in text


def test_the_test_page_is_written_for_its_printer_and_over_nothing_that_is_not_ours(
    tmp_path: Path,
) -> None:
    file = write_test_page(tmp_path, "Letter", Printer("shed", *OUT), DAY)
    assert file.parent == tmp_path
    (page,) = pypdf.PdfReader(file).pages
    assert float(page.mediabox.width) == pytest.approx(8.5 * 72, abs=0.01)  # ANSI A: 8.5 by 11 in
    assert "for the printer shed" in " ".join(page.extract_text().split())
    assert DAY.isoformat() in page.extract_text()
    file.write_bytes(b"%PDF-1.4 somebody else's")
    with pytest.raises(NotOursError, match=file.name):
        write_test_page(tmp_path, "A4", None, DAY)
    assert file.read_bytes().endswith(b"else's")
