"""The bolt's contour against discs and boxes of shapely, and against the sweep of the bit.

The contour is read from the report, as a script outside the project reads it. The other side is made of
shapely alone: discs, boxes and the union of a turning bit.
"""

import math
from typing import Any

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from shapely.affinity import rotate, translate
from shapely.geometry import Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from core.layout.layout import Layout
from core.layout.path_data import path_as_data
from core.lock.facts import made_to, with_measured
from core.lock.lock import Lock
from core.made.marking import mark_made
from core.mechanism.after_release import Course
from core.mechanism.lobe import Lobe
from core.mechanism.scribed_roof import scraped
from core.mechanism.tooth_numbers import tooth_from
from core.parts.bolt_contour import bolt, contour
from core.whole import assembly
from tests.counts import seeds, tries
from tests.designs import Numbers, bits, numbers, plausible
from tests.locks import changed
from tests.plates import FINE

KINDS = [
    pytest.param(
        early, shallow, id=f"{'early' if early else 'top'}-{'edge' if shallow else 'relief'}"
    )
    for early in (False, True)
    for shallow in (False, True)
]
EACH = pytest.mark.parametrize(("early", "shallow"), KINDS)
SEEDS = range(4)


def data(lock: Lock) -> list[dict[str, Any]]:
    return path_as_data(contour(Layout(lock)))


def sampled(segments: list[dict[str, Any]], per_arc: int = 2000) -> BaseGeometry:
    """Return the contour as a polygon, each arc as points at even angles from its own numbers."""
    ring: list[list[float]] = []
    for segment in segments:
        if "line" in segment:
            ring.append(segment["line"][0])
            continue
        arc = segment["arc"]
        centre = complex(*arc["centre"])
        begin, end = complex(*arc["from"]) - centre, complex(*arc["to"]) - centre
        turn = float(np.angle(end / begin)) % math.tau
        if arc["turn"] == "cw":
            turn -= math.tau
        points = centre + begin * np.exp(1j * turn * np.arange(per_arc) / per_arc)
        ring += [[z.real, z.imag] for z in points]
    return Polygon(ring)


def throw(lock: Lock) -> float:
    return lock.shackle.engagement + lock.shackle.gap


def disc(lock: Lock, x: float) -> BaseGeometry:
    radius = lock.key.radius + lock.fit.key_clearance
    return Point(x, 0).buffer(radius, quad_segs=FINE)


def blank(lock: Lock, n: Numbers) -> BaseGeometry:
    """Return body and legs before the gap is cut, at the locked seat, unlocking to the right."""
    line, sizes = lock.bolt_line.height, lock.bolt
    left, right = -n.flank - sizes.lobe_width, n.offset + sizes.lobe_width
    body = box(left, line - sizes.depth, right, line)
    face = abs(lock.shackle.across) - lock.shackle.diameter / 2
    nose = box(-face - lock.shackle.engagement, line - sizes.nose_height, left, line)
    tail = box(
        right, line - sizes.tail_height,
        lock.rear_guide.from_centreline + lock.rear_guide.width, line,
    )  # fmt: skip
    return shapely.union_all([body, nose, tail])


def gap(lock: Lock, n: Numbers, roof: str) -> BaseGeometry:
    """Return all that is cut away: gap to the roof, and the relief on either side of it."""
    relief, t = lock.key.radius + lock.fit.key_clearance, throw(lock)
    here, there = disc(lock, 0.0), disc(lock, -t)
    strip = box(-n.flank, -100, n.offset, relief)
    if roof == "scribed":
        strip = strip.intersection(here.union(there).union(box(-100, -100, 100, n.foot)))
    # the disc is the path of the bit that comes in: beside each flank the one of that seat
    left = here.intersection(box(-100, 0, -n.flank, 100))
    right = there.intersection(box(n.offset, 0, 100, 100))
    return shapely.union_all([strip, left, right])


def in_drive(lock: Lock, area: BaseGeometry) -> BaseGeometry:
    sign = 1.0 if lock.unlocks == "right" else -1.0
    return shapely.transform(area, lambda q: q * np.array([sign, 1.0]))


@EACH
@pytest.mark.first(1)
def test_contour_is_the_blank_less_gap_and_relief(early: bool, shallow: bool) -> None:
    scribed = 0
    for seed in SEEDS:
        lock = plausible(seed, early=early, shallow=shallow)
        n = numbers(lock)
        wanted = blank(lock, n).difference(gap(lock, n, bolt(Layout(lock)).roof))
        scribed += bolt(Layout(lock)).roof == "scribed"
        found = in_drive(lock, sampled(data(lock)))
        assert found.is_valid
        assert found.symmetric_difference(wanted).area < 2e-3
    assert scribed > 0


