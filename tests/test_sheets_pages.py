"""Pages: what stands on each, where joints run, and that no text stands on a line."""

import re
from dataclasses import replace
from functools import partial
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import box

from core.geometry.polygons import polygon
from core.layout.drawing import Label, Stroke
from core.layout.frames import to_plate
from core.layout.layout import Layout
from core.lock.lock import Lock, specs
from core.lock.numbers import ACROSS, LENGTH, POSITION
from core.parts.bolt_contour import bolt_area
from core.sheets.book import book
from core.sheets.compose import composed
from core.sheets.faces import all_sheets
from core.sheets.furniture import Job
from core.sheets.nesting import nested
from core.sheets.page import Page, foot
from core.sheets.pages import sheet_pages
from core.sheets.paper import PAPERS
from core.sheets.placing import settled, text_box
from core.sheets.record import Sheet
from core.sheets.strokes import line
from core.sheets.tiles import MOST_PAGES, OVERLAP, tiling
from tests.designs import plausible, stretched
from tests.page_reading import Unwarned, pages_of, seen, sheets_of, touching
from tests.sheet_reading import ASKEW, DAY, SAMPLES, job_for, written
from tests.sure import sure


def above(job: Job, deep: float, lying: bool) -> tuple[float, float]:
    """Return the room [mm] of a page above its foot."""
    width, height = job.leaf.room(lying)
    return width, height - deep - 1.0


def words(job: Job, page: Page) -> str:
    return " ".join(mark.text for mark, _ in seen(job, page) if isinstance(mark, Label))


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


def scaled(lock: Lock, by: float) -> Lock:
    for path, spec in specs().items():
        if spec.kind in (LENGTH, POSITION, ACROSS) and not path.endswith(
            ("thickness", "clearance", "capture")
        ):
            lock = lock.with_value(path, lock.value(path) * by)
    return lock.with_value("plate.width", 260.0).with_value("plate.height", 320.0)


PLATE = SAMPLES[0].with_value("plate.width", 260.0).with_value("plate.height", 320.0)
LARGE = (
    PLATE, PLATE.with_value("plate.outline", "rectangle"), PLATE.with_value("pivot.below", 160.0),
    PLATE.with_value("pivot.below", 183.0), scaled(SAMPLES[0], 3.2), scaled(SAMPLES[2], 3.0),
)  # fmt: skip


@pytest.mark.parametrize("number", range(len(LARGE)))
@pytest.mark.first(1)
def test_faces_of_a_large_plate_take_few_pages_with_joints_that_do_no_harm(number: int) -> None:
    lock = LARGE[number]
    job = Unwarned(Layout(lock), "lock.toml", DAY)
    pages = book(job, sheets_of(job))
    faces = [page for page in pages if any("plate" in name for name, _ in page.sheets)]
    assert len(faces) <= 10
    move = to_plate(job.layout)
    tooth = shapely.transform(bolt_area(job.layout), move.points)
    for sheet in all_sheets(job.layout):
        if "plate" not in sheet.name:
            continue
        laid = [page for page in faces if page.sheets[0][0] == sheet.name]
        assert len(laid) > 1
        for page in laid:
            assert touching(job, page) == []
        made = composed(sheet)
        deep = foot(job, laid[0])[1]
        tiles = tiling(
            made.bounds,
            partial(above, job, deep),
            sheet.whole,
        )
        joints = [m for m in tiles.marks if isinstance(m, Stroke) and len(m.path.segments) == 1]
        mirrored = "mirrored" in sheet.title
        for joint in joints:
            drawn = shapely.LineString([joint.path.start, joint.path.end])
            pivot = move.point((0.0, 0.0))
            place = shapely.Point(-pivot[0] if mirrored else pivot[0], pivot[1])
            if drawn.length > 20.0:  # the joint itself, not a cross on it
                assert drawn.distance(place) > lock.pivot.hole / 2 + 1.0
                if sheet.name == "back-plate-inside" and lock != ASKEW:
                    assert drawn.distance(tooth) > 1.0
        for text in (
            m for m in made.set_off(tiles.marks) if isinstance(m, Label) and "FACE" in m.text
        ):
            assert all(
                abs(text.at[1] - j.path.start[1]) > 1.0 for j in joints if j.path.length > 20.0
            )


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("size", [(50, 80), (180, 200), (200, 90), (400, 90), (600, 700)])
def test_pages_cover_the_whole_drawing(paper: str, size: tuple[float, float]) -> None:
    bounds = (-3.0, 7.0, -3.0 + size[0], 7.0 + size[1])
    job = job_for(SAMPLES[0], paper)
    laid = tiling(bounds, lambda lying: (job.leaf.room(lying)[0], job.leaf.room(lying)[1] - 20.0))
    wide, high = job.leaf.room(laid.lying)
    for tile in laid.tiles:
        assert tile.window[2] - tile.window[0] <= wide + 1e-6
        assert tile.window[3] - tile.window[1] <= high - 20.0 + 1e-6
    for x in np.linspace(bounds[0], bounds[2], 40):
        for y in np.linspace(bounds[1], bounds[3], 40):
            assert any(t.window[0] - 1e-6 <= x <= t.window[2] + 1e-6 and t.window[1] - 1e-6 <= y <= t.window[3] + 1e-6
                       for t in laid.tiles)  # fmt: skip
    # and no more than it: nothing is printed twice but what overlaps
    left, bottom, right, top = zip(*(tile.window for tile in laid.tiles), strict=True)
    assert (min(left), min(bottom), max(right), max(top)) == bounds
    assert {tile.window[0] for tile in laid.tiles if tile.name[1:] == "1"} == {bounds[0]}
    assert {tile.window[3] for tile in laid.tiles if tile.name[0] == "A"} == {bounds[3]}
    assert len({tile.name for tile in laid.tiles}) == len(laid.tiles)
    for one, other in pairwise(laid.tiles):
        if one.name[0] == other.name[0]:
            assert one.window[2] - other.window[0] == pytest.approx(OVERLAP)


