"""The tooth's numbers against the design page's table, its iteration, and textbook values."""

import json
import math

import pytest

from core.checks import gathered
from core.geometry.path import Arc
from core.layout.layout import Layout
from core.lock.as_cut import AsCut
from core.lock.lock import Lock
from core.mechanism.tooth_numbers import Tooth, tooth_from
from core.parts.cut_sides import cut_sides
from core.parts.tooth import tooth
from core.parts.tooth_limits import PART
from core.report.data import report
from tests.counts import seeds, tries
from tests.designs import fixed_point, numbers, plausible

# the design page's check values, section 4, each held there against a brute-force polygon sweep:
# R, b, c, T, p, y_b, D -> w0, y_f, gap, T_k, delta, theta_e
TABLE = {
    "relief is the foot": (
        (20, 3, 0.2, 12, 0, 24, 14),
        (1.5, 15.0263, 15.0, 11.6989, 0.3011, 36.9943),
    ),
    "small key": (
        (18, 2.5, 0.25, 7.5, 0, 21.5, 9),
        (1.25, 16.0156, 10.0, 6.9658, 0.5342, 23.1753),
    ),
    "cut too shallow": (
        (18, 2.5, 0.25, 7.5, 0, 21.5, 5),
        (1.25, 16.5, 10.0, 5.9437, 1.5563, 19.5744),
    ),
    "early pick-up": (
        (22, 3, 0.3, 16, 15, 26, 12),
        (-3.372, 18.38, 9.256, 15.4623, 0.5377, 29.4274),
    ),
}
ROWS = pytest.mark.parametrize(("given", "wanted"), TABLE.values(), ids=TABLE)
Row = tuple[float, ...]


def made(given: Row) -> Tooth:
    r, b, c, t, p, line, deep = given
    return tooth_from(
        radius=r, bit=b, clearance=c, throw=t, pickup_angle=math.radians(p), bolt_line=line, depth=deep
    )  # fmt: skip


def as_lock(given: Row) -> Lock:
    r, b, c, t, p, line, deep = given
    lock = Lock()
    for path, value in {
        "key.radius": r, "key.bit_thickness": b, "fit.key_clearance": c, "tooth.pickup_angle": p,
        "shackle.engagement": t - 1.0, "shackle.gap": 1.0, "bolt_line.height": line, "bolt.depth": deep,
    }.items():  # fmt: skip
        lock = lock.with_value(path, value)
    return lock


@ROWS
def test_table_of_the_design_page(given: Row, wanted: Row) -> None:
    cut = made(given)
    found = (
        cut.pickup_offset, cut.flank_foot, cut.gap_width, cut.driven_travel, cut.home_travel,
        math.degrees(cut.release_angle),
    )  # fmt: skip
    # the table's own precision: four decimals, three for the offset and gap of the last row
    assert found == pytest.approx(wanted, abs=1e-4)


@ROWS
def test_table_of_the_design_page_through_the_report(given: Row, wanted: Row) -> None:
    # as a script outside the project reads it: through JSON text
    said = json.loads(json.dumps(report(Layout(as_lock(given)))))["tooth"]
    names = (
        "pickup_offset",
        "flank_foot",
        "gap_width",
        "driven_travel",
        "home_travel",
        "release_angle",
    )
    assert [said[name] for name in names] == pytest.approx(list(wanted), abs=1e-4)
    r, _, c, t, p, line, deep = given
    assert said["throw"] == pytest.approx(t, abs=1e-12)
    assert said["relief_radius"] == pytest.approx(r + c, abs=1e-12)
    assert said["bridge"] == pytest.approx(line - r - c, abs=1e-12)
    assert said["lower_edge"] == pytest.approx(line - deep, abs=1e-12)
    assert said["pickup_angle"] == pytest.approx(p, abs=1e-12)


@ROWS
def test_table_to_nine_decimals_by_the_pages_iteration(given: Row, wanted: Row) -> None:
    r, b, c, t, p, line, deep = given
    by_hand = fixed_point(r, b, c, t, math.radians(p), line - deep)
    cut = made(given)
    assert cut.pickup_offset == pytest.approx(by_hand.offset, abs=1e-9)
    assert cut.flank_foot == pytest.approx(by_hand.foot, abs=1e-9)
    assert cut.driven_travel == pytest.approx(by_hand.driven, abs=1e-9)
    assert cut.release_angle == pytest.approx(by_hand.release, abs=1e-9)
    assert cut.gap_width == pytest.approx(t + 2 * by_hand.offset, abs=1e-9)


