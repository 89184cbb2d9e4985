"""The verdicts on made parts against polygon difference and Hausdorff distance by shapely."""

import random
from dataclasses import replace

import pytest
import shapely
from shapely.geometry import Point

from core.checks import gathered
from core.errors import BadValueError
from core.geometry.motion import shift
from core.geometry.path import circle, polyline
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.part import Part
from core.layout.workpiece import Cut, Feature, Shape, Workpiece
from core.lock.facts import with_measured
from core.lock.lock import Lock, expanded, spec_of, specs
from core.lock.made import Made
from core.made.fitting import Fitting, fit, solid
from core.made.marking import mark_made
from core.made.verdicts import Verdict, by_shape
from core.report.data import report
from core.whole import assembly
from tests import benchwork
from tests.counts import seeds
from tests.designs import plausible

NEAR = 2e-3
"""How far [mm] chords of 1e-4 mm and edges thinned by 2e-4 mm may put a depth off."""


def all_made(lock: Lock) -> Lock:
    for part in assembly.workpieces():
        lock = mark_made(lock, part)
    return lock


def verdict_of(lock: Lock, part: str) -> Verdict:
    """Return the verdict by shape alone; whether a part works as it is, is asked in `test_working.py`."""
    return next(v for v in by_shape(Layout(lock)) if v.part == part)


def findings(lock: Lock) -> list[Finding]:
    return [f for f in gathered.findings(Layout(lock)) if f.code.startswith("made")]


def drawn(seed: int, **wanted: object) -> tuple[Lock, str, float]:
    """Return a lock with a dimension of it and another value for that, a little off."""
    lock = plausible(seed, roof="flat", **wanted)
    rng = random.Random(1000 + seed)  # noqa: S311 - nothing secret is made here
    paths = sorted({p for w in assembly.workpieces().values() for p in w.shaped_by if p in specs()})
    while True:
        path = rng.choice(paths)
        spec = spec_of(path)
        if spec.kind.name not in ("length", "position", "across") or path.startswith("plate."):
            continue
        value = lock.value(path) + rng.choice((-1, 1)) * rng.choice((0.06, 0.3, 0.8))
        if spec.low <= value <= spec.high:
            return lock, path, value


def flat_change(fitting: Fitting) -> bool:
    """Say whether nothing but the flat shape decides: a size beside it has no polygon."""
    sizes = ("thickness", "rim", "slot", "front to back")
    return not any(
        p.where.endswith(s) or s in p.where
        for p in (*fitting.spare, *fitting.missing)
        for s in sizes
    )


@pytest.mark.parametrize("seed", seeds(6, 20))
def test_verdicts_are_the_polygons_differences(seed: int) -> None:
    lock, path, value = drawn(seed, outline="round")
    new = all_made(lock).with_value(path, value)
    tolerance = lock.fit.made_tolerance
    for part, shape in benchwork.SHAPES.items():
        fitting = verdict_of(new, part).fitting
        if not flat_change(fitting):
            continue
        made, wanted = benchwork.moved(shape(lock), fitting.shift), shape(new)
        spare, missing = made.difference(wanted), wanted.difference(made)
        if path not in ("bolt.thickness",):
            assert fitting.spare_area == pytest.approx(spare.area, abs=0.03)
            assert fitting.missing_area == pytest.approx(missing.area, abs=0.03)
        depths = benchwork.depth(made, wanted), benchwork.depth(wanted, made)
        if part not in ("front_guide", "rear_guide", "shackle"):  # their slots have sizes as well
            assert fitting.deepest_spare == pytest.approx(depths[0], abs=NEAR)
            assert fitting.deepest_missing == pytest.approx(depths[1], abs=NEAR)
        assert sum(p.area for p in fitting.spare) <= fitting.spare_area + 1e-9
        if abs(depths[0] - tolerance) > NEAR and abs(depths[1] - tolerance) > NEAR:
            word = (
                "remake" if depths[1] > tolerance else "file" if depths[0] > tolerance else "good"
            )
            if path != "bolt.thickness":
                assert fitting.word == word, (part, path, depths)


