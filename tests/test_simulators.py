"""The simulators themselves, on cases whose answer is known; none of them shares a formula with the law.

Sources: the check table of the mechanism's design page; half the chord of a circle, Machinery's Handbook,
segments of circles; the rest by hand beside each check.
"""

import math

import numpy as np
import pytest
import shapely

from core.layout.layout import Layout
from core.lock.lock import Lock
from tests.config_space import Rig, follow, outline, rig_of, shut_out, trapezoids, true_bit
from tests.designs import plausible
from tests.loaded_locks import changed, narrow
from tests.rigid_body import bar, face, pieces, turn_key
from tests.touching import bit_at, let_go, touched

# R, b, c, T, p, y_b, D; then driven travel and release [degrees]: the design page's check table
TABLE = [
    (20, 3, 0.2, 12, 0, 24, 14, 11.6989, 36.9943),
    (18, 2.5, 0.25, 7.5, 0, 21.5, 9, 6.9658, 23.1753),
    (18, 2.5, 0.25, 7.5, 0, 21.5, 5, 5.9437, 19.5744),
    (22, 3, 0.3, 16, 15, 26, 12, 15.4623, 29.4274),
]  # fmt: skip
BLOCK = 1.7, 14.844
"""Face [mm] from the centreline, and its foot above the pivot, of the bar-and-block case."""


def row_lock(*row: float) -> Lock:
    r, b, c, t, p, line, deep = row
    return changed(
        Lock(), key__radius=r, key__bit_thickness=b, fit__key_clearance=c, shackle__gap=1.5,
        shackle__engagement=t - 1.5, tooth__pickup_angle=p, bolt_line__height=line, bolt__depth=deep,
        bolt__lobe_width=12.0,
    )  # fmt: skip


def test_trapezoids_make_up_the_area() -> None:
    area = outline(Layout(plausible(3)))
    cut = trapezoids(area, -100, 100)
    heights = cut.high - cut.low
    widths = (cut.right[0] - cut.left[0] + cut.right[1] - cut.left[1]) / 2
    assert float((heights * widths).sum()) == pytest.approx(area.area, abs=1e-9)
    holed = shapely.box(0, 0, 10, 10).difference(shapely.Point(5, 5).buffer(2))
    cut = trapezoids(holed, 0, 10)
    widths = (cut.right[0] - cut.left[0] + cut.right[1] - cut.left[1]) / 2
    assert float(((cut.high - cut.low) * widths).sum()) == pytest.approx(holed.area, abs=1e-9)


def test_free_travels_are_those_that_shapely_finds_free() -> None:
    layout = Layout(plausible(5, early=True))
    rig, bolt = rig_of(layout), outline(layout)
    tried = 0
    for angle in np.radians([-70, -40, -12, 0, 8, 25, 60, 170]):
        shape = bit_at(rig.bit[0], float(angle))
        gaps = rig.free(float(angle)).gaps
        for s in np.arange(-40, 40, 0.37):
            inside = any(g[0] < s < g[1] for g in gaps)
            away = min(abs(s - end) for g in gaps for end in g)
            moved = shapely.transform(bolt, lambda q, s=s: q + np.array([s, 0.0]))
            if away > 1e-4:
                assert inside == (moved.intersection(shape).area < 1e-12)
                tried += 1
    assert tried > 1000


def test_bar_and_block() -> None:
    # sqrt(h (2 R - h)), h = R - y, less where the face stood: 11.70357
    x, foot = BLOCK
    rig = Rig(shapely.Polygon(face(x, foot)), [bar(20, 3)], 100.0)
    height = 20 - foot
    travel = math.sqrt(height * (2 * 20 - height)) - x
    assert travel == pytest.approx(11.70357, abs=1e-5)
    gone = math.acos(foot / 20) - math.asin(1.5 / 20)
    run = follow(rig, "unlocking", at=np.array([gone]))
    assert run.blocked is None
    assert run.rests == pytest.approx(travel, abs=1e-6)
    engine = turn_key([bar(20, 3)], [face(x, foot)], throw=100.0)
    assert engine.stopped is None
    assert engine.rests == pytest.approx(travel, abs=0.02)
    block = shapely.Polygon(face(x, foot))
    assert let_go(block, bar(20, 3), 100.0) == pytest.approx(gone, abs=1e-5)


def test_touch_of_a_corner_on_an_upright_face_is_the_sine_mechanism() -> None:
    # Scotch yoke: travel r sin(angle): Norton, Design of Machinery (memory)
    block = shapely.Polygon(face(1.7, 10.0))
    for degrees in (5, 20, 40):
        phi = math.radians(degrees) + math.asin(1.5 / 20)
        travel, place = touched(block, bit_at(bar(20, 3), math.radians(degrees)), 40.0, 0.0)
        assert travel == pytest.approx(20 * math.sin(phi) - 1.7, abs=1e-8)
        assert place == pytest.approx((20 * math.sin(phi), 20 * math.cos(phi)), abs=1e-6)


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"R{row[0]}-D{row[6]}")
def test_check_table(row: tuple[float, ...]) -> None:
    *values, driven, release = row
    layout = Layout(row_lock(*values))
    rig, bolt, throw = rig_of(layout), outline(layout), values[3]
    for stroke, way, seat in (("unlocking", 1, 0.0), ("locking", -1, throw)):
        gone = let_go(bolt, rig.bit[0], throw, stroke)
        assert way * math.degrees(gone) == pytest.approx(release, abs=1e-3)
        at = np.array([gone])
        for capture in (None, throw - driven + 0.01):
            run = follow(rig, stroke, capture=capture, at=at)  # type: ignore[arg-type]
            assert run.blocked is None
            if capture is None:
                assert abs(run.at(at)[0] - seat) == pytest.approx(driven, abs=1e-4)
            else:
                assert run.rests == pytest.approx(throw - seat, abs=1e-9)


