"""The drawing answers the prompt: one line for the dimension asked for, in view, as long as its value."""

import math
from collections.abc import Iterator
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from shapely.geometry import LineString, Point

from core.files.project_file import load
from core.layout.drawing import Measure
from core.layout.extents import PUSH
from core.layout.layout import Layout
from core.lock.facts import made_to, with_measured
from core.lock.lock import Lock, spec_of
from core.lock.row_changes import made_row, with_row
from core.lock.row_kinds import row_kinds
from core.parts.bolt_extents import EXTENTS
from core.shipped import sample_locks
from core.whole.dimensions import dimension
from core.whole.off_lines import OFF_LINES
from tests.bit_sweeps import made
from tests.config_space import outline
from tests.counts import of_all, tries
from tests.held_locks import held
from tests.locks import changed
from tests.locks import locks as any_lock
from tests.test_end_stops import metal
from tui.plot.picture import Wanted, draw
from tui.plot.scale import Sight
from tui.plot.views import asked, best_view, region
from tui.steps.walk import all_steps

NARROW, WIDE = (50, 13), (76, 28)
"""Cells that the drawing has in a window of 80 x 24, and of 120 x 40."""


_ROWS = {
    "posts": {"across": 30.0, "above": -12.0},
    "plugs": {"across": -20.0, "below": 60.0},
    "offcuts": {"long": 90.0, "wide": 40.0, "thickness": 3.0},
}


@cache
def locks() -> tuple[Lock, ...]:
    """Return every sample, every outline, both hands, and a lock with every row and figure of its own."""
    samples = [load(path).lock for path in sample_locks()]
    outlines = [
        changed(Lock(), {"plate.outline": shape})
        for shape in ("round", "oval", "rectangle", "shield", "lobed")
    ]
    own = {
        "pivot.across": 2.0, "plate.mark_across": 3.0, "tooth.pickup_angle": 9.0, "bolt.lobe_chamfer": 0.4,
        "spread.figures": "some",
    }  # fmt: skip
    right = changed(Lock(), own)
    left = changed(right, {"unlocks": "left", "units": "in", "shackle.across": 26.5})
    for table in row_kinds():
        right = with_row(right, table, "a", made_row(table, "a", _ROWS[table]))
    notched = held(
        unlocks="left",
        spring__anchor="both ends held",
        spring__tip="rolled",
        spring__tip_radius=0.8,
    )
    along = changed(right, {"detent.kind": "stop and spring"})
    stops = {"stops.locked": "pin", "stops.unlocked": "guide face", "stops.locked_over": 0.3}
    odd = (right, left, notched, along, changed(right, stops))
    return (*samples, *outlines, *odd)


BY_TURNS = [*range(0, len(locks()), 3), *range(1, len(locks()), 3), *range(2, len(locks()), 3)]
"""Their numbers, so that the first few are of every kind."""


def typed(lock: Lock) -> Iterator[tuple[str, str]]:
    """Yield step and path of every prompt that takes a number."""
    for step in all_steps():
        for path in step.asked(lock):
            if spec_of(path).kind.entering == "typed":
                yield step.name, path


def one_line(layout: Layout, path: str) -> Measure:
    """Return the only dimension line of the drawing for a prompt."""
    (line,) = [mark for mark in asked(layout, path) if isinstance(mark, Measure)]
    assert line.path == path
    return line


@pytest.mark.parametrize("number", range(len(locks())))
def test_every_number_that_is_asked_for_has_one_line_of_its_length(number: int) -> None:
    lock = locks()[number]
    layout = Layout(lock)
    for _, path in typed(lock):
        line = one_line(layout, path)
        value, kind = float(lock.value(path)), spec_of(path).kind.name
        long = math.dist(line.start, line.end)
        if kind in ("length", "position", "across"):
            assert long == pytest.approx(abs(value), abs=1e-6), path
        elif path == "detent.ramp":  # along the side of the notch
            (x0, y0), (x1, y1) = line.start, line.end
            lean = math.atan2(lock.pivot.across, lock.pivot.below)
            slope = abs(math.degrees(math.atan2(y1 - y0, abs(x1 - x0))))
            assert slope == pytest.approx(value, abs=math.degrees(abs(lean)) + 1e-6)
        elif kind == "angle":  # the chord of the bit's way: Euclid III, 2 R sin(a / 2)
            assert long == pytest.approx(2 * lock.key.radius * math.sin(math.radians(value) / 2))
        else:
            assert long == pytest.approx(PUSH), path