@pytest.mark.parametrize("seed", seeds(3, 6))
@pytest.mark.first(1)
def test_the_deepest_of_both_is_the_hausdorff_distance(seed: int) -> None:
    """shapely's own Hausdorff distance of the two outlines, point by point."""
    rng = random.Random(seed)  # noqa: S311 - nothing secret is made here
    by = rng.choice((-1, 1)) * rng.uniform(0.15, 0.6)
    lock = plausible(seed, roof="flat", outline="rectangle")
    for part, path in (
        ("front_plate", "plate.height"), ("front_plate", "pivot.hole"), ("key", "key.radius"),
        ("bolt", "bolt.lobe_width"), ("bolt", "key.radius"), ("bolt", "bolt_line.height"),
    ):  # fmt: skip
        new = all_made(lock).with_value(path, lock.value(path) + by)
        fitting, shape = verdict_of(new, part).fitting, benchwork.SHAPES[part]
        made, wanted = benchwork.moved(shape(lock), fitting.shift), shape(new)
        thinned = (area.simplify(1e-4).boundary for area in (made, wanted))
        outlines = [shapely.segmentize(outline, 0.5) for outline in thinned]
        distance = shapely.hausdorff_distance(*outlines)
        deepest = max(fitting.deepest_spare, fitting.deepest_missing)
        if part == "bolt":
            # an outline that turns a sharp corner is farther from the other outline than its metal is
            assert distance / 2 <= deepest <= distance + NEAR
        else:
            assert deepest == pytest.approx(distance, abs=NEAR)


def test_a_bolt_may_lie_on_either_flank() -> None:
    """A throw that is longer by 0.2 mm, and a nose and tail with metal to spare for it on one side only."""
    lock = plausible(3, roof="flat", early=False, shallow=False)
    longer = lock.with_value("shackle.gap", lock.shackle.gap + 0.3)
    made = mark_made(lock, "bolt")
    fitting = verdict_of(made.with_value("shackle.gap", lock.shackle.gap + 0.3), "bolt").fitting
    areas = (benchwork.bolt(lock), benchwork.bolt(longer))
    # laid by the middle of the gap, the missing is deeper than laid by the better flank
    by_flank = [
        benchwork.depth(areas[1], benchwork.moved(areas[0], shift)) for shift in (-0.15, 0.0, 0.15)
    ]
    assert fitting.deepest_missing == pytest.approx(min(by_flank), abs=NEAR)


def test_a_hole_that_is_filled_by_more_than_half_is_deepest_in_its_middle() -> None:
    lock = Lock()
    new = mark_made(lock, "front_plate").with_value("pivot.below", lock.pivot.below + 4.5)
    fitting = verdict_of(new, "front_plate").fitting
    halved = benchwork.depth(benchwork.plate(new), benchwork.plate(lock))
    assert halved == pytest.approx(lock.pivot.hole / 2, abs=NEAR)
    assert fitting.deepest_missing == pytest.approx(halved, abs=NEAR)


def test_a_hole_that_moves_lacks_metal_on_one_side_and_has_it_on_the_other() -> None:
    new = all_made(Lock()).with_value("pivot.below", 54.4)
    for part in ("back_plate", "front_plate"):
        verdict = verdict_of(new, part)
        fitting = verdict.fitting
        assert (verdict.word, fitting.word) == ("plug", "remake")
        assert verdict.strays[0].far == pytest.approx(0.4)
        assert {p.where for p in (*fitting.spare, *fitting.missing)} == {"pivot hole"}
        assert fitting.deepest_missing == pytest.approx(0.4, abs=NEAR)
        # two circles of radius 3 whose centres are 0.4 apart: lens 2 r2 acos(d/2r) - d/2 sqrt(4r2 - d2)
        lune = 2.3983
        assert fitting.missing_area == pytest.approx(lune, abs=2e-3)
        assert fitting.spare_area == pytest.approx(lune, abs=2e-3)


def test_a_hole_in_the_middle_of_metal_is_as_deep_as_it_is_wide() -> None:
    lock = Lock().with_value("pivot.hole", 0.02)
    fitting = verdict_of(
        mark_made(lock, "front_plate").with_value("pivot.hole", 6.0), "front_plate"
    ).fitting
    assert fitting.word == "file"
    assert fitting.deepest_spare == pytest.approx(3 - 0.01, abs=NEAR)


