"""Files for a cutter: kerf held against shapely's offsets, arcs against their centres, DXF by two readers."""

import io
import math
import xml.etree.ElementTree as ET
from pathlib import Path as FilePath

import ezdxf.filemanagement
import numpy as np
import pyogrio
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon
from svgelements import Arc as SvgArc
from svgelements import Path as SvgPath

from core.errors import BadEntryError
from core.geometry.path import Arc, Line, Path, circle, joined, polyline
from core.geometry.polygons import polygon
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.sheets.cutter import (
    about,
    checked_kerf,
    cutting,
    flat_parts,
)
from core.sheets.kerf import moved_aside
from core.sheets.record import Flat
from tests.designs import plausible
from tests.sheet_reading import ASKEW, SAMPLES, points_of

LOCKS = [*SAMPLES, ASKEW, *(plausible(seed) for seed in range(900, 904))]
MORE = range(904, 960)
"""Seeds of the locks of the long run."""
KERFS = (0.0, 0.2, 0.45)


def flats(lock: Lock) -> tuple[Flat, ...]:
    return flat_parts(Layout(lock))


@pytest.mark.parametrize("kerf", KERFS)
@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.title)
@pytest.mark.first(6)
def test_outlines_grow_and_holes_shrink_by_half_the_kerf(lock: Lock, kerf: float) -> None:
    for flat in flats(lock):
        as_buffered(flat, kerf)


@pytest.mark.slow
def test_outlines_grow_and_holes_shrink_over_many_locks_or_are_refused() -> None:
    refused = 0
    for number, lock in enumerate(map(plausible, MORE)):
        for flat in flats(lock):
            kerf = (0.1, 0.3, 1.0)[number % 3]
            try:
                as_buffered(flat, kerf)
            except BadEntryError:
                refused += 1
                assert kerf == 1.0  # only so wide a kerf swallows an edge
    assert refused < 0.02 * 6 * len(MORE)


def as_buffered(flat: Flat, kerf: float) -> None:
    *holes, outline = (stroke.path for stroke in cutting(flat, kerf).strokes)
    for path, before, by in (
        (outline, flat.outline, kerf / 2),
        *((hole, old, -kerf / 2) for hole, old in zip(holes, flat.holes, strict=True)),
    ):
        wanted = polygon(before, 1e-3).buffer(by, quad_segs=64)
        found = polygon(path, 1e-3)
        assert path.closed
        assert found.symmetric_difference(wanted).area < 2e-3 * path.length
        assert shapely.hausdorff_distance(found.exterior, wanted.exterior) < 2e-2


@pytest.mark.parametrize("degrees", range(10, 360, 50))
@pytest.mark.parametrize("by", [0.3, -0.3])
def test_a_corner_of_line_and_arc_is_moved_whichever_way_it_leans(by: float, degrees: int) -> None:
    # a half round boss on one side of a triangle, or a half round notch in it: shapely's buffer, turned and elsewhere
    def place(x: float, y: float) -> tuple[float, float]:
        turn = math.radians(degrees)
        return (
            7.0 + x * math.cos(turn) - y * math.sin(turn),
            -4.0 + x * math.sin(turn) + y * math.cos(turn),
        )

    foot, left, near, far, right = (
        place(*at) for at in ((0, -20), (-15, 0), (-4, 0), (4, 0), (15, 0))
    )
    round_it = Arc(place(0, 0), 4.0, near, far, "cw" if by > 0 else "ccw")
    path = joined(
        [Line(foot, left), Line(left, near), round_it, Line(far, right), Line(right, foot)]
    )
    wanted = polygon(path, 1e-3).buffer(by, quad_segs=64, join_style="round")
    found = polygon(moved_aside(path, by, "plate").path, 1e-3)
    assert found.symmetric_difference(wanted).area < 2e-3 * path.length
    assert shapely.hausdorff_distance(found.exterior, wanted.exterior) < 2e-2


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.title)
@pytest.mark.first(2)
def test_arcs_stay_arcs_about_their_own_centres(lock: Lock) -> None:
    for flat in flats(lock):
        for stroke, before in zip(
            cutting(flat, 0.2).strokes, [*flat.holes, flat.outline], strict=True
        ):
            by = 0.1 if before is flat.outline else -0.1
            wanted = {
                (*np.round(s.centre, 6), round(s.radius, 6))
                for s in before.segments
                if isinstance(s, Arc)
            }
            found = {
                (*np.round(s.centre, 6), round(s.radius, 6))
                for s in stroke.path.segments
                if isinstance(s, Arc)
            }
            corners = {tuple(np.round(s.start, 6)) for s in before.segments}
            for x, y, radius in found:
                about_a_corner = radius == pytest.approx(0.1) and (x, y) in corners
                assert about_a_corner or any(
                    (x, y) == (cx, cy) and abs(abs(radius - r) - abs(by)) < 1e-5
                    for cx, cy, r in wanted
                )
            assert len({(x, y) for x, y, r in found if r > 0.2}) == len(
                {(x, y) for x, y, _ in wanted}
            )


