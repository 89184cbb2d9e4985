"""The PDF as poppler draws it at 300 dpi, measured in pixels; and what can be said of it without poppler."""

import math
import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from core.geometry.path import Arc
from core.lock.lock import Lock
from core.sheets.book import book
from core.sheets.leaf import MARGIN
from core.sheets.pages import sheet_pages
from core.sheets.pdf import curves, pages_pdf
from core.sheets.pieces.keyhole import slot_row
from core.sheets.tiles import OVERLAP
from tests.sheet_reading import ASKEW, DAY, SAMPLES, job_for, unbroken, written

DPI = 300
PER_MM = DPI / 25.4
WITHIN = 0.1  # mm
PDFTOPPM, PDFFONTS, PDFTOTEXT = (
    shutil.which(name) or "" for name in ("pdftoppm", "pdffonts", "pdftotext")
)
poppler = pytest.mark.skipif(
    not PDFTOPPM, reason="poppler is not installed: apt-get install poppler-utils"
)
Pixels = NDArray[np.uint8]


def pdf_of(lock: Lock, name: str, paper: str = "A4") -> bytes:
    job, sheet = written(lock, name, paper)
    return pages_pdf(job, book(job, [sheet]), name)


def drawn(data: bytes, folder: Path) -> list[Pixels]:
    """Return each page as poppler draws it, shape (rows, columns, 3)."""
    file = folder / "sheet.pdf"
    file.write_bytes(data)
    # without smoothing a pixel is drawn on or it is not
    subprocess.run(
        [PDFTOPPM, "-r", str(DPI), "-aa", "no", "-aaVector", "no", str(file), str(folder / "page")],
        check=True, capture_output=True,
    )  # fmt: skip
    pages = sorted(folder.glob("page*.ppm"))
    return [np.asarray(Image.open(page).convert("RGB")) for page in pages]


def red(page: Pixels) -> NDArray[np.bool_]:
    return (page[..., 0] > 120) & (page[..., 1] < 80) & (page[..., 2] < 80)


def blue(page: Pixels) -> NDArray[np.bool_]:
    return (page[..., 2] > 120) & (page[..., 0] < 80) & (page[..., 1] < 120)


def components(mask: NDArray[np.bool_]) -> list[NDArray[np.int64]]:
    """Return the pixels of each connected patch, as rows of (row, column)."""
    left = {(int(r), int(c)) for r, c in np.argwhere(mask)}
    found = []
    while left:
        todo = [left.pop()]
        patch = []
        while todo:
            r, c = todo.pop()
            patch.append((r, c))
            for step in [(r + i, c + j) for i in (-1, 0, 1) for j in (-1, 0, 1)]:
                if step in left:
                    left.remove(step)
                    todo.append(step)
        found.append(np.array(patch))
    return found


def middle(patch: NDArray[np.int64]) -> tuple[float, float]:
    """Return the middle of a patch's box, x and y [pixels]."""
    (top, left), (low, right) = patch.min(axis=0), patch.max(axis=0)
    return ((left + right) / 2, (top + low) / 2)


@poppler
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.first(1)
def test_page_and_check_bars_have_their_size(paper: str, tmp_path: Path) -> None:
    (page,) = drawn(pdf_of(SAMPLES[0], "key-gauge", paper), tmp_path)
    # ISO 216: A4 is 210 x 297 mm; ANSI/ASME Y14.1: size A is 8.5 x 11 in
    wide, high = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}[paper]
    assert page.shape[1] / PER_MM == pytest.approx(wide, abs=WITHIN)
    assert page.shape[0] / PER_MM == pytest.approx(high, abs=WITHIN)
    runs = np.array(unbroken(page.max(axis=2) < 200)) / PER_MM
    stroke = 0.13  # the bar's ends are marked with strokes of this width, half of it beyond
    for length in (50.0, 2 * 25.4):
        assert np.abs(runs - (length + stroke)).min() <= WITHIN


@poppler
@pytest.mark.parametrize(
    "lock", [*SAMPLES, ASKEW], ids=["metric", "inches", "left-handed", "askew"]
)
@pytest.mark.first(1)
def test_key_circle_and_holes_measured_on_the_page(lock: Lock, tmp_path: Path) -> None:
    (page,) = drawn(pdf_of(lock, "front-plate-inside"), tmp_path)
    patches = components(red(page))
    # the pivot's patch is the widest; its circle may touch a hole of the row below, but the ends of its cross do not
    widest = max(patches, key=lambda patch: np.ptp(patch[:, 1]))
    ends = [
        widest[widest[:, 1] == c].mean(axis=0) for c in (widest[:, 1].min(), widest[:, 1].max())
    ]
    pivot = (float(np.mean([end[1] for end in ends])), float(np.mean([end[0] for end in ends])))
    rows, columns = np.nonzero(blue(page))
    away = np.hypot(columns - pivot[0], rows - pivot[1]) / PER_MM
    # of all that is blue only the key's circle is everywhere as far from the pivot
    near_circle = away[np.abs(away - lock.key.radius) < 0.5]
    counts, edges = np.histogram(near_circle, bins=40)
    peak = edges[int(np.argmax(counts))] + (edges[1] - edges[0]) / 2
    assert peak == pytest.approx(lock.key.radius, abs=WITHIN)
    assert len(near_circle) > 0.8 * math.tau * lock.key.radius * PER_MM
    row = slot_row(job_for(lock).layout)
    assert row is not None
    # in a row of holes each has a small cross in its middle, which touches nothing
    arm = row.drill.diameter / 2 * PER_MM
    crosses = [p for p in patches if np.all(np.abs(np.ptp(p, axis=0) - arm) < 4)]
    centres = sorted(math.dist(middle(p), pivot) / PER_MM for p in crosses)
    # askew, the cross of the first hole runs into the pivot's
    wanted = [math.hypot(*c) for c in row.centres][-len(centres) :]
    assert len(centres) >= len(row.centres) - 1
    assert centres == pytest.approx(wanted, abs=WITHIN)