def test_what_is_said_of_a_joint_stands_beside_its_line_and_names_both_pages() -> None:
    laid = tiling((0.0, 0.0, 400.0, 600.0), lambda _: (190.0, 250.0))
    trims = [m for m in laid.marks if isinstance(m, Stroke) and m.layer == "paper"]
    labels = [m for m in laid.marks if isinstance(m, Label)]
    assert len(labels) >= 7
    for label in labels:
        long, high = len(label.text) * 0.8 * label.height, 1.5 * label.height
        wide, tall = (high, long) if label.lean else (long, high)
        x, y = label.at
        room = box(x - wide / 2, y - tall / 2, x + wide / 2, y + tall / 2)
        lines = [shapely.LineString(trim.path.points()) for trim in trims]
        # as letters do: 1.5 heights from below the foot to above the head, and on no line's side but its own
        near = min(lines, key=room.distance)
        assert 0 < room.distance(near) < 3.0, label
        one, other = re.findall(r"[A-Z]\d", label.text)
        windows = {tile.name: tile.window for tile in laid.tiles}
        both = box(*windows[one]) & box(*windows[other])
        assert both.buffer(1e-6).covers(near), label


@given(st.lists(st.tuples(st.floats(5, 250), st.floats(5, 250)), max_size=8))
def test_joints_keep_off_what_is_to_stay_whole_where_they_can(
    places: list[tuple[float, float]],
) -> None:
    boxes = [(x, y, x + 8.0, y + 8.0) for x, y in places]
    laid = tiling((0.0, 0.0, 260.0, 300.0), lambda _: (190.0, 200.0), boxes)
    uprights = {m.path.start[0] for m in laid.marks if isinstance(m, Stroke) and m.path.length > 20
                and m.path.start[0] == m.path.end[0]}  # fmt: skip
    # brute force: is there any place at all for one upright joint
    tried = np.arange(260.0 - 190.0 + 6.0, 190.0 - 6.0, 0.5)
    open_places = [x for x in tried if not any(b[0] < x < b[2] for b in boxes)]
    if open_places and len(uprights) == 1:
        (x,) = uprights
        assert not any(b[0] < x < b[2] for b in boxes)