@pytest.mark.parametrize("lock", LOCKS[:6], ids=lambda lock: lock.title)
@pytest.mark.first(2)
def test_dxf_holds_outline_and_holes_only_by_two_readers(lock: Lock, tmp_path: FilePath) -> None:
    # GDAL's DXF driver shares nothing with ezdxf; finer chords than its own 4 degrees
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": 0.1})
    for flat in flats(lock):
        data = cutting(flat, 0.2).dxf
        doc = ezdxf.filemanagement.read(io.StringIO(data.decode()))
        assert [error.message for error in doc.audit().errors] == []
        assert doc.header["$INSUNITS"] == 4  # millimetres
        entities = list(doc.modelspace())
        assert {e.dxftype() for e in entities} <= {"LWPOLYLINE", "CIRCLE"}
        assert {e.dxf.layer for e in entities} == {"CUT"}
        assert len(entities) == len(flat.holes) + 1
        file = tmp_path / "part.dxf"
        file.write_bytes(data)
        meta, _, shapes, values = pyogrio.raw.read(file)
        text = values[list(meta["fields"]).index("Text")]
        assert [t for t in text if t] == []
        read = [Polygon(shapely.get_coordinates(g)) for g in shapely.from_wkb(shapes)]
        for area, entity, stroke in zip(read, entities, cutting(flat, 0.2).strokes, strict=True):
            for other in (Polygon(points_of(entity)), polygon(stroke.path, 1e-4)):
                assert area.symmetric_difference(other).area < 1e-3 * area.length
        # the outline is cut last
        assert read[-1].area == max(area.area for area in read)


@pytest.mark.parametrize("lock", LOCKS[:4], ids=lambda lock: lock.title)
def test_svg_holds_outline_and_holes_only_in_millimetres(lock: Lock) -> None:
    for flat in flats(lock):
        root = ET.fromstring(cutting(flat, 0.2).svg)  # noqa: S314 - our own text
        _, _, width, height = (float(x) for x in root.attrib["viewBox"].split())
        assert float(root.attrib["width"].removesuffix("mm")) == width
        assert float(root.attrib["height"].removesuffix("mm")) == height
        assert {e.tag.split("}")[1] for e in root.iter()} == {"svg", "g", "path"}
        paths = [SvgPath(e.attrib["d"]) for e in root.iter() if e.tag.endswith("path")]
        strokes = cutting(flat, 0.2).strokes
        for path, stroke in zip(paths, strokes, strict=True):
            assert path.length(error=1e-6) == pytest.approx(stroke.path.length, abs=1e-3)
            arcs = sum(abs(s.sweep) for s in stroke.path.segments if isinstance(s, Arc))
            assert sum(abs(s.sweep) for s in path if isinstance(s, SvgArc)) == pytest.approx(
                arcs, abs=1e-4
            )


def test_the_front_plate_has_its_keyhole_and_no_row_of_holes() -> None:
    by_name = {flat.name: flat for flat in flats(SAMPLES[0])}
    (hole,) = by_name["back plate"].holes
    assert hole.bounds()[2] - hole.bounds()[0] == pytest.approx(6.0)
    (keyhole,) = by_name["front plate"].holes
    left, low, right, top = keyhole.bounds()
    assert right - left == pytest.approx(6.0)
    assert top - low == pytest.approx(3.0 + 20.2)
    assert {"bolt", "key gauge", "front guide", "rear guide"} <= set(by_name)
    assert by_name["bolt"].thickness == 3.0


# the moving itself


def shape(corners: list[tuple[float, float]]) -> Path:
    return polyline(corners, closed=True)


SLOT = shape([(0, 0), (0, 10), (4, 10), (4, 3), (4.4, 3), (4.4, 10), (9, 10), (9, 0)])