@poppler
@pytest.mark.slow
def test_pivot_measured_from_the_edges(tmp_path: Path) -> None:
    lock = SAMPLES[2]  # a rectangle with its mark in the middle of the upper edge
    (page,) = drawn(pdf_of(lock, "back-plate-outside"), tmp_path)
    (patch,) = components(red(page))
    x, y = middle(patch)
    black = page.max(axis=2) < 60
    beside = round(x - 8 * PER_MM)  # clear of the mark's own line and letters
    column, row = (
        np.flatnonzero(black[: round(y), beside]),
        np.flatnonzero(black[round(y + 4 * PER_MM), : round(x)]),
    )
    assert (y - column.min()) / PER_MM == pytest.approx(lock.pivot.below + 0.125, abs=WITHIN)
    assert (x - row.min()) / PER_MM == pytest.approx(lock.plate.width / 2 + 0.125, abs=WITHIN)


@poppler
def test_large_plate_is_tiled_and_its_pages_overlap(tmp_path: Path) -> None:
    lock = (
        SAMPLES[0]
        .with_value("plate.outline", "rectangle")
        .with_value("plate.width", 330.0)
        .with_value("plate.height", 130.0)
    )
    job, sheet = written(lock, "front-plate-inside")
    laid = sheet_pages(job, sheet)
    pages = drawn(pages_pdf(job, laid, "large"), tmp_path)
    assert len(pages) == len(laid) > 1
    # the same strip of the drawing on two neighbours: the ink agrees, pixel for pixel within a pixel
    strips = []
    for page, pixels, right in ((laid[0], pages[0], True), (laid[1], pages[1], False)):
        assert page.puts[0].window is not None
        left, bottom, far, top = page.puts[0].window
        x = far - OVERLAP if right else left
        rows = slice(round((MARGIN - top) * PER_MM) + 2, round((MARGIN - bottom) * PER_MM) - 2)
        first = round((MARGIN + x) * PER_MM)
        strips.append(
            pixels[rows, first + 3 : first + round(OVERLAP * PER_MM) - 3].max(axis=2) < 200
        )
    a, b = strips
    high = min(len(a), len(b))
    a, b = a[:high], b[:high]
    assert a.sum() > 500
    thick = np.pad(b, 2)
    grown = np.max(
        [np.roll(thick, (i, j), (0, 1)) for i in (-2, -1, 0, 1, 2) for j in (-2, -1, 0, 1, 2)],
        axis=0,
    )
    assert (a & ~grown[2:-2, 2:-2]).sum() < 0.02 * a.sum()


@poppler
def test_letters_are_embedded_and_can_be_searched(tmp_path: Path) -> None:
    file = tmp_path / "sheet.pdf"
    file.write_bytes(pdf_of(SAMPLES[0], "front-plate-inside"))
    fonts = subprocess.run([PDFFONTS, str(file)], check=True, capture_output=True, text=True).stdout
    rows = fonts.splitlines()[2:]
    assert rows
    # columns of pdffonts: ... emb sub uni object ID
    assert all(re.search(r" yes +yes +yes +\d+ +\d+$", row) for row in rows)
    text = subprocess.run(
        [PDFTOTEXT, str(file), "-"], check=True, capture_output=True, text=True
    ).stdout
    for wanted in (
        "THIS FACE UP",
        "mirrored",
        "50 mm",
        "2 in",
        "Print at 100 %",
        DAY.isoformat(),
        "lock.toml",
    ):
        assert wanted in text


def test_pdf_is_the_same_for_the_same_job() -> None:
    assert pdf_of(SAMPLES[0], "bolt") == pdf_of(SAMPLES[0], "bolt")


@pytest.mark.parametrize("radius", [0.5, 20.2, 150.0, 2000.0])
@pytest.mark.parametrize("angle", [0.1, math.pi / 2, math.pi, 6.2])
def test_arcs_as_curves_stay_within_a_thousandth(radius: float, angle: float) -> None:
    # the cubic curve by its definition (ISO 32000-1, 8.5.2.2), the circle by its equation
    end = (radius * math.cos(angle), radius * math.sin(angle))
    arc = Arc((0.0, 0.0), radius, (radius, 0.0), end, "ccw")
    t = np.linspace(0, 1, 200)[:, None]
    start = np.array([radius, 0.0])
    for handles in curves(arc):
        one, two, three = (np.array(p) for p in handles)
        line = (
            (1 - t) ** 3 * start
            + 3 * t * (1 - t) ** 2 * one
            + 3 * t**2 * (1 - t) * two
            + t**3 * three
        )
        assert np.abs(np.hypot(*line.T) - radius).max() < 1e-3
        start = three
    assert math.dist(tuple(start), end) < 1e-9


def test_title_of_letters_that_are_lacking_still_gives_a_pdf() -> None:
    lock = SAMPLES[0].with_value("title", "Schloß Øvre 船屋\x1b[2J\u202e <b>")
    assert pdf_of(lock, "bolt").startswith(b"%PDF-")