@EACH
@pytest.mark.first(1)
def test_contour_is_closed_clockwise_and_its_arcs_are_true(early: bool, shallow: bool) -> None:
    arcs = 0
    for seed in seeds(5, 10):
        lock = plausible(seed, early=early, shallow=shallow)
        segments, sign = data(lock), 1 if lock.unlocks == "right" else -1
        ends = []
        for segment in segments:
            if "line" in segment:
                ends.append(segment["line"])
                continue
            arc = segment["arc"]
            ends.append([arc["from"], arc["to"]])
            arcs += 1
            assert arc["radius"] == lock.key.radius + lock.fit.key_clearance
            assert arc["centre"][0] in (0.0, pytest.approx(-sign * throw(lock), abs=1e-12))
            assert arc["centre"][1] == 0.0
            for end in (arc["from"], arc["to"]):
                assert math.dist(end, arc["centre"]) == pytest.approx(arc["radius"], abs=1e-9)
        for (_, end), (start, _) in zip(ends, ends[1:] + ends[:1], strict=True):
            assert math.dist(end, start) < 1e-9
        assert all(math.dist(*pair) > 1e-9 for pair in ends)
        polygon = sampled(segments)
        assert polygon.is_valid
        assert not polygon.exterior.is_ccw
    # two reliefs each where the relief is the foot, and two more in a scribed roof
    assert arcs >= (0 if shallow else tries(10, 20))


def test_area_and_centroid_against_shapely() -> None:
    for seed in seeds(6, 12):
        lock = plausible(seed)
        path = contour(Layout(lock))
        fine = sampled(data(lock), per_arc=3000)
        assert path.signed_area() == pytest.approx(-fine.area, abs=1e-4)
        assert path.centroid() == pytest.approx((fine.centroid.x, fine.centroid.y), abs=1e-5)


def law(lock: Lock, n: Numbers, angles: NDArray[np.float64]) -> NDArray[np.float64]:
    """Section 4 of the design page and what corrects it after the release, unlocking; angles in radians, clockwise."""
    p, half = math.radians(lock.tooth.pickup_angle), lock.key.bit_thickness / 2
    beta = math.asin(half / lock.key.radius)

    def face(turned: NDArray[np.float64]) -> NDArray[np.float64]:
        within = np.clip(turned, -p, 0)
        found: NDArray[np.float64] = n.foot * np.tan(within) + half / np.cos(within) - n.offset
        return found

    flank = lock.key.radius * np.sin(angles + beta) - n.offset
    phases = [angles < -p, angles < 0, angles < n.release]
    # after the release: pushed on along the relief, caught by the detent, held back by the trailing face until t = p
    radius, relief = lock.key.radius, lock.key.radius + lock.fit.key_clearance
    low, far = lock.bolt_line.height - lock.bolt.depth, n.flank + lock.bolt.lobe_width
    ends = max(low, math.sqrt(max(relief**2 - far**2, 0.0)))
    height = np.maximum(radius * np.cos(np.minimum(angles + beta, math.pi / 2)), ends)
    off = np.sqrt(relief**2 - height**2) - np.sqrt(radius**2 - np.minimum(height, radius) ** 2)
    off = off if n.on_relief > low else np.full(len(angles), throw(lock) - n.driven)
    home = throw(lock) - np.where(angles < p, face(-angles), 0.0)
    after = np.where(
        off <= lock.fit.detent_capture, np.maximum(home, throw(lock) - off), throw(lock) - off
    )
    return np.select(phases, [np.zeros(len(angles)), face(angles), flank], after)


def passes(lock: Lock, n: Numbers, step: float) -> NDArray[np.object_]:
    """Return the bit as the bolt sees it, at every step [degrees] of both strokes."""
    turn = np.radians(np.arange(-180, 180 + step, step))
    corners = np.array([-math.radians(lock.tooth.pickup_angle), 0.0, n.release - 1e-9, n.release])
    turn = np.sort(np.concatenate([turn, corners]))
    there = law(lock, n, turn)
    back = throw(lock) - law(lock, n, turn)
    travel = np.concatenate([there, back])
    return bits(lock.key.radius, lock.key.bit_thickness, np.concatenate([turn, -turn]), travel)


def most_overlap(metal: BaseGeometry, shapes: NDArray[np.object_]) -> float:
    shapely.prepare(metal)
    met = shapes[shapely.intersects(metal, shapes)]
    return float(shapely.area(shapely.intersection(metal, met)).max(initial=0.0))