def test_free_bolt_is_pushed_on_along_the_relief_and_rests_there() -> None:
    # sqrt(Rc^2 - y_low^2) - sqrt(R^2 - y_low^2) short of the seat: the relief ends at the lower edge
    layout = Layout(Lock())
    rest = math.sqrt(20.2**2 - 14**2) - math.sqrt(20**2 - 14**2)
    assert rest == pytest.approx(0.2787, abs=1e-4)
    rig = rig_of(layout)
    assert follow(rig, "unlocking").rests == pytest.approx(9.5 - rest, abs=1e-3)
    assert follow(rig, "locking").rests == pytest.approx(rest, abs=1e-3)
    engine = turn_key(rig.bit, pieces(outline(layout, 1e-3)), throw=9.5)
    assert engine.rests == pytest.approx(9.5 - rest, abs=0.01)


def test_bolt_off_its_seat_stops_the_bit() -> None:
    # the bit's corner comes up under the lobe's lower edge: cos(t + beta) = y_low / R, at -49.87 degrees
    layout = Layout(Lock())
    rig = rig_of(layout)
    rest = math.sqrt(20.2**2 - 14**2) - math.sqrt(20**2 - 14**2)
    meets = -math.degrees(math.acos(14 / 20) + math.asin(1.5 / 20))
    for stroke, seat, way in (("unlocking", 0.0, 1), ("locking", 9.5, -1)):
        assert shut_out(rig, stroke, 3.0) == pytest.approx(rest, abs=3e-3)  # type: ignore[arg-type]
        slider = pieces(outline(layout, 1e-3))
        for off, passes in ((0.25, True), (0.30, False)):
            start = seat + way * off
            run = follow(rig, stroke, start=start)  # type: ignore[arg-type]
            engine = turn_key(rig.bit, slider, throw=9.5, stroke=stroke, start=start)
            assert (run.blocked is None) is passes
            assert (engine.stopped is None) is passes
            if not passes:
                assert run.blocked is not None
                assert engine.stopped is not None
                assert way * math.degrees(run.blocked) == pytest.approx(meets, abs=0.1)
                assert way * math.degrees(engine.stopped) == pytest.approx(meets, abs=0.1)


@pytest.mark.slow
def test_narrow_gap_turns_or_blocks() -> None:
    for pickup, passes in ((8.7, True), (10.0, False)):
        layout = Layout(narrow(pickup))
        rig, slider = rig_of(layout), pieces(outline(layout, 1e-3))
        for stroke in ("unlocking", "locking"):
            for capture in (None, 1.0):
                run = follow(rig, stroke, capture=capture)
                engine = turn_key(rig.bit, slider, throw=10.0, stroke=stroke, capture=capture)
                assert (run.blocked is None) is passes
                assert (engine.stopped is None) is passes


def test_bit_on_a_pivot_aside_and_a_bit_in_pieces() -> None:
    # the whole moved across is the same again; two halves of a bit are the bit
    layout = Layout(plausible(7))
    bolt, rig = outline(layout), rig_of(layout)
    aside = Rig(
        shapely.transform(bolt, lambda q: q + np.array([3.0, -2.0])),
        rig.bit,
        rig.throw,
        (3.0, -2.0),
    )
    whole = true_bit(layout.lock.key.radius, layout.lock.key.bit_thickness)
    left = [(x, y) for x, y in whole if x <= 1e-12] + [(0.0, 0.0)]
    right = [(0.0, 0.0)] + [(x, y) for x, y in whole if x >= -1e-12]
    halves = rig_of(layout, bit=[left, right])
    for stroke in ("unlocking", "locking"):
        runs = [follow(one, stroke) for one in (rig, aside, halves)]
        assert len({len(run.travel) for run in runs}) == 1
        for run in runs[1:]:
            assert run.travel == pytest.approx(runs[0].travel, abs=1e-6)


def test_detent_reaches_no_farther_than_it_does() -> None:
    # a lower edge that is the foot: 1.5563 short of the seat, nothing pushes on
    layout = Layout(row_lock(18, 2.5, 0.25, 7.5, 0, 21.5, 5))
    rig = rig_of(layout)
    assert follow(rig, "unlocking", capture=1.55).rests == pytest.approx(7.5 - 1.5563, abs=1e-3)
    assert follow(rig, "unlocking", capture=1.56).rests == 7.5