@pytest.mark.parametrize("number", of_all(BY_TURNS, 4))
@pytest.mark.first(1)
def test_the_line_is_in_view_with_its_value(number: int) -> None:
    lock = locks()[number]
    layout = Layout(lock)
    views = {step.name: (step.view, step.parts) for step in all_steps()}
    for step, path in typed(lock):
        first, parts = views[step]
        view = best_view(layout, path, first)
        line = one_line(layout, path)
        for size in (NARROW, WIDE):
            scale = Sight().scale(region(layout, view, path), *size)
            for x, y in scale.dots(np.array([line.start, line.end])):
                assert -1 <= x <= scale.width, (path, view)
                assert -1 <= y <= scale.height, (path, view)
            picture = draw(asked(layout, path), scale, Wanted(parts, (path,), path))
            values = [text for row in picture.rows for text, tone in row if tone == "value"]
            assert [text.strip() for text in values] == [line.text], (path, view)


def test_a_place_is_told_with_the_side_that_it_lies_on() -> None:
    layout = Layout(changed(Lock(), {"pivot.across": 2.0, "shackle.across": -26.5}))
    assert one_line(layout, "pivot.across").text == "2.0 mm right"
    assert one_line(layout, "shackle.across").text == "26.5 mm left"


def test_what_is_no_number_has_no_line() -> None:
    layout = Layout(Lock())
    for step in all_steps():
        for path in step.asked(layout.lock):
            if spec_of(path).kind.entering != "typed":
                assert dimension(layout, path) == (), path


@pytest.mark.slow
@settings(max_examples=tries(3, 10))
@given(any_lock())
def test_any_lock_can_be_drawn_with_any_of_its_dimensions(lock: Lock) -> None:
    layout = Layout(lock)
    for _, path in typed(lock):
        view = best_view(layout, path, "whole")
        scale = Sight().scale(region(layout, view, path), *NARROW)
        assert len(draw(asked(layout, path), scale, Wanted((), (path,), path)).rows) == NARROW[1]


def test_what_is_left_on_the_bolt_or_may_be_off_is_drawn_beside_its_metal() -> None:
    # by shapely: from the outline outwards; only a roof that comes out high goes into metal
    plan = changed(Lock(), {"spread.figures": "some"})
    metal_of = outline(Layout(plan), 1e-4)
    paths = [path for path in EXTENTS.lock if path.startswith(("spread.", "filing."))]
    assert len(paths) == 12
    for path in paths:
        start, end = EXTENTS.lock[path](Layout(plan.with_value(path, 0.4)))
        line = LineString([start, end])
        assert line.length == pytest.approx(0.4)
        assert metal_of.boundary.distance(Point(start)) < 1e-4
        assert metal_of.intersection(line).length == pytest.approx(
            0.4 if path == "spread.roof" else 0.0, abs=1e-3
        )


def test_what_is_off_is_drawn_from_where_the_metal_was_wanted_to_where_it_is() -> None:
    # by shapely: the outline of the bolt as wanted and as made, and the slots as boxes
    plan = made(Lock())
    wanted = outline(Layout(Lock()), 1e-4).boundary
    line, play = plan.bolt_line.height, plan.fit.slide_clearance
    seen = 0
    for path, ends in OFF_LINES.items():
        section, name = path.split(".")
        if section == "bit":
            continue
        part = "bolt" if section == "as_cut" else f"{name.split('_')[0]}_guide"
        off = with_measured(plan, part, path, 0.3)
        start, end = (Point(at) for at in ends(Layout(off)))
        if section == "as_cut":
            there = outline(Layout(made_to(off, "bolt")), 1e-4).boundary
            assert (wanted.distance(start), there.distance(end)) == pytest.approx((0, 0), abs=2e-4)
            assert start.distance(end) == pytest.approx(0.3)
        else:
            guide = metal(plan)[part.replace("_", " ")]
            left, _, right, floor = guide.bounds
            roof = line + play
            up = -0.3 if name.endswith("roof") else 0.3
            assert start.y == pytest.approx(floor if up > 0 else roof)
            assert (end.x, end.y) == (start.x, pytest.approx(start.y + up))
            outer = (right if left > 0 else left) if "outer" in name else None
            assert start.x == (outer or (left if left > 0 else right))
        seen += 1
    assert seen == 19
