"""Filing to fit: what is told after each measure, held against a contour cut anew from the readings and swept.

The contour is put together by shapely from boxes and discs, the sweep is `tests/config_space.py`, the angle at which
the key lets go is found by halving (`tests/touching.py`); none of them knows the closed form. Sensitivities are those
of the design's check values (computed there by closed form and by a polygon sweep).
"""

import math
import random
from collections import Counter
from collections.abc import Iterable, Mapping
from pathlib import Path

import numpy as np
import pytest
import shapely
from shapely.geometry import Point, box
from shapely.geometry.base import BaseGeometry

from core.errors import BadEntryError, BadFileError
from core.files.project_file import Project, load, save
from core.files.project_reading import read_text
from core.files.project_text import fresh_text
from core.filing.advice import advice, checked_reading
from core.filing.as_filed import MEASURES, NAMES, AsFiled, as_filed, measure_called
from core.filing.plan import edges
from core.filing.strokes_left import LEAST, needed, readings_in, removal, when_done
from core.geometry.polygons import polygon
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.law import STROKES
from core.parts.bolt_contour import bolt
from core.parts.tooth import tooth
from core.sheets.pieces.try_strip import foot_lines, half_tolerance, high, strip_contour
from tests.config_space import Rig, follow, true_bit
from tests.counts import seeds
from tests.designs import plausible, seeded
from tests.sheet_reading import SAMPLES
from tests.touching import let_go
from tui.command import main

WITHIN = 0.02
"""Travel [mm] to which what is told and the contour agree, as was asked for."""
FAR = 1e3


def contour(layout: Layout, state: AsFiled) -> BaseGeometry:
    """Cut the bolt anew: a body, less the gap, less the relief beside each flank, raised by what lifts it."""
    made, line = bolt(layout), tooth(layout).bolt_line
    body = box(made.left, state.lower_edge, made.right, line)
    gap = box(state.locking_flank, -FAR, state.unlocking_flank, state.roof)
    discs = (
        (0.0, state.locking_relief, box(-FAR, -FAR, state.locking_flank, FAR)),
        (-state.throw, state.unlocking_relief, box(state.unlocking_flank, -FAR, FAR, FAR)),
    )
    for x, radius, side in discs:
        body = body.difference(Point(x, 0.0).buffer(radius, quad_segs=256).intersection(side))
    return shapely.transform(body.difference(gap), lambda q: q + np.array([0.0, state.lift]))


def swept(layout: Layout, state: AsFiled, stroke: str) -> float | None:
    """Return the travel [mm] at which the key lets the bolt go, by sweep; None where it cannot turn so far."""
    area, bit = contour(layout, state), true_bit(state.radius, state.bit)
    rig = Rig(area, [bit], state.throw)
    at = let_go(area, bit, state.throw, stroke)
    run = follow(rig, stroke, until=abs(at), at=np.array([at]))  # type: ignore[arg-type]
    if run.blocked is not None:
        return None
    here = float(run.at(np.array([at]))[0])
    return here if stroke == "unlocking" else state.throw - here


def readings_of(layout: Layout, rng: random.Random) -> dict[str, float]:
    """Return readings by chance: much of it full, some finished, some filed too far."""
    found = {}
    for measure in MEASURES:
        finished = measure.finished(layout)
        if rng.random() < 0.7:
            off = rng.choice(
                (rng.uniform(0.0, 0.4), rng.uniform(0.0, 0.15), 0.0, -rng.uniform(0.0, 0.2))
            )
            found[measure.name] = finished + (-off if measure.name == "gap" else off)
    if rng.random() < 0.5:
        del_one = rng.choice(("gap", "unlocking-lobe", "locking-lobe"))
        found.pop(del_one, None)
    return found


def read_anew(
    layout: Layout, readings: Mapping[str, float], name: str, reading: float
) -> dict[str, float]:
    """Return the readings after filing at one measure: what hangs together is measured again, as a maker would."""
    before, new = as_filed(layout, readings), {**readings, name: reading}
    done = removal(layout, before, name, readings[name])
    assert done is not None
    after, line, made = done.after, tooth(layout).bolt_line, bolt(layout)
    for other, value in (
        ("gap", after.unlocking_flank - after.locking_flank),
        ("unlocking-lobe", made.right - after.unlocking_flank),
        ("locking-lobe", after.locking_flank - made.left), ("unlocking-foot", line - after.unlocking_foot),
        ("locking-foot", line - after.locking_foot),
    ):  # fmt: skip
        if other in new and other != name:
            new[other] = value
    return new


