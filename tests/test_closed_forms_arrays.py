"""The closed forms of springs, sections, rivets and stacks for many at once: each entry as if it were alone."""

import inspect
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from core.mechanism import circle_segments, rivet_volume, strength
from core.mechanism.flat_spring import FlatSpring
from core.mechanism.tolerance_stack import Link, gap, root_sum_square, uniform_deviation, worst

COUNT = 200
FORMULAS = [
    thing
    for module in (circle_segments, rivet_volume, strength)
    for name, thing in vars(module).items()
    if inspect.isfunction(thing)
    and thing.__module__ == module.__name__
    and not name.startswith("_")
]
RANGES = {"angle": (0.5, 2.5), "grip": (0.5, 3.0), "deep": (0.0, 2.0)}
"""Sizes are drawn from 0.5 to 5 but for these, which go to where a formula ends."""
SOUND = {"angle": 1.0, "deep": 0.5}


def drawn(names: list[str], seed: int) -> dict[str, Any]:
    rng = np.random.default_rng(seed)
    return {name: rng.uniform(*RANGES.get(name, (0.5, 5.0)), COUNT) for name in names}


def alone(formula: Callable[..., float], given: dict[str, float]) -> float:
    """Return what a formula gives for one, NaN where it is refused."""
    try:
        return formula(**given)
    except ValueError:
        return float("nan")


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda formula: formula.__name__)
def test_arrays_are_the_single_ones(formula: Callable[..., Any]) -> None:
    names = [name for name in inspect.signature(formula).parameters if name != "planes"]
    given = drawn(names, 1)
    each = [alone(formula, {name: float(given[name][k]) for name in names}) for k in range(COUNT)]
    assert formula(**given) == pytest.approx(np.array(each), rel=1e-12, nan_ok=True)
    # one array among numbers, and shapes that broadcast
    for name in names:
        sound = {other: SOUND.get(other, 2.0) for other in names}
        row = np.linspace(0.8, 1.0, 5) * sound[name]
        some = [alone(formula, {**sound, name: float(value)}) for value in row]
        found = formula(**{**sound, name: row[:, None]})
        assert found == pytest.approx(np.array(some)[:, None], rel=1e-12, nan_ok=True)


@pytest.mark.parametrize("formula", [rivet_volume.sunk_length, rivet_volume.plug_length])
def test_some_are_sunk_too_deep_among_those_drawn(formula: Callable[..., Any]) -> None:
    found = formula(**drawn(list(inspect.signature(formula).parameters), 1))
    assert 0 < np.isnan(found).sum() < COUNT


@pytest.mark.parametrize("on_two_ends", [False, True])
def test_springs_are_the_single_ones(on_two_ends: bool) -> None:
    sizes = drawn(["width", "thickness", "length", "modulus"], 2)
    many, at = FlatSpring(**sizes, on_two_ends=on_two_ends), drawn(["at"], 3)["at"]
    for k in range(COUNT):
        one = FlatSpring(**{n: float(v[k]) for n, v in sizes.items()}, on_two_ends=on_two_ends)
        for name in ("force", "deflection", "stress", "furthest"):
            single = getattr(one, name)(float(at[k]))
            assert getattr(many, name)(at)[k] == pytest.approx(single, rel=1e-12)


def test_stacks_are_the_single_ones() -> None:
    sizes, off, ways = drawn(["a", "b", "c"], 4), drawn(["a", "b", "c"], 5), (1, -1, -1)
    many = [Link(sizes[n], off[n], way) for n, way in zip("abc", ways, strict=True)]
    for formula in (gap, worst, root_sum_square, uniform_deviation):
        found = formula(many)
        for k in range(COUNT):
            one = [Link(float(link.size[k]), float(link.tolerance[k]), link.way) for link in many]
            assert found[k] == pytest.approx(formula(one), rel=1e-12)