@pytest.mark.parametrize(
    ("path", "by"),
    [(SLOT, 0.25), (SLOT, -3.0), (circle((0.0, 0.0), 1.0), -1.0), (circle((0.0, 0.0), 1.0), -1.5),
     (shape([(0, 0), (0, 1), (8, 1), (8, 0)]), -0.6)],
)  # fmt: skip
def test_a_kerf_that_swallows_something_is_refused_in_one_sentence(path: Path, by: float) -> None:
    with pytest.raises(BadEntryError, match="too wide for the slotted thing") as refused:
        moved_aside(path, by, "slotted thing")
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("by", [0.25, 1.5, -0.25, -1.0])
@pytest.mark.parametrize(("large", "small"), [(10.0, 6.0), (6.0, 10.0), (0.7, 0.6)])
def test_two_discs_that_meet_are_moved_as_shapely_buffers_them(
    large: float, small: float, by: float
) -> None:
    # as the lobes of a plate: arcs that meet in corners that go in, where two circles cross, out of their line
    by *= large / 10.0
    one, other = Point(2.0, -1.0), Point(2.0 + 0.9 * large, -1.0 + 0.7 * large)
    middle = np.array([one.x, one.y]), np.array([other.x, other.y])
    # where they cross, by halving along the first circle
    way = math.atan2(middle[1][1] - middle[0][1], middle[1][0] - middle[0][0])

    def at(turn: float) -> tuple[float, float]:
        x, y = middle[0] + large * np.array([math.cos(turn), math.sin(turn)])
        return float(x), float(y)

    corners = []
    for side in (1, -1):
        low, high = way, way + side * math.pi
        for _ in range(60):
            turn = (low + high) / 2
            inside = math.dist(at(turn), middle[1]) < small
            low, high = (turn, high) if inside else (low, turn)
        corners.append(at(low))
    upper, lower = corners
    path = Path(
        (
            Arc((one.x, one.y), large, lower, upper, "cw"),
            Arc((other.x, other.y), small, upper, lower, "cw"),
        )
    )
    both = one.buffer(large, quad_segs=2000).union(other.buffer(small, quad_segs=2000))
    assert polygon(path, 1e-5).symmetric_difference(both).area < 1e-3
    moved = polygon(moved_aside(path, by, "x").path, 1e-5)
    assert moved.symmetric_difference(both.buffer(by, quad_segs=2000)).area < 2e-3 * large


@pytest.mark.parametrize("degrees", range(0, 360, 45))
def test_a_tip_without_any_angle_is_rounded_whichever_way_it_points(degrees: int) -> None:
    """By shapely: a straight edge that an arc comes back along, as of a horn, turns by half a turn at its tip."""
    turn = np.exp(1j * math.radians(degrees))

    def at(x: float, y: float) -> tuple[float, float]:
        place = complex(turn * (x + 1j * y))
        return place.real, place.imag

    tip, shoulder, corners = at(10, 0), at(5, 5), (at(0, 0), at(0, 5))
    arc = Arc(at(10, 5), 5.0, tip, shoulder, "cw")
    straight = polyline([shoulder, corners[1], corners[0], tip]).segments
    horn = Path((*straight, arc))
    moved = moved_aside(horn, 0.3, "x")
    assert moved.passed_over == 0
    wanted = polygon(horn, 1e-4).buffer(0.3, quad_segs=64)
    found = polygon(moved.path, 1e-4)
    assert found.symmetric_difference(wanted).area < 2e-3
    # about the tip half a turn of the kerf's own radius
    (end,) = (
        s for s in moved.path.segments if isinstance(s, Arc) and math.dist(s.centre, tip) < 1e-9
    )
    assert (end.radius, abs(end.sweep)) == pytest.approx((0.3, math.pi))


def test_an_edge_out_of_reach_is_passed_over_and_told_of() -> None:
    # a bevel of 0.1 mm in an inner corner: the cutter's middle runs past it
    step = shape([(0, 0), (0, 10), (5, 10), (5, 5.1), (5.1, 5), (10, 5), (10, 0)])
    way = moved_aside(step, 0.3, "x")
    assert way.passed_over == 1
    assert (
        polygon(way.path).symmetric_difference(polygon(step).buffer(0.3, quad_segs=64)).area < 2e-3
    )
    layout = Layout(SAMPLES[0])
    assert "1 edge is too short for the kerf" in about(layout, cutting(Flat("x", step, 3.0), 0.6))
    assert (
        about(layout, cutting(Flat("x", step, 3.0, seen="the front"), 0.0))
        == "x: 3.0 mm thick, seen: the front."
    )