def hold_to_the_contour(seeds: Iterable[int]) -> Counter[str]:
    """Follow the advice on random states to its end; every prediction, and every promise, against the sweep."""
    seen: Counter[str] = Counter()
    for seed in seeds:
        layout, rng = Layout(plausible(seed)), seeded(f"filing {seed}")
        readings = readings_of(layout, rng)
        hoped = when_done(layout, as_filed(layout, readings)).driven
        compare(layout, as_filed(layout, readings), seen)
        bounds: set[str] = set()
        for _ in range(40):
            state = as_filed(layout, readings)
            left = [
                found
                for name in NAMES
                if name in readings
                and (found := removal(layout, state, name, readings[name])) is not None
            ]
            if not left:
                break
            step = left[0]
            assert step.amount > 0
            assert (step.reading > readings[step.name]) is (step.name == "gap")  # metal only goes
            assert metal(layout, step.after) <= metal(layout, state) + 1e-9
            readings = read_anew(layout, readings, step.name, step.reading)
            seen[step.name] += 1
            seen[step.bound] += 1
            bounds.add(step.bound)
        else:
            raise AssertionError("the advice never comes to an end")
        # what could be had before the first stroke can be had after the last
        end = as_filed(layout, readings)
        compare(layout, end, seen)
        if "travel" not in bounds and {"radius", "bridge"} & set(readings):
            assert end.room >= end.radius - LEAST
        assert when_done(layout, end).driven >= min(needed(layout), hoped) - 1e-6
        seen["states"] += 1
    return seen


def metal(layout: Layout, state: AsFiled) -> float:
    return float(contour(layout, state).area) + 3 * state.radius + 3 * state.bit


def compare(layout: Layout, state: AsFiled, seen: Counter[str]) -> None:
    for stroke in STROKES:
        told = state.carries(stroke)
        found = (
            swept(layout, state, stroke)
            if told.driven_travel > 0.5 and state.room > state.radius
            else None
        )
        if found is None:
            seen["stuck"] += 1
            continue
        assert told.driven_travel == pytest.approx(found, abs=WITHIN)
        seen["compared"] += 1


@pytest.mark.slow
def test_what_is_told_agrees_with_a_contour_cut_anew() -> None:
    seen = hold_to_the_contour(range(4))
    assert seen["states"] == 4
    assert seen["compared"] >= 12


@pytest.mark.slow
def test_what_is_told_agrees_with_a_contour_cut_anew_over_200_states() -> None:
    seen = hold_to_the_contour(range(200))
    assert seen["states"] == 200
    assert seen["compared"] >= 600
    assert min(seen[name] for name in NAMES) >= 20
    assert min(seen["travel"], seen["key"], seen["plan"]) >= 3


# the order, what it costs, what may stay


def test_what_an_edge_costs_is_as_the_check_values_have_it() -> None:
    # the design's check values for the demo lock: dT/dR 1.88177, dT/dy_f -1.59408
    found = {edge.name: edge for edge in edges(Layout(SAMPLES[0]))}
    assert found["tip of the bit"].costs == pytest.approx(-1.88177, abs=1e-5)
    assert found["guide floors"].costs == pytest.approx(1.59408 / 2, abs=1e-5)
    assert [name for name in found if name in ("roof and relief", "tip of the bit", "both flanks")] == [
        "roof and relief", "tip of the bit", "both flanks",
    ]  # fmt: skip


@pytest.mark.parametrize("shallow", [False, True])
@pytest.mark.parametrize("seed", seeds(1, 3))
@pytest.mark.first(1)
def test_costs_are_the_slope_of_a_contour_cut_anew(seed: int, shallow: bool) -> None:
    layout = Layout(plausible(seed, shallow=shallow))
    whole, by = as_filed(layout, {}), 0.05
    costs = {edge.name: edge.costs for edge in edges(layout)}
    cut = tooth(layout)
    changed = {
        "tip of the bit": as_filed(layout, {"radius": cut.radius - by}),
        "both flanks": whole.with_flank("unlocking", cut.pickup_offset + by),
        "lower edge": whole.with_lower_edge(cut.lower_edge + by) if shallow else None,
        "roof and relief": None
        if shallow
        else whole.with_relief("unlocking", cut.relief_radius + by),
    }
    before = swept(layout, whole, "unlocking")
    for name, state in changed.items():
        if state is not None:
            after = swept(layout, state, "unlocking")
            assert before is not None
            assert after is not None
            assert (after - before) / by == pytest.approx(costs[name], abs=0.06)