def test_sizes_beside_the_flat_shape_are_seen() -> None:
    made = all_made(Lock())
    thinner = verdict_of(made.with_value("bolt.thickness", 2.7), "bolt").fitting
    assert (thinner.word, thinner.spare[0].where) == ("file", "thickness")
    assert thinner.spare[0].depth == pytest.approx(0.3)
    assert verdict_of(made.with_value("bolt.thickness", 3.3), "bolt").word == "remake"
    # a thicker bolt wants deeper slots: those are filed open
    wider = made.with_value("bolt.thickness", 3.3)
    assert [verdict_of(wider, p).word for p in ("front_guide", "rear_guide", "shackle")] == [
        "file"
    ] * 3
    assert verdict_of(made.with_value("plate.rim", 4.5), "back_plate").word == "remake"
    assert verdict_of(made.with_value("plate.rim", 4.5), "front_plate").word == "good"


def test_what_only_moves_stays_good_and_says_where_to() -> None:
    new = (
        all_made(Lock())
        .with_value("bolt_line.height", 24.4)
        .with_value("rear_guide.from_centreline", 20.7)
    )
    guide = verdict_of(new, "rear_guide")
    assert guide.word == "good"
    assert guide.moved is not None
    assert (guide.moved.across, guide.moved.up) == pytest.approx((0.7, 0.4))
    plate = verdict_of(new, "back_plate")
    assert plate.word == "good"
    assert any(
        mark.name.startswith("bolt line") and mark.up == pytest.approx(0.4) for mark in plate.scribe
    )


def test_the_bolt_of_the_other_hand_is_the_same_bolt_turned_over() -> None:
    left = Lock().with_value("unlocks", "left").with_value("shackle.across", 26.5)
    made = mark_made(Lock(), "bolt")
    turned = replace(left, made=made.made)
    assert verdict_of(turned, "bolt").word == "good"
    assert verdict_of(turned, "bolt").fitting.deepest_missing < 1e-6


@pytest.mark.parametrize("seed", seeds(5, 16))
def test_nothing_else_shapes_a_workpiece_than_it_says(seed: int) -> None:
    """Every other dimension is drawn anew: the made parts must not notice."""
    lock = all_made(plausible(seed))
    other = plausible(seed + 500)
    for part, workpiece in assembly.workpieces().items():
        mixed = other
        for path in expanded(lock, workpiece.paths):
            mixed = mixed.with_value(path, lock.value(path))
        shapes = [workpiece.shape(Layout(each)) for each in (replace(lock, made=()), mixed)]
        assert shapes[0] == shapes[1], part


def test_tolerance_is_the_makers() -> None:
    made = mark_made(Lock(), "key").with_value("key.radius", 19.7)
    assert verdict_of(made, "key").word == "file"
    assert verdict_of(made.with_value("fit.made_tolerance", 0.5), "key").word == "good"


def test_checks_use_what_was_measured() -> None:
    lock = with_measured(mark_made(Lock(), "key"), "key", "key.radius", 21.0)
    layout = Layout(lock)
    assert (layout.plan.key.radius, layout.lock.key.radius) == (20.0, 21.0)
    as_planned = gathered.findings(Layout(Lock().with_value("key.radius", 21.0)))
    mine = [f for f in gathered.findings(layout) if not f.code.startswith("made")]
    assert mine == list(as_planned)
    assert [f.code for f in findings(lock)] == ["made-use-key", "made-measured"]
    assert report(layout)["tooth"]["relief_radius"] == pytest.approx(21.2)


def test_the_part_it_is_named_after_goes_first_and_a_difference_is_told() -> None:
    lock = mark_made(mark_made(Lock(), "key"), "bolt")
    lock = with_measured(with_measured(lock, "bolt", "key.radius", 19.0), "key", "key.radius", 20.5)
    assert Layout(lock).lock.key.radius == 20.5
    assert {f.code for f in findings(lock)} >= {"made-differ", "made-measured"}
    plates = mark_made(mark_made(Lock(), "front_plate"), "back_plate")
    plates = with_measured(plates, "front_plate", "pivot.below", 54.2)
    plates = with_measured(plates, "back_plate", "pivot.below", 54.4)
    assert Layout(plates).lock.pivot.below == 54.4
    assert any("54.2" in f.text for f in findings(plates) if f.code == "made-differ")