@pytest.mark.parametrize("shallow", [False, True])
def test_flat_roof_at_top_dead_centre_is_never_fouled(shallow: bool) -> None:
    # design page, section 5: the formulas give no overlap for p = 0 and a flat roof
    for seed in seeds(3, 6):
        lock = plausible(seed, early=False, shallow=shallow, roof="flat")
        metal = in_drive(lock, sampled(data(lock)))
        # the contour's hollow arcs as chords, and the law's face along the flank: slivers
        assert most_overlap(metal, passes(lock, numbers(lock), 0.5)) < 1e-4


@EACH
@pytest.mark.first(1)
def test_gap_is_what_the_bit_sweeps_with_its_clearance(early: bool, shallow: bool) -> None:
    for seed in SEEDS:
        lock = plausible(seed, early=early, shallow=shallow, roof="flat")
        n, t, p = numbers(lock), throw(lock), math.radians(lock.tooth.pickup_angle)
        relief = lock.key.radius + lock.fit.key_clearance
        # a bit longer by the clearance comes in at either seat up to the pick-up
        coming = np.linspace(-math.pi, -p, 180)
        seats = np.repeat([0.0, t], len(coming))
        entry = bits(relief, lock.key.bit_thickness, np.concatenate([coming, -coming]), seats)
        swept = shapely.union_all(np.concatenate([entry, passes(lock, n, 2.0)]))
        body = blank(lock, n)
        cut = body.area - in_drive(lock, sampled(data(lock))).area
        # a flat roof leaves room above the two circles that the bit describes at the seats
        flat = box(-n.flank, n.foot, n.offset, relief).intersection(body)
        spare = flat.difference(disc(lock, 0.0).union(disc(lock, -t)))
        unswept = cut - swept.intersection(body).area - spare.difference(swept).area
        # between pick-up and top dead centre the bit without its clearance turns into the flank:
        # a wedge one clearance high stays, none where the bit meets the flank upright
        wedge = 2 * lock.fit.key_clearance * (relief - n.foot) * math.tan(p)
        assert -5e-3 < unswept < 1.2 * wedge + 5e-3


def test_scribed_roof_stands_only_where_the_sweep_leaves_it_whole() -> None:
    stands = refused = 0
    for seed in seeds(12, 24):
        lock = plausible(seed, roof="scribed")
        n, made = numbers(lock), bolt(Layout(lock))
        metal = blank(lock, n).difference(gap(lock, n, "scribed"))
        cusp = math.sqrt((lock.key.radius + lock.fit.key_clearance) ** 2 - throw(lock) ** 2 / 4)
        over = most_overlap(metal, passes(lock, n, 0.5))
        if made.roof == "scribed":
            assert cusp > lock.bolt_line.height - lock.bolt.depth
            assert over < 2e-3
            stands += 1
        else:
            assert made.roof_problem
            assert cusp <= n.foot or over > 1e-6
            refused += 1
    assert stands >= 8
    assert refused >= 3


@pytest.mark.parametrize(
    "sizes",
    [
        {},
        {
            "key.radius": 6.0, "key.bit_thickness": 0.8, "key.shank": 3.0, "shackle.engagement": 0.5,
            "shackle.gap": 0.3, "bolt_line.height": 8.0, "bolt.depth": 4.0,
        },
    ],
    ids=["as it comes", "a gap of 1.6 mm"],
)  # fmt: skip
def test_every_edge_has_the_name_of_its_side(sizes: dict[str, object]) -> None:
    layout = Layout(changed(Lock(), sizes))
    edges = assembly.workpieces()["bolt"].shape(layout).edges
    for name, segment in edges:
        middle = (segment.start[0] + segment.end[0]) / 2
        if "unlocking" in name or "tail" in name:
            assert middle > 0, name
        if " locking" in name or name == "locking flank" or "nose" in name:
            assert middle < 0, name
    names = [name for name, _ in edges]
    # mirrored, each lobe has what the other has
    turned = [
        name.replace("unlocking", "x").replace("locking", "unlocking").replace("x", "locking")
        for name in names
    ]
    assert {name for name in names if "flank" in name} == {
        name for name in turned if "flank" in name
    }
    assert {"unlocking flank", "locking flank"} <= set(names)


