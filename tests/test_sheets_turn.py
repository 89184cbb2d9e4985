"""From sheet to working lock: bolt and gauge as ezdxf reads them from the DXF files, turned by a rigid-body engine."""

import math

import numpy as np
import pytest
import shapely
from shapely.geometry import box

from core.layout.drawing import Label
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.sheets.pieces import bolt as bolt_piece
from tests.counts import of_all
from tests.designs import numbers, plausible
from tests.loaded_locks import changed
from tests.rigid_body import pieces, travel_of_slider
from tests.sheet_reading import SAMPLES, arcs, closed_outlines, mirrored, read_dxf

# the lesson as it is mended, and a chamfer on the demo's lobes
MENDED = [changed(lock, tooth__pickup_angle=min(lock.tooth.pickup_angle, 8.7)) for lock in SAMPLES]
CHAMFERED = changed(Lock(), title="Chamfered", bolt__lobe_chamfer=0.5)
LOCKS = [*MENDED, CHAMFERED, *(plausible(seed) for seed in range(200, 220))]
WITHIN = 0.05  # mm


@pytest.mark.parametrize("lock", of_all(LOCKS, 8), ids=lambda lock: lock.title)
@pytest.mark.first(2)
def test_cut_from_the_sheets_the_gauge_drives_the_bolt(lock: Lock) -> None:
    (bolt,) = closed_outlines(read_dxf(lock, "bolt"))
    gauge_file = read_dxf(lock, "key-gauge")
    (gauge,) = closed_outlines(gauge_file)
    if lock.unlocks == "left":  # looked at from behind, it unlocks to the right
        bolt, gauge = mirrored(bolt), mirrored(gauge)
    half, corner, arm = _arm(gauge)
    # the round between the corners is an arc about the pin: the engine gets its chord, which never touches later
    (outline,) = gauge_file.modelspace().query('LWPOLYLINE[layer=="CUT"]')
    assert any(math.dist(a[:2], (0, 0)) < 1e-6 and abs(a[2] - corner) < 1e-6 for a in arcs(outline))
    # predicted: the fixed-point iteration of the tests' own, which shares nothing with the program
    wanted = numbers(lock)
    begin = -math.radians(lock.tooth.pickup_angle) - 0.1
    throw = lock.shackle.engagement + lock.shackle.gap
    for side, start in ((1, 0.0), (-1, throw)):
        turn = side * np.array([begin, wanted.release - 1e-4, wanted.release + 0.25])
        found = travel_of_slider(arm, pieces(bolt), turn, start=start, step=5e-4)
        driven, after = np.abs(found[1:] - start)
        assert driven == pytest.approx(wanted.driven, abs=WITHIN)
        # past the release the corner may run along the relief and push on, never past the seat
        assert wanted.driven - WITHIN <= after <= throw + WITHIN
        _clear(
            gauge, half, bolt, side, begin, wanted.release, driven if side > 0 else throw - driven
        )


def _arm(gauge: shapely.Polygon) -> tuple[float, float, list[tuple[float, float]]]:
    """Return half the arm's thickness, its corners' radius, and the arm from the pin up, as read back."""
    top = gauge.bounds[3]
    near_tip = gauge.intersection(box(-100, top - 1.5, 100, top + 1))
    half = near_tip.bounds[2]
    assert near_tip.bounds[0] == pytest.approx(-half, abs=1e-6)
    tips = [p for p in gauge.exterior.coords if abs(abs(p[0]) - half) < 1e-6]
    tip = max(y for _, y in tips)
    return half, math.hypot(half, tip), [(-half, 0.0), (half, 0.0), (half, tip), (-half, tip)]


def _clear(
    gauge: shapely.Polygon,
    half: float,
    bolt: shapely.Polygon,
    side: int,
    begin: float,
    end: float,
    seat: float,
) -> None:
    """The strip and the hub, which the key has not, meet the bolt nowhere while the arm drives it."""
    rest = gauge.difference(box(-half - 1e-6, 0, half + 1e-6, 100))
    for angle in np.linspace(begin, end, 12):
        cos, sin = math.cos(side * angle), math.sin(side * angle)
        turned = shapely.transform(rest, lambda q, c=cos, s=sin: q @ np.array([[c, -s], [s, c]]))
        for place in (0.0, seat):
            there = shapely.transform(bolt, lambda q, s=place: q + np.array([s, 0.0]))
            assert turned.intersection(there).area < 1e-6


def test_locks_are_of_both_hands_and_roofs() -> None:
    assert {lock.unlocks for lock in LOCKS} == {"left", "right"}
    assert {lock.tooth.roof for lock in LOCKS} == {"flat", "scribed"}
    assert {lock.tooth.pickup_angle > 0 for lock in LOCKS} == {False, True}
    assert len(LOCKS) >= 23


def test_chamfer_is_marked_out_from_the_flank_by_sheet_and_order_of_work() -> None:
    # by hand: where relief and lower edge meet, and 0.5 more, less the flank's 9.5 + 1.5
    far = math.sqrt(20.2**2 - 14**2) + 0.5 - 11.0
    assert round(far, 2) == 4.06
    layout = Layout(CHAMFERED)
    (sheet,) = [each for each in bolt_piece.PIECE.sheets(layout) if each.name == "bolt"]
    (told,) = [m for m in sheet.marks if isinstance(m, Label) and m.text.startswith("chamfer from")]
    assert "4.06" in told.text
    (step,) = [step for step in bolt_piece.PIECE.steps(layout) if step.startswith("Lobe chamfer")]
    assert "4.06 mm outwards" in step
    (setting,) = [s for s in bolt_piece.PIECE.settings(layout) if s.what == "lobe chamfer"]
    assert setting.length == pytest.approx(far, abs=1e-9)
    for told_of in (bolt_piece.PIECE.steps, bolt_piece.PIECE.settings):
        assert not [each for each in told_of(Layout(Lock())) if "chamfer" in str(each)]


def test_chamfer_comes_out_of_the_file_as_one_line() -> None:
    # the mark is 0.5 outside sqrt(20.2^2 - 14^2), and a rule from it touches the circle of 20.2
    (bolt,) = closed_outlines(read_dxf(CHAMFERED, "bolt"))
    corners = np.array(bolt.exterior.coords)
    out = math.sqrt(20.2**2 - 14**2) + 0.5
    away = math.hypot(out, 14.0)
    touch = math.atan2(out, 14.0) - math.acos(20.2 / away)
    for centre, side in ((0.0, -1), (-9.5, 1)):
        mark = (centre + side * out, 14.0)
        end = (centre + side * 20.2 * math.sin(touch), 20.2 * math.cos(touch))
        places = [int(np.argmin(np.hypot(*(corners - p).T))) for p in (mark, end)]
        assert corners[places] == pytest.approx(np.array([mark, end]), abs=1e-6)
        assert abs(places[0] - places[1]) == 1
