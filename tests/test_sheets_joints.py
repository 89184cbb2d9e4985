"""Drawings larger than a page: where they are parted, and what is said of the joints."""

import re
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
from core.sheets.page import foot
from core.sheets.pages import sheet_pages
from core.sheets.paper import PAPERS
from core.sheets.tiles import MOST_PAGES, OVERLAP, tiling
from tests.page_reading import Unwarned, sheets_of, touching, words
from tests.sheet_reading import ASKEW, DAY, SAMPLES, job_for, written
from tests.sure import sure


def above(job: Job, deep: float, lying: bool) -> tuple[float, float]:
    """Return the room [mm] of a page above its foot."""
    width, height = job.leaf.room(lying)
    return width, height - deep - 1.0


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
