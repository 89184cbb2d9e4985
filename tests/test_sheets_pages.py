"""Pages: what stands on each, where joints run, and that no text stands on a line."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from core.layout.drawing import Label, Stroke
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.sheets.book import book
from core.sheets.compose import composed
from core.sheets.nesting import nested
from core.sheets.page import foot
from core.sheets.pages import sheet_pages
from core.sheets.placing import settled, text_box
from core.sheets.record import Sheet
from core.sheets.strokes import line
from tests.designs import plausible, stretched
from tests.page_reading import Unwarned, pages_of, seen, sheets_of, touching, words
from tests.sheet_reading import ASKEW, DAY, SAMPLES, job_for, written
from tests.test_sheets_joints import LARGE

# texts and lines


@pytest.mark.parametrize(
    "lock", [*SAMPLES, ASKEW], ids=["metric", "inches", "left-handed", "askew"]
)
@pytest.mark.first(1)
def test_no_text_stands_on_a_line_or_on_another_text(lock: Lock) -> None:
    job, pages = pages_of(lock)
    for page in pages:
        assert touching(job, page) == []


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(20))
def test_no_text_stands_on_a_line_on_any_sheet_of_random_locks(seed: int) -> None:
    for lock in (plausible(700 + seed), stretched(seed)):
        for units, paper in (("mm", "A4"), ("in", "Letter")):
            layout = Layout(lock.with_value("units", units))
            job = Unwarned(layout, "lock.toml", DAY, paper, scribe_outside=seed % 2 == 0)
            for page in book(job, sheets_of(job)):
                assert touching(job, page) == []


def test_texts_as_they_were_asked_for_would_be_found_on_lines() -> None:
    # the control: the same check on texts that were not moved
    job, sheet = written(SAMPLES[0], "bolt")
    raw = replace(sheet, marks=tuple(m for m in sheet.unset if isinstance(m, Stroke | Label)))
    (page,) = sheet_pages(job, raw)
    assert len(touching(job, page)) >= 3


def test_a_text_moves_no_further_than_it_must_and_is_led_back_to_its_place() -> None:
    free, crossed = (Label((x, 20.0), "roof", "note", "bolt") for x in (60.0, 0.0))
    wall = [line((x, -40.0), (x, 40.0), "cut", "bolt") for x in np.arange(-8.0, 8.1, 1.0)]
    done = settled([free, crossed, *wall])
    assert free in done
    (moved,) = [m for m in done if isinstance(m, Label) and m != free]
    (leader,) = [m for m in done if isinstance(m, Stroke) and m.layer == "note"]
    assert moved.at[1] == pytest.approx(20.0, abs=1.5)
    assert 8.0 < abs(moved.at[0]) < 8.0 + 8.0
    assert leader.path.start == crossed.at


def test_texts_without_any_room_still_stand_clear() -> None:
    grid = [line((-130.0, y), (130.0, y), "cut", "x") for y in np.arange(-130.0, 130.1, 2.0)]
    (moved,) = [
        m for m in settled([Label((0.0, 1.0), "here", "note", "x"), *grid]) if isinstance(m, Label)
    ]
    left, _, right, _ = text_box(moved).bounds
    assert left > 130.0 or right < -130.0
    # beyond all lines that it could be led past it stands right beside them, clear by more than a stroke's width
    crowd = [line((-400.0, y), (400.0, y), "cut", "x") for y in np.arange(-400.0, 400.1, 2.0)]
    (moved,) = [
        m for m in settled([Label((0.0, 1.0), "here", "note", "x"), *crowd]) if isinstance(m, Label)
    ]
    assert 0.5 < text_box(moved).bounds[0] - 400.0 < 2.0


# joints between pages


@pytest.mark.parametrize("lock", [SAMPLES[2], LARGE[0]], ids=["cannot work", "large"])
@pytest.mark.first(1)
def test_every_page_is_numbered_with_bars_both_ways_and_the_notes_stand_once(lock: Lock) -> None:
    job, pages = pages_of(lock)
    said = [words(job, page) for page in pages]
    for number, page in enumerate(pages, start=1):
        text = " ".join(
            m.text
            for m in foot(job, page, f"page {number} of {len(pages)}")[0]
            if isinstance(m, Label)
        )
        for wanted in (f"page {number} of {len(pages)}", "Print at 100 %", "STOP, do not cut"):
            assert wanted in text or (wanted.startswith("STOP") and not job.warning)
        bars = [m for m, _ in seen(job, page) if isinstance(m, Stroke) and m.part == "check bar"]
        ends = {(round(m.path.length, 6), m.path.start[0] == m.path.end[0]) for m in bars}
        assert {(50.0, False), (50.8, False), (50.0, True)} <= ends
    for once in ("keep lead and brass dust out", "no security rating is claimed", "black, heavy"):
        assert [once in text for text in said] == [True] + [False] * (len(pages) - 1)
    assert all(
        "eye protection" in text for text, page in zip(said, pages, strict=True) if not page.part
    )


@pytest.mark.slow
def test_upright_bar_is_in_inches_for_a_lock_in_inches() -> None:
    job, pages = pages_of(SAMPLES[1], "Letter")
    for page in pages:
        bars = [m for m, _ in seen(job, page) if isinstance(m, Stroke) and m.part == "check bar"]
        assert any(
            m.path.start[0] == m.path.end[0] and abs(m.path.length - 50.8) < 1e-9 for m in bars
        )


def test_the_cover_lists_every_sheet_with_its_page_and_mark() -> None:
    job, pages = pages_of(LARGE[0])
    (table,) = pages[0].tables
    by_title = {row[0]: row for row in table.rows}
    for made in sheets_of(job):
        _, where, mark = by_title.pop(made.sheet.title)
        first, last = (int(n) for n in (where.split(" to ") * 2)[:2])
        for number in range(first, last + 1):
            assert (made.sheet.name, mark) in pages[number - 1].sheets
    assert by_title == {}


@pytest.mark.slow
def test_small_parts_share_pages_at_full_size() -> None:
    job, pages = pages_of(SAMPLES[0])
    small = [made for made in sheets_of(job) if not made.sheet.alone]
    names = {(made.sheet.name, made.mark) for made in small}
    shared = [page for page in pages if names & set(page.sheets)]
    assert len(shared) < len(small) / 2
    for made in small:
        (page,) = [page for page in shared if (made.sheet.name, made.mark) in page.sheets]
        contour = next(
            m.path for m in made.marks if isinstance(m, Stroke) and m.layer in ("cut", "view")
        )
        lengths = [m.path.length for m, _ in seen(job, page) if isinstance(m, Stroke)]
        assert any(abs(length - contour.length) < 1e-6 for length in lengths)
        assert made.sheet.title in words(job, page)
        assert f"mark {made.mark}" in words(job, page)


@given(st.lists(st.tuples(st.floats(1, 190), st.floats(1, 200)), min_size=1, max_size=20))
def test_nested_boxes_lie_apart_and_inside_their_pages(sizes: list[tuple[float, float]]) -> None:
    places = nested(sizes, (190.0, 200.0), 5.0)
    boxes = [
        (place.page, shapely.box(place.at[0], place.at[1], place.at[0] + w, place.at[1] + h))
        for place, (w, h) in zip(places, sizes, strict=True)
    ]
    for number, (page, one) in enumerate(boxes):
        assert one.bounds[2] <= 190.0 + 1e-6
        assert one.bounds[3] <= 200.0 + 1e-6
        assert all(
            one.distance(other) >= 5.0 - 1e-6 for p, other in boxes[number + 1 :] if p == page
        )
    assert {page for page, _ in boxes} == set(range(len({page for page, _ in boxes})))


def test_a_single_sheet_says_everything_on_its_one_page() -> None:
    job, sheet = written(SAMPLES[0], "bolt")
    (page,) = book(job, [sheet])
    for wanted in (
        "keep lead and brass dust out",
        "black, heavy",
        "no security rating",
        f"mark {sheet.mark}",
    ):
        assert wanted in words(job, page)


def test_a_sheet_that_fills_its_page_keeps_its_upright_bar() -> None:
    wide, high = job_for(SAMPLES[0]).leaf.room(False)
    grid = [line((x, 0.0), (x, high - 60.0), "cut", "x") for x in np.arange(0.0, wide - 1.0, 4.0)]
    sheet = Sheet("grid", "Grid", tuple(grid), "From above")
    pages = sheet_pages(job_for(SAMPLES[0]), composed(sheet))
    for page in pages:
        assert touching(job_for(SAMPLES[0]), page) == []
        assert "along the paper" in words(job_for(SAMPLES[0]), page)