# what is told


@pytest.mark.parametrize("name", NAMES)
def test_what_is_finished_is_left_alone_and_what_is_full_is_taken_off(name: str) -> None:
    layout = Layout(
        SAMPLES[0].with_value("filing.relief", 0.1).with_value("filing.lower_edge", 0.1)
    )
    measure = measure_called(name)
    assert (
        "as wanted, leave it" in advice(layout, {name: measure.finished(layout)}, name)
        or "foot" in name
    )
    text = advice(layout, {name: measure.full(layout)}, name)
    assert "take " in text or "foot" in name
    assert "Stop when it measures" in text or "foot" in name
    assert text.count("\n") == 0


@pytest.mark.parametrize("units", ["mm", "in"])
def test_roof_and_feet_are_filed_to_the_plan_for_a_key_as_planned_and_for_a_short_one_to_the_key(
    units: str,
) -> None:
    layout, said = Layout(Lock().with_value("units", units)), "That is not the plan's size"
    planned = layout.lock.key.radius
    for name in ("bridge", "unlocking-foot", "locking-foot"):
        full = measure_called(name).finished(layout) + 0.15
        for radius, plan in ((planned, True), (planned + 0.1, True), (planned - 0.1, False)):
            text = advice(layout, {name: full, "radius": radius, "gap": 12.5}, name)
            assert "take " in text
            assert (said in text) is not plan, (name, radius)


@pytest.mark.parametrize(("radius", "spare"), [(20.05, "0.15 mm"), (20.1, "0.1 mm")])
def test_a_long_key_that_passes_is_told_what_it_has_to_spare(radius: float, spare: str) -> None:
    """By hand: the relief is cut to 20 + 0.2 mm; a bolt with a tail 1 mm too high has no travel to give away."""
    layout = Layout(Lock())
    assert layout.lock.key.radius + layout.lock.fit.key_clearance == pytest.approx(20.2)
    readings = {"radius": radius, "tail-height": layout.lock.bolt.tail_height + 1.0}
    assert f"it passes with {spare} to spare" in advice(layout, readings, "radius")


def test_nobody_is_told_to_take_off_less_than_is_written() -> None:
    # a foot filed lower leaves a long tip less to lose: what is lost by 0.85 is lost by 0.89 to a hair, and a hair is
    # less than half of the hundredth that is written
    layout = Layout(Lock())
    foot = measure_called("unlocking-foot").finished(layout)
    told = []
    for low in (0.85, 0.888):
        read = {"radius": 20.3, "unlocking-foot": foot - low}
        left = removal(layout, as_filed(layout, read), "radius", 20.3)
        told.append(0.0 if left is None else left.amount)
    assert told == [pytest.approx(0.035, abs=0.005), 0.0]


def test_a_foot_takes_full_flanks_for_granted_only_where_none_was_measured() -> None:
    layout, said = Layout(Lock()), "That is for flanks still"
    full = {name: measure_called(name).full(layout) for name in NAMES}
    foot = {"unlocking-foot": full["unlocking-foot"] + 0.3}
    assert said in advice(layout, foot, "unlocking-foot")
    for other in ("gap", "unlocking-lobe", "locking-lobe"):
        assert said not in advice(layout, {**foot, other: full[other]}, "unlocking-foot")
    assert said not in advice(layout, {**foot, "bridge": full["bridge"]}, "bridge")


def test_nothing_is_taken_off_that_cannot_be_put_back() -> None:
    layout = Layout(SAMPLES[0].with_value("detent.kind", "as felt"))
    short = {"radius": 19.3}
    assert "no file puts it back" in advice(layout, short, "radius")
    assert "19.67 mm" in advice(layout, short, "radius")
    # the relief then follows the key that there is
    both = {"radius": 19.8, "bridge": 4.3}
    text = advice(layout, both, "bridge")
    assert "Stop when it measures 4.0 mm" in text
    assert "the key that you have" in text
    deep = {"unlocking-foot": 6.7, "gap": 12.5, "radius": 20.4}
    assert "no file puts it back" in advice(layout, deep, "unlocking-foot")
    # the roof, not the relief that is too wide, says how long the key may be
    assert "Stop when it measures 20.0 mm" in advice(layout, deep, "radius")