@pytest.mark.parametrize(
    ("step", "end", "by"),
    [((0.013, 0.019), (8.6, 5.1), 0.15), ((0.009, 0.056), (6.7, 7.5), 0.5), ((0.013, 0.054), (2.5, 9.7), 0.3)],
)  # fmt: skip
@pytest.mark.parametrize("mirrored", [False, True])
def test_a_step_out_of_reach_before_a_corner_that_stands_out_is_passed_over(
    step: tuple[float, float], end: tuple[float, float], by: float, mirrored: bool
) -> None:
    # a level edge, a step of some hundredths, a slope: by shapely, and the neighbours meet with no arc between them
    corners = [(-10.0, 0.0), (0.0, 0.0), step, end, (end[0], -20.0), (-10.0, -20.0)]
    if mirrored:
        corners = [(-x, y) for x, y in reversed(corners)]
    way = moved_aside(shape(corners), by, "x")
    assert way.passed_over == 1
    wanted = polygon(shape(corners)).buffer(by, quad_segs=64)
    assert polygon(way.path).symmetric_difference(wanted).area < 2e-3
    assert len([s for s in way.path.segments if isinstance(s, Arc)]) == 4


def test_a_slot_stays_open_while_the_kerf_leaves_it_room() -> None:
    made = polygon(moved_aside(SLOT, 0.15, "x").path)
    assert made.symmetric_difference(polygon(SLOT).buffer(0.15, quad_segs=64)).area < 1e-3


def test_nothing_changes_without_a_kerf_and_either_way_round_is_the_same() -> None:
    for lock in LOCKS[:4]:
        for flat in flats(lock):
            there = moved_aside(flat.outline, 0.1, "x").path
            back = moved_aside(flat.outline.reversed(), 0.1, "x").path
            assert there.length == pytest.approx(back.length)
            assert there.signed_area() < 0
            assert moved_aside(flat.outline, 0.0, "x").path.length == pytest.approx(
                flat.outline.length
            )


@given(
    st.lists(st.tuples(st.floats(4, 20), st.floats(0.5, 1.0)), min_size=3, max_size=9),
    # to a micrometre: shapely's buffer by 1e-261 is empty, and no kerf is so small
    st.floats(-1.0, 1.0).map(lambda by: round(by, 3)),
    st.booleans(),
)
def test_any_star_is_moved_as_shapely_buffers_it_or_refused(
    spokes: list[tuple[float, float]], by: float, bulged: bool
) -> None:
    from core.geometry.path import arc_by_bulge

    step = math.tau / len(spokes)
    corners = [(r * math.cos(i * step), r * math.sin(i * step)) for i, (r, _) in enumerate(spokes)]
    ends = [*corners[1:], corners[0]]
    path = Path(
        tuple(
            arc_by_bulge(a, b, (share - 0.75) if bulged else 0.0)
            for a, b, (_, share) in zip(corners, ends, spokes, strict=True)
        )
    )
    if not polygon(path).is_valid or not Polygon(path.points(1e-4)).is_valid:
        return
    try:
        made = moved_aside(path, by, "star").path
    except BadEntryError:
        return
    wanted = polygon(path, 1e-4).buffer(by, quad_segs=128)
    assert polygon(made, 1e-4).symmetric_difference(wanted).area < 1e-3 * made.length


def test_most_stars_are_not_refused() -> None:
    rng = np.random.default_rng(4)
    refused = 0
    for _ in range(200):
        radii = rng.uniform(8, 20, 6)
        corners = [
            (r * math.cos(i), r * math.sin(i))
            for i, r in zip(np.arange(6) * math.tau / 6, radii, strict=True)
        ]
        try:
            moved_aside(shape(corners), float(rng.uniform(-0.5, 0.5)), "star")
        except BadEntryError:
            refused += 1
    assert refused == 0


@pytest.mark.parametrize("kerf", [-0.1, 5.1, math.nan, math.inf])
def test_a_kerf_that_is_none_is_refused(kerf: float) -> None:
    with pytest.raises(BadEntryError, match="0 to 5 mm"):
        checked_kerf(kerf)