def test_a_made_bolt_is_laid_on_the_wanted_one_by_either_flank() -> None:
    # the edges named so in its own outline, also where they came out off their lines
    lock = with_measured(mark_made(Lock(), "bolt"), "bolt", "as_cut.unlocking_flank", 0.3)
    lock = with_measured(lock, "bolt", "as_cut.locking_flank", -0.2)
    shape = assembly.workpieces()["bolt"].shape(Layout(made_to(lock, "bolt")))
    at = {name: edge.start[0] for name, edge in shape.edges if name.endswith("locking flank")}
    flanks = [at["unlocking flank"], at["locking flank"]]
    # 9.5 of throw and 3 of bit, by hand
    assert flanks == pytest.approx([6.25 + 0.3, -6.25 + 0.2])
    assert shape.references == pytest.approx(flanks)


@pytest.mark.parametrize(("radius", "engagement"), [(20.0, 8.0), (26.0, 12.0), (16.0, 4.0)])
def test_a_cusp_that_would_hang_below_a_shallow_bolt_is_told_with_its_height(
    radius: float, engagement: float
) -> None:
    # by shapely: the cusp is where the reliefs of both seats cross
    lock = Lock()
    for path, value in {
        "tooth.roof": "scribed", "key.radius": radius, "shackle.engagement": engagement,
        "bolt_line.height": radius + 4.0,
    }.items():  # fmt: skip
        lock = lock.with_value(path, value)
    relief = radius + lock.fit.key_clearance
    rings = [Point(x, 0).buffer(relief, quad_segs=4000).boundary for x in (0.0, -throw(lock))]
    cusp = shapely.get_coordinates(rings[0].intersection(rings[1]))[:, 1].max()
    for off, hangs in ((-0.05, True), (0.05, False)):
        layout = Layout(lock.with_value("bolt.depth", radius + 4.0 - cusp + off))
        said = f"its cusp, {layout.show(cusp)} above the pivot, would hang below the flanks"
        assert (bolt(layout).roof_problem == said) is hangs
        if hangs:
            assert bolt(layout).roof == "flat"


@pytest.mark.parametrize("up", [0.4, 0.05])
def test_a_scribed_roof_that_came_out_too_high_is_the_same_roof_so_much_higher(up: float) -> None:
    """By shapely: what is gone besides is all that both discs of the relief, moved up, take out between the flanks."""
    tried = 0
    for seed in seeds(2, 8):
        lock = plausible(seed, roof="scribed")
        if bolt(Layout(lock)).roof != "scribed":
            continue
        own = made_to(with_measured(mark_made(lock, "bolt"), "bolt", "as_cut.roof", up), "bolt")
        n = numbers(lock)
        higher = translate(disc(lock, 0.0).union(disc(lock, -throw(lock))), 0.0, up)
        between = higher.intersection(box(-n.flank, n.foot, n.offset, 100))
        wanted = blank(lock, n).difference(gap(lock, n, "scribed")).difference(between)
        found = in_drive(own, sampled(data(own)))
        assert found.is_valid
        assert found.symmetric_difference(wanted).area < 2e-3
        tried += 1
    assert tried > 0


@pytest.mark.parametrize(
    ("radius", "throw", "bit", "pickup", "capture"),
    [(27.0, 14.1, 9.1, 20.0, 1.0), (20.6, 10.3, 6.9, 11.4, 3.0)],
)
def test_how_deep_the_bit_cuts_into_the_cusp_of_a_scribed_roof(
    radius: float, throw: float, bit: float, pickup: float, capture: float
) -> None:
    # by shapely: the cusp where both reliefs cross, the bit turned past it, the bolt where its course has it
    cut = tooth_from(
        radius=radius, bit=bit, clearance=0.2, throw=throw, pickup_angle=math.radians(pickup),
        bolt_line=radius + 4.0, depth=14.0,
    )  # fmt: skip
    course = Course(cut, Lobe(cut, 6.5), capture)
    rings = [Point(x, 0).buffer(radius + 0.2, quad_segs=2000).boundary for x in (0.0, -throw)]
    cusp = max(shapely.get_coordinates(rings[0].intersection(rings[1])), key=lambda at: at[1])
    shape = Point(0, 0).buffer(radius, quad_segs=2000) & box(-bit / 2, 0, bit / 2, 99)

    def cuts(angle: float) -> float:
        x = float(course.travel(np.array([angle]))[0])
        at = rotate(Point(cusp[0] + x, cusp[1]), angle, origin=(0, 0), use_radians=True)
        return float(shape.boundary.distance(at)) if shape.contains(at) else 0.0

    deepest = max(cuts(float(angle)) for angle in np.arange(-0.3, 0.3, 1e-3))
    deep, worst = scraped(course)
    assert deepest > 0.02
    assert deep == pytest.approx(deepest, abs=2e-3)
    assert cuts(worst) == pytest.approx(deep, abs=2e-4)