def test_a_reading_that_no_part_can_have_is_refused_in_a_sentence() -> None:
    layout = Layout(SAMPLES[0])
    for name, reading in (
        ("gap", 50.0),
        ("radius", 0.0),
        ("bit", -3.0),
        ("colour", 3.0),
        ("gap", math.nan),
    ):
        with pytest.raises(BadEntryError) as refused:
            checked_reading(layout, name, reading)
        assert str(refused.value).count("\n") == 0
    for measure in MEASURES:
        for lock in SAMPLES:
            here = Layout(lock)
            assert checked_reading(here, measure.name, measure.full(here)) > 0
    # of a key of 20: up to half of it and 2 more off, either way
    assert SAMPLES[0].key.radius == 20.0
    for end, beyond in ((8.0, 7.99), (32.0, 32.01)):
        assert checked_reading(layout, "radius", end) == end
        with pytest.raises(BadEntryError, match="cannot measure"):
            checked_reading(layout, "radius", beyond)


def test_readings_are_kept_with_the_lock(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "lock.toml"
    save(Project(None, SAMPLES[0]), path)
    assert main(["measure", str(path)]) == 0
    assert "roof and relief" in capsys.readouterr().out.lower()
    assert main(["measure", str(path), "gap=11.9", "radius=20.2"]) == 0
    out = capsys.readouterr().out
    assert "off each flank" in out
    assert "Stop when it measures 20.0 mm" in out
    assert readings_in(Layout(load(path).lock)) == {"radius": 20.2, "gap": 11.9}
    assert main(["measure", str(path)]) == 0
    assert "WHAT TO DO NEXT" in capsys.readouterr().out
    before = path.read_bytes()
    for wrong in ("gap", "gap=", "gap=500", "hue=3", "radius=0"):
        assert main(["measure", str(path), wrong]) == 2
        assert capsys.readouterr().err.count("\n") == 1
    assert main(["measure", str(path), "--forget", "hue"]) == 2
    assert path.read_bytes() == before
    assert main(["measure", str(path), "--forget", "gap"]) == 0
    assert main(["measure", str(path), "--forget", "all"]) == 0
    assert load(path).lock == SAMPLES[0]


@pytest.mark.parametrize(
    "line",
    [
        "[filed.bolt.measured]\ngap = -1.0",
        "[filed.bolt.measured]\ngap = 'wide'",
        "[filed.bolt]\nmeasured = 3",
    ],
)
def test_a_reading_in_the_file_that_is_none_is_refused_in_a_sentence(line: str) -> None:
    text = fresh_text(Lock()).replace("# end of lock\n", f"{line}\n\n# end of lock\n")
    with pytest.raises(BadFileError, match=r"filed\.bolt\.measured.* is not allowed"):
        read_text(text)


# the strip to try sizes


def strip_cuts(lock: Lock) -> tuple[list[float], list[float]]:
    """Return the widths of the slots and of the tongues of the strip as cut, by shapely from its outline."""
    path = strip_contour(Layout(lock))
    area, top = polygon(path, 1e-3), high(Layout(lock))
    long = area.bounds[2]
    below, above = (shapely.LineString([(-1, top + y), (long + 1, top + y)]) for y in (-1.0, 1.0))
    slots = [
        part.length
        for part in shapely.get_parts(below.difference(area))
        if part.bounds[0] > 0 and part.bounds[2] < long
    ]
    tongues = [part.length for part in shapely.get_parts(above.intersection(area))]
    return slots, tongues


@pytest.mark.parametrize("seed", range(6))
def test_the_strip_lets_pass_what_is_right_and_nothing_else(seed: int) -> None:
    lock = plausible(seed)
    layout, off = Layout(lock), half_tolerance(Layout(lock))
    slots, tongues = strip_cuts(lock)
    for size, (goes, stays) in zip(
        (lock.key.bit_thickness, lock.bolt.nose_height), (slots[:2], slots[2:]), strict=True
    ):
        for made in np.linspace(size - 2 * off, size + 2 * off, 9):
            right = abs(made - size) < off
            if abs(abs(made - size) - off) > 1e-9:
                assert (stays < made < goes) is right
    goes, stays = tongues
    gap = tooth(layout).gap_width
    assert goes < gap < stays
    assert stays - goes == pytest.approx(2 * off)
    low, far = foot_lines(layout)
    assert low < tooth(layout).bolt_line - tooth(layout).flank_foot < far
