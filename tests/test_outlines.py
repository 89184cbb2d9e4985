"""The six outlines against area formulas, and against shapely on plates drawn without the program."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Point

from core.checks import gathered
from core.errors import BadValueError
from core.geometry.outlines import lowest_point, outline, top_at
from core.geometry.path import Arc
from core.layout.layout import Layout
from core.lock.kinds import MOST_POINTS
from core.lock.lock import Lock
from core.lock.sections import Plate
from core.parts.inner_wall import wall_down, wall_left, wall_right, wall_up
from core.parts.plate import wall_distance
from core.report.data import report
from tests.counts import seeds
from tests.designs import OUTLINES, plausible, seeded
from tests.plates import inner_wall, plate_polygon, zigzag

EACH = pytest.mark.parametrize("kind", OUTLINES)


def codes(lock: Lock) -> list[str]:
    return [finding.code for finding in gathered.findings(Layout(lock))]


@EACH
def test_outline_against_shapely(kind: str) -> None:
    for seed in seeds(3, 6):
        plate = plausible(seed, outline=kind).plate
        made = outline(plate)
        wanted = plate_polygon(plausible(seed, outline=kind))
        assert made.problems == ()
        assert made.path.closed
        found = shapely.Polygon(made.path.points(1e-4))
        assert found.is_valid
        # the two chords' own errors over the whole edge
        assert found.symmetric_difference(wanted).area < 1e-3 * wanted.length
        assert made.path.signed_area() == pytest.approx(-wanted.area, abs=1e-3 * wanted.length)
        assert made.path.bounds() == pytest.approx(wanted.bounds, abs=2e-3)
        for segment in made.path.segments:
            if isinstance(segment, Arc):
                for end in (segment.start, segment.end):
                    assert math.dist(end, segment.centre) == pytest.approx(segment.radius, abs=1e-7)


def test_area_of_a_round_plate() -> None:
    said = report(
        Layout(Lock().with_value("plate.outline", "round").with_value("plate.width", 88.0))
    )
    assert said["plate"]["area"] == pytest.approx(math.pi * 44**2, abs=1e-9)
    assert said["plate"]["width"] == pytest.approx(88.0, abs=1e-9)
    # a round plate does not use its height
    assert said["plate"]["height"] == pytest.approx(88.0, abs=1e-9)


@pytest.mark.parametrize(
    ("width", "height"), [(76.0, 92.0), (60.0, 110.0), (100.0, 100.0), (140.0, 60.0)]
)
def test_oval_is_an_ellipse(width: float, height: float) -> None:
    path = outline(Plate(outline="oval", width=width, height=height)).path
    # area of an ellipse pi a b: any table of plane figures
    assert path.signed_area() == pytest.approx(-math.pi * width * height / 4, abs=1e-3)
    points = path.points(1e-7)
    middle = np.array([0.0, -height / 2])
    x, y = ((points - middle) / [width / 2, height / 2]).T
    # (x/a)^2 + (y/b)^2 - 1, over its gradient, is the distance from the ellipse to first order
    away = (x**2 + y**2 - 1) / (2 * np.hypot(x / (width / 2), y / (height / 2)))
    assert np.abs(away).max() < 2e-4


def test_area_of_a_rectangle_with_round_corners() -> None:
    for corner in (0.0, 6.0, 38.0):
        path = outline(Plate(outline="rectangle", width=76, height=92, corner=corner)).path
        assert path.signed_area() == pytest.approx(-(76 * 92 - (4 - math.pi) * corner**2), abs=1e-9)
        assert path.closed


def test_shield_sides_are_tangent_and_meet_at_the_foot() -> None:
    plate = Plate(outline="shield", width=76, height=92, straight=38)
    path = outline(plate).path
    arcs = [s for s in path.segments if isinstance(s, Arc)]
    assert len(arcs) == 2
    # tangent to an upright side: the centre is level with the side's end
    assert [arc.centre[1] for arc in arcs] == pytest.approx([-38, -38], abs=1e-12)
    assert arcs[0].end == pytest.approx((0.0, -92.0), abs=1e-12)
    assert arcs[1].start == pytest.approx((0.0, -92.0), abs=1e-12)


def test_lobes_and_fillet_are_tangent() -> None:
    plate = Plate(outline="lobed", width=90, height=92, lobe=18, notch=6)
    arcs = [s for s in outline(plate).path.segments if isinstance(s, Arc)]
    fillet = next(arc for arc in arcs if arc.turn == "ccw")
    for lobe in (arc for arc in arcs if abs(arc.radius - 18) < 1e-12):
        assert math.dist(lobe.centre, fillet.centre) == pytest.approx(18 + fillet.radius, abs=1e-9)
    # the notch is 6 deep from the tops of the lobes: the mark stands on its lowest point
    box = outline(plate).path.bounds()
    assert box[3] == pytest.approx(6.0, abs=1e-9)
    assert top_at(outline(plate).path, 0.0) == pytest.approx(0.0, abs=1e-9)


@EACH
def test_datum_mark_stands_on_the_top_edge(kind: str) -> None:
    for across in (-9.0, 0.0, 4.0):
        lock = plausible(3, outline=kind).with_value("plate.mark_across", across)
        edge = plate_polygon(lock)
        # nothing of the plate is above the mark, and the edge runs through it
        above = edge.intersection(LineString([(0.0, 1e-3), (0.0, 500.0)]))
        assert above.is_empty
        path = outline(lock.plate).path
        assert path.distance(np.zeros((1, 2)))[0] < 1e-9
        assert top_at(path, 0.0) == pytest.approx(0.0, abs=1e-9)
        shift = 0.0 if kind == "traced" else across
        left, _, right, _ = path.bounds()
        middle = (plate_polygon(lock.with_value("plate.mark_across", 0.0))).bounds
        assert (left, right) == pytest.approx((middle[0] - shift, middle[2] - shift), abs=2e-3)


@EACH
def test_wall_distance_against_shapely(kind: str) -> None:
    for seed in seeds(4, 8):
        lock, rng = plausible(seed, outline=kind), seeded(seed)
        edge = plate_polygon(lock)
        for _ in range(6):
            tried = lock.with_value("pivot.across", rng.uniform(-30, 30))
            tried = tried.with_value("pivot.below", rng.uniform(1, 110))
            pivot = Point(tried.pivot.across, -tried.pivot.below)
            away = edge.exterior.distance(pivot) * (1 if edge.contains(pivot) else -1)
            found = float(wall_distance(Layout(tried)))
            assert found == pytest.approx(away - tried.plate.rim, abs=1e-3)
            if found > 0:
                # the same against the inner wall itself
                assert inner_wall(tried).exterior.distance(Point(0, 0)) == pytest.approx(
                    found, abs=5e-3
                )


def test_walls_are_as_near_as_where_a_line_across_first_leaves_the_plate() -> None:
    # a plate with a dent in every edge, each found by laying lines across shapely's own inner wall
    dented = [
        (-40, 0), (10, 0), (20, -9), (30, 0), (40, 0), (40, -30), (31, -38), (40, -50), (40, -80),
        (-4, -80), (-15, -73), (-20, -80), (-40, -80), (-40, -60), (-33, -49), (-40, -40),
    ]  # fmt: skip
    lock = (
        Lock()
        .with_value("plate.outline", "traced")
        .with_value("plate.points", tuple((float(x), float(y)) for x, y in dented))
        .with_value("pivot.across", 0.0)
        .with_value("pivot.below", 42.0)
    )
    layout, wall = Layout(lock), inner_wall(lock)

    def least(low: float, high: float, at: float, way: tuple[int, int]) -> float:
        along, across = np.array(way), np.array([way[1], -way[0]])
        reached = []
        for off in np.linspace(low, high, 801):
            ends = [across * off + along * at, across * off + along * 200.0]
            there = shapely.get_coordinates(wall.intersection(LineString(ends))) @ along
            reached.append(float(there.max()))
        return min(reached)

    up, down = wall_up(layout, 12.0, 26.0, 2.0), wall_down(layout, -25.0, -8.0, 2.0)
    right, left = wall_right(layout, -6.0, 12.0, 1.0), wall_left(layout, -15.0, 0.0, 1.0)
    assert up == pytest.approx(least(12.0, 26.0, 2.0, (0, 1)), abs=0.02)
    assert down == pytest.approx(-least(8.0, 25.0, -2.0, (0, -1)), abs=0.02)
    assert right == pytest.approx(least(-12.0, 6.0, 1.0, (1, 0)), abs=0.02)
    assert left == pytest.approx(least(-15.0, 0.0, 1.0, (-1, 0)), abs=0.02)


@EACH
@pytest.mark.first(2)
def test_lowest_point_and_lean(kind: str) -> None:
    for seed in seeds(4, 8):
        lock = plausible(seed, outline=kind)
        edge = plate_polygon(lock)
        ring = shapely.get_coordinates(edge)
        low = ring[ring[:, 1] < ring[:, 1].min() + 1e-6]
        wanted = ((low[:, 0].min() + low[:, 0].max()) / 2, ring[:, 1].min())
        found = lowest_point(outline(lock.plate).path)
        # the fine polygon misses the bottom of an arc by half a step at most
        assert found[0] == pytest.approx(wanted[0], abs=0.3)
        assert found[1] == pytest.approx(wanted[1], abs=1e-3)
        said = report(Layout(lock))["centreline"]
        across, below = lock.pivot.across, lock.pivot.below
        assert said["lean"] == pytest.approx(math.degrees(math.atan2(-across, below)), abs=1e-12)
        # foot_miss: distance of the lowest point from the line through mark and pivot, right positive
        line = np.array([across, -below]) / math.hypot(across, below)
        miss = -line[1] * found[0] + line[0] * found[1]
        assert said["foot_miss"] == pytest.approx(miss, abs=1e-9)


def test_lowest_point_of_a_flat_foot_is_its_middle() -> None:
    plate = Plate(outline="rectangle", width=80, height=60, corner=5, mark_across=7)
    assert lowest_point(outline(plate).path) == pytest.approx((-7.0, -60.0), abs=1e-9)


def test_lowest_point_is_on_the_plate() -> None:
    # the lower arc bends inwards and the circles of the sides reach far below the plate
    points = ((-40, 0), (40, 0, -0.05), (30, -70, 0.1), (-30, -70, -0.05))
    path = outline(Plate(outline="traced", points=points)).path
    assert lowest_point(path) == pytest.approx((0.0, path.bounds()[1]), abs=1e-9)
    assert abs(lowest_point(path)[0]) < 40


def test_traced_either_way_round_is_the_same_plate() -> None:
    corners = [
        (-40.0, 0.0, 0.0),
        (40.0, 0.0, -0.2),
        (46.0, -50.0, -0.3),
        (0.0, -95.0, 0.1),
        (-46.0, -50.0, -0.2),
    ]
    back = [(x, y) for x, y, _ in corners[:1] + corners[:0:-1]]
    bulges = [-k for _, _, k in corners[::-1]]
    turned = [(x, y, k) for (x, y), k in zip(back, bulges, strict=True)]
    rotated, closed = corners[2:] + corners[:2], [*corners, corners[0]]
    one, *others = (
        report(Layout(Lock().with_value("plate.outline", "traced").with_value("plate.points", p)))
        for p in (corners, turned, rotated, closed)
    )
    assert [f["code"] for f in one["findings"]].count("plate-outline") == 0
    for other in others:
        assert other["plate"] == pytest.approx(one["plate"], abs=1e-9)
        assert other["centreline"] == pytest.approx(one["centreline"], abs=1e-9)
        assert [f["code"] for f in other["findings"]] == [f["code"] for f in one["findings"]]
        for path, window in one["windows"].items():
            ends = (other["windows"][path][end] for end in ("low", "high"))
            assert list(ends) == pytest.approx([window["low"], window["high"]], abs=1e-6)


def test_a_traced_plate_is_its_copy() -> None:
    # a rectangle and a shield traced corner by corner are the same locks
    for kind, points in {
        "rectangle": [(-32, 0), (32, 0, -math.tan(math.pi / 8)), (38, -6), (38, -86, -math.tan(math.pi / 8)),
                      (32, -92), (-32, -92, -math.tan(math.pi / 8)), (-38, -86), (-38, -6, -math.tan(math.pi / 8))],
        "shield": None,
    }.items():  # fmt: skip
        lock = Lock().with_value("plate.outline", kind)
        if points is None:
            # half width 38, foot 54 below the sides: sagitta angle of one arc about its centre
            r = (38**2 + 54**2) / (2 * 38)
            bulge = (
                -math.tan(math.asin(54 / r) / 4)
                if r > 38
                else -math.tan((math.pi - math.asin(54 / r)) / 4)
            )
            points = [(-38, 0), (38, 0), (38, -38, bulge), (0, -92, bulge), (-38, -38)]
        copy = lock.with_value("plate.outline", "traced").with_value("plate.points", points)
        one, other = report(Layout(lock)), report(Layout(copy))
        assert other["plate"] == pytest.approx(one["plate"], abs=1e-9)
        for path, window in one["windows"].items():
            ends = [other["windows"][path][end] for end in ("low", "high")]
            assert ends == pytest.approx([window["low"], window["high"]], abs=1e-6)


BAD_PLATES = {
    "corner too large": replace(Plate(), outline="rectangle", corner=60.0),
    "no foot left": replace(Plate(), outline="shield", straight=95.0),
    "lobe too large": replace(Plate(), outline="lobed", lobe=60.0, notch=0.0),
    "notch too deep": replace(Plate(), outline="lobed", lobe=26.0, notch=15.0),
    "mark beside": replace(Plate(), mark_across=50.0),
    "no points": replace(Plate(), outline="traced"),
    "two points": replace(Plate(), outline="traced", points=((0.0, 0.0), (30.0, 0.0))),
    "there and back": replace(
        Plate(), outline="traced", points=((0.0, 0.0), (30.0, 0.0), (9.0, 0.0))
    ),
    "bow tie": replace(
        Plate(), outline="traced", points=((-30.0, 0.0), (30.0, 0.0), (-30.0, -60.0), (30.0, -60.0))
    ),
}


@pytest.mark.parametrize("plate", BAD_PLATES.values(), ids=BAD_PLATES)
@pytest.mark.first(3)
def test_impossible_outlines_are_told_and_stood_in_for(plate: Plate) -> None:
    made = outline(plate)
    assert len(made.problems) == 1
    assert made.path.closed
    assert shapely.Polygon(made.path.points()).is_valid
    assert "plate-outline" in codes(replace(Lock(), plate=plate))


@pytest.mark.parametrize(
    "points",
    [
        ((-30.0, 0.0), (30.0, 0.0), (-30.0, -60.0), (30.0, -60.0)),
        ((-30.0, 0.0), (30.0, 0.0), (-10.0, -60.0), (10.0, -60.0)),
        ((-9.0, 0.0), (9.0, 0.0), (0.0, -0.1)),
    ],
    ids=["bow tie", "bow tie, one bow larger", "sliver"],
)
def test_a_traced_outline_that_crosses_itself_or_is_no_plate_is_told_so(
    points: tuple[tuple[float, float], ...],
) -> None:
    # by shapely: no valid ring, or one of less than a square millimetre
    ring = shapely.Polygon(points)
    assert not ring.is_valid or ring.area < 1.0
    made = outline(replace(Plate(), outline="traced", points=points))
    assert made.problems[0].startswith("the traced outline crosses itself or encloses nothing")
    assert shapely.Polygon(made.path.points()).is_valid


def test_datum_off_the_traced_edge_is_told() -> None:
    points = ((-40.0, -2.0), (40.0, -2.0), (40.0, -90.0), (-40.0, -90.0))
    (problem,) = outline(replace(Plate(), outline="traced", points=points)).problems
    assert "2 mm from the traced edge" in problem


def test_rim_that_leaves_no_room() -> None:
    assert "rim-too-wide" in codes(Lock().with_value("plate.rim", 40.0))


def test_more_points_than_anybody_traces_are_refused_with_the_reason() -> None:
    assert outline(Plate(outline="traced", points=zigzag(MOST_POINTS))).problems == ()
    with pytest.raises(BadValueError) as refused:
        Lock().with_value("plate.points", zigzag(MOST_POINTS + 2))
    assert "plate.points has 1002 points: it takes up to 1000" in str(refused.value)
    assert "slow" in str(refused.value)