def test_every_part_of_a_drawing_stands_in_the_middle_of_its_page() -> None:
    # the ends of a drawing are narrower parts: their room is shared between left and right, above and below
    job, sheet = written(LARGE[1].with_value("plate.width", 500.0), "back-plate-outside")
    pages = sheet_pages(job, sheet)
    windows = [sure(put.window) for page in pages for put in page.puts[:1]]
    assert len({round(window[2] - window[0], 3) for window in windows}) > 1
    assert len({round(window[0] + window[2], 6) for window in windows}) == 1
    assert len({round(window[1] + window[3], 6) for window in windows}) == 1
    for page, (left, bottom, right, top) in zip(pages, windows, strict=True):
        wide, high = job.leaf.room(page.lying)
        assert 0 <= left < right <= wide
        assert -high <= bottom < top <= 0


def test_a_drawing_for_too_many_pages_says_so_on_one() -> None:
    lock = SAMPLES[0].with_value("plate.width", 1900.0).with_value("plate.height", 2000.0)
    job, sheet = written(lock, "back-plate-outside")
    (page,) = sheet_pages(job, sheet)
    assert "large printer" in words(job, page)
    assert tiling(sheet.bounds, lambda lying: job.leaf.room(lying)).wanted > MOST_PAGES


# what every page carries


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


@pytest.mark.parametrize("pages", [2, 3, 5])
def test_pages_that_have_nothing_to_keep_off_are_even(pages: int) -> None:
    # by hand: so many equal parts, to within the half mm between the places that are tried; from below up
    bottom, tall = -37.0, OVERLAP + (160.0 - OVERLAP) * pages - 70.0
    laid = tiling((0.0, bottom, 64.0, bottom + tall), lambda _: (190.0, 160.0))
    tops = sorted(tile.window[3] for tile in laid.tiles)[:-1]
    even = [bottom + tall * k / pages + OVERLAP / 2 for k in range(1, pages)]
    assert tops == pytest.approx(even, abs=0.5)


def test_a_joint_runs_between_two_things_that_stand_close_together() -> None:
    # the one place that cuts neither is where the boxes meet, ten off the middle
    boxes = [(0.0, 0.0, 50.0, 90.0), (0.0, 90.0, 50.0, 200.0)]
    laid = tiling((0.0, 0.0, 50.0, 200.0), lambda _: (190.0, 130.0), whole=boxes)
    assert sorted(tile.window[3] - OVERLAP / 2 for tile in laid.tiles)[0] == pytest.approx(90.0)


@pytest.mark.parametrize("lock", [SAMPLES[2], ASKEW], ids=["left-handed", "askew"])
def test_no_joint_comes_nearer_than_2_mm_to_a_hole_or_to_the_tooth(lock: Lock) -> None:
    layout = Layout(lock)
    for sheet in all_sheets(layout):
        if "plate" not in sheet.name:
            continue
        kept = [shapely.box(*box) for box in sheet.whole]
        (hole,) = [
            m.path
            for m in sheet.marks
            if isinstance(m, Stroke) and (m.layer, m.part) == ("drill", "pivot")
        ]
        grown = polygon(hole).buffer(2.0).bounds
        assert [box.bounds for box in kept if box.centroid.within(polygon(hole))] == [
            pytest.approx(grown, abs=0.02)
        ]
        if sheet.name == "back-plate-inside" and lock != ASKEW:
            (tooth,) = [box for box in kept if not box.centroid.within(polygon(hole))]
            line = lock.bolt_line.height - lock.pivot.below
            high = [line - lock.bolt.depth - 2.0, line + 2.0]
            assert [tooth.bounds[1], tooth.bounds[3]] == pytest.approx(high)


@pytest.mark.parametrize("full", [0.0, 0.001, 0.25, 0.5, 0.999])
@pytest.mark.parametrize("pages", [2, 3, 8, 20])
@pytest.mark.first(5)
def test_no_part_of_a_tall_drawing_is_larger_than_its_page(pages: int, full: float) -> None:
    # pages so full that the steps between joints leave no room: another row is taken instead
    wide, high = 190.0, 264.75
    tall = OVERLAP + pages * (high - OVERLAP) - full
    laid = tiling((0.0, 0.0, 64.0, tall), lambda _: (wide, high))
    assert laid.tiles
    for tile in laid.tiles:
        left, bottom, right, top = tile.window
        assert left < right <= left + wide + 1e-9
        assert bottom < top <= bottom + high + 1e-9
