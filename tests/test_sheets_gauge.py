"""The key gauge: its lines against the bolt's own contour, and its strip clear of the bolt while the arm drives it."""

import math

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon, box

from core.layout.drawing import Label, Stroke
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.parts.bolt_contour import bolt
from core.parts.tooth import tooth
from core.sheets.pieces.key_gauge import flank_lines, gauge_contour, pin, shoulder, strip_end
from core.sheets.record import Sheet
from core.sheets.tables import tables
from tests.designs import numbers, plausible
from tests.locks import changed
from tests.sheet_reading import SAMPLES, job_for, written

EARLY = [plausible(seed, early=True) for seed in range(800, 840)]


def gauge_sheet(lock: Lock) -> Sheet:
    return written(lock, "key-gauge")[1].sheet


def scribed(lock: Lock) -> list[tuple[float, ...]]:
    """Return the ends of the lines on the gauge, below the pin."""
    return [
        (*m.path.start, *m.path.end)
        for m in gauge_sheet(lock).marks
        if isinstance(m, Stroke) and m.layer == "scribe" and m.path.end[1] < 0
    ]


@pytest.mark.parametrize("lock", [*SAMPLES, *EARLY[:8]], ids=lambda lock: lock.title)
def test_laid_over_the_bolt_the_lines_show_where_its_tooth_is(lock: Lock) -> None:
    # turned half round about the pin, (x, y) of the gauge comes to lie on (-x, -y) of the lock
    contour = Polygon(bolt(Layout(lock)).contour.points(1e-4))
    corners = shapely.get_coordinates(contour.exterior)
    ups = sorted({round(-y0, 6) for x0, y0, x1, y1 in scribed(lock) if y0 == y1})
    assert lock.bolt_line.height == pytest.approx(ups[-1], abs=1e-6)
    foot = numbers(lock).foot
    for wanted in (foot, lock.key.radius + lock.fit.key_clearance, lock.bolt_line.height):
        assert min(abs(wanted - up) for up in ups) < 1e-6
    lines = {round(-x0, 6) for x0, y0, x1, y1 in scribed(lock) if x0 == x1 and y0 != y1} - {0.0}
    throw = lock.shackle.engagement + lock.shackle.gap
    # the unlocking flank with the bolt locked, the locking flank with the bolt moved to its other seat
    for along in (0.0, throw):
        at_foot = corners[np.abs(corners[:, 1] - foot) < 1e-3][:, 0] + along
        assert any(abs(x - line) < 1e-3 for x in at_foot for line in lines)
    assert len(lines) == (2 if flank_lines(Layout(lock)) else 0)


@pytest.mark.parametrize("lock", EARLY, ids=lambda lock: lock.title)
@pytest.mark.first(10)
def test_the_strip_stays_clear_of_the_bolt_while_the_arm_drives_it(lock: Lock) -> None:
    layout = Layout(lock)
    gauge = Polygon(gauge_contour(layout).points(1e-3))
    assert gauge.is_valid
    half = lock.key.bit_thickness / 2
    rest = gauge.difference(box(-half - 1e-6, 0.0, half + 1e-6, 200.0))
    body = Polygon(bolt(layout).contour.points(1e-3))
    wanted = numbers(lock)
    throw = lock.shackle.engagement + lock.shackle.gap
    for side, seats in ((1, (0.0, wanted.driven)), (-1, (throw, throw - wanted.driven))):
        for angle in np.linspace(
            -math.radians(lock.tooth.pickup_angle) - 0.1, wanted.release + 0.2, 20
        ):
            cos, sin = math.cos(side * angle), math.sin(side * angle)
            turned = shapely.transform(
                rest, lambda q, c=cos, s=sin: q @ np.array([[c, -s], [s, c]])
            )
            for seat in seats:
                there = shapely.transform(body, lambda q, s=seat: q + np.array([s, 0.0]))
                assert turned.intersection(there).area < 1e-6


DEEP = (
    # key radius, pick-up, engagement, bit, shank, bolt line, depth
    (15.2, 27.0, 13.4, 3.2, 4.0, 19.2, 17.1),
    (17.5, 27.0, 14.3, 3.0, 4.2, 21.5, 19.5),
)
PATHS = ("key.radius", "tooth.pickup_angle", "shackle.engagement", "key.bit_thickness", "key.shank",
         "bolt_line.height", "bolt.depth")  # fmt: skip


@pytest.mark.parametrize("sizes", DEEP)
def test_a_strip_widens_where_the_bolt_lets_it_fifteen_degrees_past_the_release(
    sizes: tuple[float, ...],
) -> None:
    # by shapely: the shoulder of a deep bolt's gauge, turned so far, comes up to its edge less the key's clearance
    layout = Layout(changed(Lock(), dict(zip(PATHS, sizes, strict=True))))
    cut, step = tooth(layout), shoulder(layout)
    contour = Polygon(gauge_contour(layout).points(1e-3))
    wide = contour.intersection(box(-200.0, -200.0, 200.0, -step.down))
    turn = math.degrees(cut.release_angle) + 15.0
    turned = shapely.affinity.rotate(wide, turn, origin=(0.0, 0.0))
    assert turned.bounds[3] == pytest.approx(cut.lower_edge - cut.clearance, abs=1e-3)
    assert turned.bounds[2] > step.wide / 2


def test_some_gauges_widen_for_their_lines_and_some_do_not() -> None:
    steps = [shoulder(Layout(lock)) for lock in EARLY]
    assert {step.down > 0 for step in steps} == {False, True}
    for lock, step in zip(EARLY, steps, strict=True):
        lines = flank_lines(Layout(lock))
        assert not lines or max(lines) <= step.wide - 1.0
        assert step.down == 0 or step.down <= strip_end(Layout(lock)) or not lines


def test_the_sheet_tells_how_it_is_used_with_a_pin_and_with_a_pipe() -> None:
    sheet = gauge_sheet(SAMPLES[0])
    said = " ".join(sheet.notes)
    assert "lying over the bolt" in said
    assert "stand 5.0 mm out or more" in said  # a bolt of 3 mm on a plate of 2 mm
    assert "Pin or pipe" in said
    assert any(
        isinstance(m, Label) and m.text == "flanks 1.5 mm to either side" for m in sheet.marks
    )
    stock = next(t for t in tables(job_for(SAMPLES[0])) if t.title == "Stock to cut")
    (row,) = [row for row in stock.rows if row[0] == "pin of the key gauge"]
    length = float(row[2].split(" mm")[0])
    assert length >= 5.0 + 1.5 + 3.0
    assert pin(Layout(SAMPLES[0])) <= SAMPLES[0].pivot.hole