def test_random_teeth_by_the_pages_iteration() -> None:
    early = shallow = 0
    for seed in seeds(40, 120):
        lock = plausible(seed)
        by_hand, cut = numbers(lock), tooth(Layout(lock))
        assert cut.fits
        assert cut.drives
        assert cut.pickup_offset == pytest.approx(by_hand.offset, abs=1e-9)
        assert cut.flank_foot == pytest.approx(by_hand.foot, abs=1e-9)
        assert cut.relief_foot == pytest.approx(by_hand.on_relief, abs=1e-9)
        assert cut.flank == pytest.approx(by_hand.flank, abs=1e-9)
        assert cut.driven_travel == pytest.approx(by_hand.driven, abs=1e-9)
        assert cut.release_angle == pytest.approx(by_hand.release, abs=1e-9)
        early += cut.pickup_angle > 0
        shallow += by_hand.foot > by_hand.on_relief + 1e-9
    assert early > tries(12, 40)
    assert shallow > tries(5, 25)


def test_clearance_costs_what_the_closed_form_says() -> None:
    # design page, section 4: with the foot at the relief circle, T_k = sqrt(a^2 - 2 R c - c^2) - w0
    tried = 0
    for seed in seeds(20, 60):
        cut = tooth(Layout(plausible(seed, shallow=False)))
        a, r, c = cut.flank, cut.radius, cut.clearance
        assert cut.driven_travel == pytest.approx(
            math.sqrt(a * a - 2 * r * c - c * c) - cut.pickup_offset, abs=1e-9
        )
        tried += 1
    assert tried == tries(20, 60)


def test_no_clearance_drives_the_whole_throw() -> None:
    for seed in seeds(7, 20):
        cut = tooth(Layout(plausible(seed, shallow=False, clearance=0.0)))
        assert cut.home_travel == pytest.approx(0.0, abs=1e-9)


# "segments of circles", Machinery's Handbook, for radius 1 (memory): angle -> height, chord
SEGMENTS = {60: (0.1340, 1.0000), 90: (0.2929, 1.4142), 120: (0.5000, 1.7321)}


@pytest.mark.parametrize("angle", SEGMENTS)
def test_half_the_chord_at_the_foot(angle: int) -> None:
    height, chord = SEGMENTS[angle]
    # a key of radius 100 whose flank's foot lies the segment's height below its circle: the travel
    # and the offset together are half the segment's chord; a throw 2 mm longer than that keeps the
    # lower edge the foot
    cut = made((100, 4, 0, 50 * chord + 2, 0, 120, 20 + 100 * height))
    assert cut.flank_foot == pytest.approx(100 - 100 * height, abs=1e-9)
    assert cut.driven_travel + cut.pickup_offset == pytest.approx(50 * chord, abs=0.01)


def test_rigid_body_example() -> None:
    # reference values: a bar of length 20 and thickness 3 against a face at x = 1.7 from y = 14.844 up
    # travels sqrt(400 - 14.844^2) - 1.7 = 11.70357; a rigid-body engine (pymunk) gave 11.7037
    cut = made((20, 3, 0, 30, 0, 24, 24 - 14.844))
    assert not cut.fits  # such a face is no tooth; the half chord is the same
    assert math.sqrt(cut.radius**2 - cut.flank_foot**2) - 1.7 == pytest.approx(11.70357, abs=1e-5)


def test_no_tooth_where_the_flank_is_outside_the_relief() -> None:
    # design page, section 3: there is no tooth when a >= Rc
    just = math.sqrt(20.2**2 - 0.01**2) - 1.5
    assert made((20, 3, 0.2, just, 0, 24, 23)).fits
    over = made((20, 3, 0.2, 18.7 + 1e-6, 0, 24, 23))
    assert not over.fits
    assert not over.drives
    assert over.driven_travel == 0
    assert over.home_travel == over.throw


def test_nothing_is_driven_where_the_foot_is_above_the_key() -> None:
    cut = made((18, 2.5, 0.25, 7.5, 0, 21.5, 3.4))
    assert cut.lower_edge > 18
    assert cut.driven_travel == 0
    codes = {
        f["code"] for f in report(Layout(as_lock((18, 2.5, 0.25, 7.5, 0, 21.5, 3.4))))["findings"]
    }
    assert "no-drive" in codes


