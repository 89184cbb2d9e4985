"""Filing to fit: what is told after each measure, held against a contour cut anew from the readings and swept.

The contour is put together by shapely from boxes and discs, the sweep is `tests/config_space.py`, the angle at which
the key lets go is found by halving (`tests/touching.py`); none of them knows the closed form. Sensitivities are those
of the design's check values (computed there by closed form and by a polygon sweep).
"""

import random
from collections import Counter
from collections.abc import Iterable, Mapping

import numpy as np
import pytest
import shapely
from shapely.geometry import Point, box
from shapely.geometry.base import BaseGeometry

from core.filing.as_filed import MEASURES, NAMES, AsFiled, as_filed
from core.filing.plan import edges
from core.filing.strokes_left import LEAST, needed, removal, when_done
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