def test_findings_and_report_name_what_to_file_and_to_remake() -> None:
    lock = all_made(Lock()).with_value("key.radius", 20.5)
    codes = {f.code: f for f in findings(lock)}
    # key and bolt are made for each other, whatever key is wished for now; the gauge is not
    assert codes["made-use-key"].level == codes["made-use-bolt"].level == "note"
    assert codes["made-remake-key-gauge"].level == "look"
    made = {entry["part"]: entry for entry in report(Layout(lock))["made"]}
    assert made["bolt"]["verdict"] == "use"
    assert made["bolt"]["file"][0]["where"] == "roof of the gap"
    assert report(Layout(Lock()))["made"] == []


def test_an_unknown_part_is_a_note_and_an_unmade_one_a_refusal() -> None:
    lock = mark_made(Lock(), "key")
    strange = replace(lock, made=(Made("gear"), *lock.made))
    assert [f.code for f in findings(strange)] == ["made-unknown"]
    with pytest.raises(KeyError):
        with_measured(lock, "bolt", "bolt.depth", 9.0)
    with pytest.raises(BadValueError):
        with_measured(lock, "key", "key.radius", -1)
    with pytest.raises(KeyError):
        mark_made(lock, "gear")


def test_what_another_part_cuts_into_a_workpiece_belongs_to_it() -> None:
    """A hole of 4 mm for a post, by its diameter and place: filed out when it grows, remade when it moves."""

    def cuts(layout: Layout) -> list[Cut]:
        return [Cut("post hole", circle((20.0, -20.0), layout.lock.bolt.thickness / 2))]

    plain = assembly.workpieces()["front_plate"]
    post = Feature("front plate", ("bolt.thickness",), cuts)
    holed = plain.with_features([post, Feature("key", ("key.shank",), cuts)])
    assert holed.shaped_by == (*plain.shaped_by, "bolt.thickness")
    assert plain.with_features([]) is plain
    small, large = (holed.shape(Layout(Lock().with_value("bolt.thickness", d))) for d in (4.0, 5.0))
    fitting = fit(solid(small), solid(large), 0.1)
    assert (fitting.word, fitting.spare[0].where) == ("file", "post hole")
    assert fitting.spare[0].depth == pytest.approx(0.5, abs=NEAR)
    ring = (
        Point(20, -20)
        .buffer(2.5, quad_segs=360)
        .difference(Point(20, -20).buffer(2.0, quad_segs=360))
    )
    assert fitting.spare_area == pytest.approx(ring.area, abs=0.01)
    assert fit(solid(large), solid(small), 0.1).word == "remake"


def test_a_part_brings_its_own_workpiece(monkeypatch: pytest.MonkeyPatch) -> None:
    washer = Workpiece(
        "washer",
        70,
        ("key.shank",),
        lambda layout: Shape(circle((0.0, 0.0), layout.lock.key.shank)),
    )
    parts = (*assembly.all_parts(), Part("washers", 200, workpieces=(washer,)))
    monkeypatch.setattr(assembly, "all_parts", lambda: parts)
    assembly.workpieces.cache_clear()
    try:
        lock = mark_made(Lock(), "washer").with_value("key.shank", 5.5)
        verdict = verdict_of(lock, "washer")
        assert verdict.word == "file"
        assert verdict.fitting.spare[0].depth == pytest.approx(0.5, abs=NEAR)
    finally:
        assembly.workpieces.cache_clear()


def test_a_workpiece_is_not_shifted_where_that_gains_nothing() -> None:
    # by hand: half a mm too far left, or by its edge half a mm too far right; as much is missing and to file either way
    bar = polyline([(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (0.0, 4.0)], closed=True)
    wanted = shift(0.5, 0.0).path(bar)
    made, plan = (solid(Shape(path, references=(at,))) for path, at in ((bar, 0.0), (wanted, 1.0)))
    found = fit(made, plan, 0.1)
    assert found.shift == 0.0
    assert (found.deepest_missing, found.deepest_spare) == pytest.approx((0.5, 0.5), abs=1e-6)
    # where it gains, it is
    gained = fit(made, solid(Shape(wanted, references=(0.5,))), 0.1)
    assert (gained.word, gained.shift) == ("good", 0.5)