@pytest.mark.parametrize(
    ("off", "flank", "foot"),
    [
        # right triangles under a relief of 20 + 0.2 mm, its flank 12 + 1.5 mm out
        (AsCut(), 13.5, math.sqrt(20.2**2 - 13.5**2)),
        (AsCut(unlocking_flank=1.0), 14.5, math.sqrt(20.2**2 - 14.5**2)),
        (AsCut(unlocking_relief=1.0), 13.5, math.sqrt(21.2**2 - 13.5**2)),
    ],
    ids=["as planned", "flank a millimetre out", "relief a millimetre deep"],
)
def test_a_side_cut_off_its_lines_meets_its_own_relief(
    off: AsCut, flank: float, foot: float
) -> None:
    cut = made(TABLE["relief is the foot"][0])
    sides = cut_sides(cut, 6.0, 0.0, off)
    assert sides["unlocking"].flank == pytest.approx(flank)
    assert sides["unlocking"].top == pytest.approx(foot)
    assert sides["locking"].top == pytest.approx(math.sqrt(20.2**2 - 13.5**2))


def test_a_rounded_foot_runs_from_the_flank_into_the_level_edge() -> None:
    """By hand: a quarter circle of 0.5 mm, the flank 7.5 + 1.25 mm out and the lower edge 21.5 - 5 mm up."""
    cut = made(TABLE["cut too shallow"][0])
    side = cut_sides(cut, 6.0, 0.0, AsCut(unlocking_foot=0.5))["unlocking"]
    arc, *_ = side.outwards()
    assert isinstance(arc, Arc)
    assert arc.start == pytest.approx((8.75, 17.0))
    assert arc.end == pytest.approx((9.25, 16.5))


def test_flanks_that_cross_are_told_by_how_much_they_lack_to_none() -> None:
    """A gap of less than nothing is held against nothing, and the text tells the same length."""
    lock = Lock().with_value("tooth.pickup_angle", 30.0)
    (found,) = [f for f in gathered.findings(Layout(lock)) if f.code == "no-tooth"]
    gap = 2 * numbers(lock).flank - (lock.shackle.engagement + lock.shackle.gap)
    assert gap < 0
    assert (found.value, found.limit) == pytest.approx((gap, 0.0), abs=1e-6)
    assert f"would cross, by {-gap:.2f} mm" in found.text


@pytest.mark.parametrize("pickup", [0.0, 6.0, 12.0, 25.0])
@pytest.mark.parametrize("seed", [0, 1, 3])
def test_every_end_of_the_key_radius_is_where_its_finding_begins(seed: int, pickup: float) -> None:
    # each of them, also where another end is tighter; a third of them cut too shallow for the relief to be the foot
    lock = plausible(seed).with_value("tooth.pickup_angle", pickup)
    lock = lock.with_value("bolt.depth", lock.bolt.depth / (1 if seed else 3))

    def found(radius: float) -> set[str]:
        return {f.code for f in PART.findings(Layout(lock.with_value("key.radius", radius)))}

    held = 0
    for bound in PART.bounds(Layout(lock)):
        if bound.path == "key.radius" and bound.value > 0:
            beyond = 1e-4 if bound.end == "high" else -1e-4
            out, within = found(bound.value + beyond), found(bound.value - beyond)
            assert bound.code.name in out or out & {"no-tooth", "no-drive"}, bound
            assert bound.code.name not in within, bound
            held += 1
    assert held >= 2
    # and none is missing: what a larger key brings, some end is there for
    larger = [lock.key.radius + 0.25 * step for step in range(25)]
    late = [radius for radius in larger if "home-travel" in found(radius)]
    told = {bound.code.name for bound in PART.bounds(Layout(lock)) if bound.end == "high"}
    assert not late or late[0] == larger[0] or "home-travel" in told


def test_the_greatest_key_radius_that_leaves_a_gap_does_leave_one() -> None:
    met = 0
    for seed in range(12):
        lock = plausible(seed, early=True)
        for bound in PART.bounds(Layout(lock)):
            if (bound.path, bound.end, bound.code.name) != ("key.radius", "high", "no-tooth"):
                continue
            met += 1
            # a nanometre is kept, so that floats do not decide
            for by, fits in ((0.0, True), (1e-6, False)):
                cut = tooth(Layout(lock.with_value("key.radius", bound.value + by)))
                assert cut.fits is fits, (seed, cut.gap_width)
                assert (cut.gap_width > 0) is fits
    assert met >= 10
