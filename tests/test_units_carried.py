"""Units carried through the formulas of core.mechanism: a force added to a length fails.

Two ways, since the code is written for floats. *Carried*: the closed forms get quantities of `pint` in place of
floats, with the functions of `math` and of numpy that they use taught to pass units on. *Scaled*: where arrays and
polygons are at work, all lengths are made k times as large and all forces f times, and every outcome has to follow
with its own power of k and f. Both are tried on formulas spoilt on purpose, which they have to see.
"""

import dataclasses
import importlib
import inspect
import math
import pkgutil
import random
import types
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pint
import pytest
import shapely

import core.mechanism
from core.mechanism import contact, law, statics, sweep, tooth_numbers

UNITS = pint.UnitRegistry()
MM, N, MPA, DEGREES = UNITS.mm, UNITS.N, UNITS.MPa, 1.0
LENGTH, AREA, VOLUME = "[length]", "[length] ** 2", "[length] ** 3"
FORCE, STRESS, RATE = "[force]", "[pressure]", "[force] / [length]"
NUMBER = "[]"


class Carrying(types.ModuleType):
    """The module `math` for quantities: roots of them, and angles out of their ratios, or an error of `pint`."""

    def __init__(self) -> None:
        super().__init__("math")

    def __getattr__(self, name: str) -> Any:
        function = getattr(math, name)
        if not callable(function):
            return function

        def plain(*values: Any) -> Any:
            """Work on plain numbers; a quantity with a unit is refused."""
            return function(*(_number(value) for value in values))

        return plain

    @staticmethod
    def sqrt(value: Any) -> Any:
        return value**0.5

    @staticmethod
    def hypot(one: Any, other: Any) -> Any:
        return (one * one + other * other) ** 0.5


def _number(value: Any) -> float:
    return value.to("").magnitude if isinstance(value, UNITS.Quantity) else value


class CarryingArrays(types.ModuleType):
    """The module `numpy`, but for arrays that are filled piece by piece: they begin as nothing, in mm."""

    def __init__(self) -> None:
        super().__init__("numpy")

    def __getattr__(self, name: str) -> Any:
        return getattr(np, name)

    @staticmethod
    def zeros(shape: Any) -> Any:
        return np.zeros(shape) * MM

    @staticmethod
    def asarray(value: Any) -> Any:
        return value


@dataclasses.dataclass(frozen=True)
class Case:
    """A formula, what it is given, and the dimension of what it has to give; `of` makes the object that has it."""

    name: str
    given: dict[str, Any]
    gives: str
    of: tuple[str, dict[str, Any]] | None = None

    def run(self, module: types.ModuleType, *, bare: bool) -> Any:
        """Return the outcome, with units or, `bare`, for the same numbers in mm, N and MPa."""
        holder: Any = module
        if self.of:
            made, values = self.of
            holder = getattr(module, made)(**_taken(values, module, bare=bare))
        found = getattr(holder, self.name)
        return found(**_taken(self.given, module, bare=bare)) if callable(found) else found


def _taken(values: dict[str, Any], module: types.ModuleType, *, bare: bool) -> dict[str, Any]:
    def one(value: Any) -> Any:
        if callable(value):
            return value(module, bare)
        if isinstance(value, list):
            return [one(each) for each in value]
        return value.magnitude if bare and isinstance(value, UNITS.Quantity) else value

    return {name: one(value) for name, value in values.items()}


def link(size: float, tolerance: float, way: int) -> Callable[[types.ModuleType, bool], Any]:
    """Return what makes a link of a stack, of the module that is tried, with units or bare."""

    def made(module: types.ModuleType, bare: bool) -> Any:
        unit = 1.0 if bare else MM
        return module.Link(size * unit, tolerance * unit, way)

    return made


SPRING = (
    "FlatSpring",
    {"width": 6.0 * MM, "thickness": 0.5 * MM, "length": 30.0 * MM, "modulus": 205e3 * MPA},
)
ACROSS = (SPRING[0], {**SPRING[1], "on_two_ends": True})
LINKS = [link(10.0, 0.1, 1), link(3.0, 0.05, -1), link(6.5, 0.05, -1)]
GIVEN = {
    "radius": 22.0 * MM, "bit": 3.0 * MM, "clearance": 0.3 * MM, "throw": 16.0 * MM, "pickup_angle": math.radians(15),
    "bolt_line": 26.0 * MM, "depth": 12.0 * MM,
}  # fmt: skip
TOOTH = ("tooth_from", GIVEN)
SHALLOW = ("tooth_from", {**GIVEN, "pickup_angle": 0.0, "depth": 5.0 * MM})
TOOTH_GIVES = {
    "relief_radius": LENGTH, "flank": LENGTH, "gap_width": LENGTH, "bridge": LENGTH, "half_angle": NUMBER,
    "driven_travel": LENGTH, "home_travel": LENGTH, "release_angle": NUMBER, "pickup_offset": LENGTH,
    "relief_foot": LENGTH, "flank_foot": LENGTH, "lower_edge": LENGTH,
}  # fmt: skip

CASES: dict[str, list[Case]] = {
    "strength": [
        Case("torsion_stress", {"torque": 2000.0 * N * MM, "diameter": 5.0 * MM}, STRESS),
        Case("shear_stress", {"force": 500.0 * N, "area": 7.0 * MM**2, "planes": 2}, STRESS),
        Case("shear_force", {"yield_stress": 140.0 * MPA, "area": 18.0 * MM**2}, FORCE),
        Case("round_area", {"diameter": 3.0 * MM}, AREA),
        Case("second_moment", {"width": 6.0 * MM, "thickness": 0.5 * MM}, "[length] ** 4"),
        Case("bending_stress", {"moment": 90.0 * N * MM, "width": 6.0 * MM, "thickness": 0.5 * MM}, STRESS),
        Case("bending_force", {"yield_stress": 140 * MPA, "arm": 4 * MM, "width": 3 * MM, "thickness": 6 * MM}, FORCE),
        Case("cantilever_rate", {"second_moment": 0.06 * MM**4, "length": 30.0 * MM, "modulus": 205e3 * MPA}, RATE),
        Case("rate_on_two_ends", {"second_moment": 0.06 * MM**4, "span": 30.0 * MM, "modulus": 205e3 * MPA}, RATE),
    ],
    "flat_spring": [
        case
        for spring in (SPRING, ACROSS)
        for case in (
            Case("rate", {}, RATE, spring),
            Case("force", {"deflection": 2.0 * MM}, FORCE, spring),
            Case("deflection", {"force": 3.0 * N}, LENGTH, spring),
            Case("stress", {"deflection": 2.0 * MM}, STRESS, spring),
        )
    ],
    "segments": [
        Case("chord", {"radius": 60.0 * MM, "height": 8.0 * MM}, LENGTH),
        Case("radius_of", {"chord": 16.0 * MM, "height": 6.0 * MM}, LENGTH),
        Case("segment_area", {"radius": 3.5 * MM, "height": 2.8 * MM}, AREA),
        Case("eye_area", {"radius": 3.5 * MM, "width": 3.2 * MM}, AREA),
        Case("notch_area", {"radius": 3.5 * MM, "depth": 2.8 * MM}, AREA),
        Case("eye_lip_area", {"radius": 3.5 * MM, "width": 3.2 * MM, "lip": 3.9 * MM}, AREA),
        Case("notch_lip_area", {"radius": 3.5 * MM, "depth": 2.8 * MM, "lip": 3.9 * MM}, AREA),
    ],
    "rivet_volume": [
        Case("snap_volume", {"diameter": 4.8 * MM, "height": 2.1 * MM}, VOLUME),
        Case("sink_depth", {"outer": 4.5 * MM, "hole": 3.2 * MM, "angle": 60.0}, LENGTH),
        Case("frustum_volume", {"outer": 4.5 * MM, "hole": 3.2 * MM, "depth": 1.1 * MM}, VOLUME),
        Case("in_shank", {"volume": 20.0 * MM**3, "rivet": 3.0 * MM}, LENGTH),
        Case("sunk_beyond_grip", {"rivet": 3.0 * MM, "outer": 4.5 * MM, "angle": 60.0}, LENGTH),
        Case(
            "snap_length",
            {"rivet": 3 * MM, "hole": 3.2 * MM, "grip": 7 * MM, "diameter": 4.8 * MM, "height": 2.1 * MM},
            LENGTH,
        ),
        Case(
            "sunk_length",
            {"rivet": 3 * MM, "hole": 3.2 * MM, "grip": 7 * MM, "outer": 4.5 * MM, "angle": 60.0, "proud": 0.3 * MM},
            LENGTH,
        ),
        Case(
            "plug_length",
            {"plug": 5.9 * MM, "hole": 6 * MM, "plate": 2 * MM, "wide": 8 * MM, "deep": 0.5 * MM, "proud": 0.2 * MM},
            LENGTH,
        ),
    ],
    "tolerance_stack": [
        Case(name, {"links": LINKS}, LENGTH) for name in ("gap", "worst", "root_sum_square", "uniform_deviation")
    ],
    "tooth_numbers": [
        Case(name, {}, gives, tooth) for tooth in (TOOTH, SHALLOW) for name, gives in TOOTH_GIVES.items()
    ],
}  # fmt: skip
ALONE = {
    "furthest": "asks for the stress at 1 mm: a length inside",
    "drives": "a yes or no",
    "fits": "a yes or no",
}
"""What has no case of its own, and why; the rest of the modules in CASES has to have one."""
SCALED = {"contact", "law", "statics", "sweep"}
"""Modules that work on arrays: scaled, below; those of them that numpy lets through are carried too."""


@pytest.fixture
def carrying(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[types.ModuleType], None]]:
    """Return what teaches a module to pass units on."""

    def teach(module: types.ModuleType) -> None:
        if hasattr(module, "math"):
            monkeypatch.setattr(module, "math", Carrying())

    # the spring bends by the formulas of strength
    teach(importlib.import_module("core.mechanism.strength"))
    return teach


def assert_carried(case: Case, module: types.ModuleType) -> bool:
    """Assert that a formula gives the right dimension, and with units the same number as without; return True."""
    found = case.run(module, bare=False)
    quantity = found if isinstance(found, UNITS.Quantity) else found * UNITS.dimensionless
    assert quantity.check(case.gives), (
        f"{case.name} gives {quantity.dimensionality}, not {case.gives}"
    )
    bare = case.run(module, bare=True)
    assert quantity.to_base_units().magnitude == pytest.approx(
        (bare * _unit(case.gives)).to_base_units().magnitude, rel=1e-9
    )
    return True


def _unit(gives: str) -> Any:
    powers = {
        AREA: MM**2,
        VOLUME: MM**3,
        "[length] ** 4": MM**4,
        FORCE: N,
        STRESS: MPA,
        RATE: N / MM,
        LENGTH: MM,
    }
    return UNITS.dimensionless if gives == NUMBER else powers[gives]


@pytest.mark.parametrize(
    ("name", "case"), [(name, case) for name, cases in CASES.items() for case in cases]
)
def test_units_carried(name: str, case: Case, carrying: Callable[[types.ModuleType], None]) -> None:
    module = importlib.import_module(f"core.mechanism.{name}")
    carrying(module)
    assert_carried(case, module)


def test_every_formula_has_a_case() -> None:
    for name, cases in CASES.items():
        module = importlib.import_module(f"core.mechanism.{name}")
        wanted = set()
        for member, thing in vars(module).items():
            if getattr(thing, "__module__", "") != module.__name__ or member.startswith("_"):
                continue
            if inspect.isfunction(thing):
                wanted.add(member)
            elif inspect.isclass(thing):
                wanted |= {
                    m
                    for m, value in vars(thing).items()
                    if not m.startswith("_") and _is_formula(value)
                }
        assert wanted - set(ALONE) <= {case.name for case in cases} | {
            case.of[0] for case in cases if case.of
        }


def _is_formula(value: Any) -> bool:
    return inspect.isfunction(value) or isinstance(value, property)


@pytest.mark.parametrize("found", [m.name for m in pkgutil.iter_modules(core.mechanism.__path__)])
def test_every_module_is_carried_or_scaled(found: str) -> None:
    if found not in CASES.keys() | SCALED:
        pytest.skip(
            f"core/mechanism/{found}.py has no case here yet: units are not carried through it"
        )


# --- formulas spoilt on purpose ---------------------------------------------------------------------------------------


def spoilt(name: str, old: str, new: str) -> types.ModuleType:
    """Return a module of core.mechanism with one piece of its source changed."""
    module = importlib.import_module(f"core.mechanism.{name}")
    source = inspect.getsource(module)
    assert source.count(old) >= 1
    made = types.ModuleType(module.__name__)
    exec(compile(source.replace(old, new, 1), f"{name} spoilt", "exec"), vars(made))  # noqa: S102 - our own source
    return made


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("strength", "16 * torque / (math.pi * diameter**3)", "16 * torque / (math.pi * diameter**2)"),
        ("strength", "force / (planes * area)", "force + (planes * area)"),
        ("strength", "width * thickness**3 / 12", "width * thickness**3 / 12 + width"),
        ("flat_spring", "self.rate * deflection", "self.rate + deflection"),
        ("flat_spring", "self.force(deflection) * arm", "self.force(deflection)"),
        ("segments", "height * (2 * radius - height)", "2 * radius - height"),
        ("segments", "chord**2 + 4 * height**2", "chord**2 + 4 * height"),
        ("segments", "beyond / radius", "beyond"),
        ("rivet_volume", "0.75 * diameter**2 + height**2", "0.75 * diameter + height**2"),
        ("rivet_volume", "(hole / rivet) ** 2", "hole ** 2"),
        ("tolerance_stack", "link.tolerance**2 for", "link.tolerance for"),
        ("tooth_numbers", "throw * math.cos(p) + half", "throw * math.cos(p) + half * half"),
        ("tooth_numbers", "self.radius**2 - self.flank_foot**2", "self.radius**2 - self.flank_foot"),
        ("tooth_numbers", "self.flank_foot / self.radius", "self.flank_foot"),
        ("tooth_numbers", "self.throw + 2 * self.pickup_offset", "self.throw + 2 * self.half_angle"),
    ],
)  # fmt: skip
def test_a_spoilt_formula_is_seen(
    name: str, old: str, new: str, carrying: Callable[[types.ModuleType], None]
) -> None:
    module = spoilt(name, old, new)
    carrying(module)
    # pint refuses to compare a length with a number by a ValueError
    with pytest.raises((pint.DimensionalityError, ValueError, AssertionError)):
        all(assert_carried(case, module) for case in CASES[name])


# --- the law of motion, carried ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("stroke", law.STROKES)
@pytest.mark.parametrize("formula", ["travel", "slope"])
def test_law_carries_a_length(
    formula: str,
    stroke: law.Stroke,
    carrying: Callable[[types.ModuleType], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    angles = np.linspace(-1.0, 1.0, 41)
    plain = tooth_numbers.tooth_from(**_taken(GIVEN, tooth_numbers, bare=True))
    bare = getattr(law, formula)(plain, angles, stroke)
    carrying(tooth_numbers)
    monkeypatch.setattr(law, "np", CarryingArrays())
    found = getattr(law, formula)(tooth_numbers.tooth_from(**GIVEN), angles, stroke)
    assert found.check(LENGTH)
    np.testing.assert_allclose(found.to("mm").magnitude, bare, atol=1e-12)


# --- arrays and polygons, scaled --------------------------------------------------------------------------------------

K, F = 3.0, 7.0


def random_tooth(seed: int, k: float = 1.0) -> tooth_numbers.Tooth:
    """Return a tooth that drives, drawn by a seed, with every length k times as large."""
    chance = random.Random(seed)  # noqa: S311 - nothing secret is made here
    while True:
        radius = chance.uniform(15, 28)
        pickup = chance.choice((0.0, chance.uniform(0.02, 0.3)))
        cut = tooth_numbers.tooth_from(
            radius=k * radius, bit=k * chance.uniform(2, 4), clearance=k * chance.uniform(0.1, 0.4),
            throw=k * chance.uniform(0.3, 0.6) * radius, pickup_angle=pickup, bolt_line=k * (radius + 4),
            depth=k * chance.uniform(8, 15),
        )  # fmt: skip
        if cut.drives:
            return cut


def powers(value: Any) -> tuple[int, int]:
    """Return the power of length and of force that a field of a result has to follow, by its name."""
    of = {
        "x": (1, 0), "y": (1, 0), "nx": (0, 0), "ny": (0, 0), "tx": (0, 0), "ty": (0, 0), "push": (0, 1),
        "front": (0, 1), "rear": (0, 1), "torque": (1, 1), "jams": (0, 0), "runs": (0, 0),
        "ahead": (0, 1), "overlap": (2, 0),
        "at": (0, 0), "first": (0, 0),
    }  # fmt: skip
    return of[value]


def assert_scaled(one: Any, other: Any, n: int, m: int) -> None:
    np.testing.assert_allclose(
        np.asarray(other, float), K**n * F**m * np.asarray(one, float), rtol=1e-9, atol=1e-9
    )


def assert_fields_scaled(one: Any, other: Any) -> bool:
    """Assert that every field of a result follows with its powers; return True."""
    for field in dataclasses.fields(one):
        if field.name != "stroke":
            assert_scaled(getattr(one, field.name), getattr(other, field.name), *powers(field.name))
    return True


@pytest.mark.parametrize("seed", range(6))
def test_tooth_and_law_scale(seed: int) -> None:
    one, other = random_tooth(seed), random_tooth(seed, K)
    for field in dataclasses.fields(one):
        n = 0 if field.name in ("pickup_angle", "fits") else 1
        assert_scaled(getattr(one, field.name), getattr(other, field.name), n, 0)
    angles = np.linspace(-3.0, 3.0, 301)
    for stroke in law.STROKES:
        for formula in (law.travel, law.slope):
            assert_scaled(formula(one, angles, stroke), formula(other, angles, stroke), 1, 0)
    driven = np.linspace(-one.pickup_angle, one.release_angle - 1e-6, 40)
    assert_fields_scaled(contact.contact(one, driven), contact.contact(other, driven))
    for stroke in law.STROKES:
        touched, larger = contact.touch(one, angles, stroke), contact.touch(other, angles, stroke)
        assert_scaled(touched.at, larger.at, 1, 0)
        assert (touched.place == larger.place).all()


def balanced(module: types.ModuleType, seed: int, k: float = 1.0, f: float = 1.0) -> Any:
    """Return the balance of a drawn tooth, bearings and loads, lengths k and forces f times as large."""
    cut = random_tooth(seed, k)
    chance = random.Random(seed + 99)  # noqa: S311 - nothing secret is made here
    angles = np.linspace(-cut.pickup_angle, cut.release_angle - 1e-6, 25)
    bears = statics.Bearings(
        np.full(25, -k * chance.uniform(15, 25)), np.full(25, k * chance.uniform(15, 25)),
        k * chance.uniform(18, 24), k * chance.uniform(18, 24),
    )  # fmt: skip
    mu = np.array([[0.0], [0.12], [0.3]])
    fx, fy, arm = -f * chance.uniform(1, 4), -f * chance.uniform(0, 5), k * chance.uniform(-8, 8)
    loads = statics.Applied(np.full((3, 25), fx), np.full((3, 25), fy), np.full((3, 25), fy * arm))
    return module.balance(contact.contact(cut, angles), bears, loads, mu)


@pytest.mark.parametrize("seed", range(6))
def test_balance_scales(seed: int) -> None:
    found = balanced(statics, seed)
    assert not found.jams.all()
    assert_fields_scaled(found, balanced(statics, seed, K, F))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("bearings.front_x + mu * _FRONT * bearings.front_y", "bearings.front_x + mu * _FRONT"),
        ("px * minor_x + py * minor_y + turn * minor_m", "px * minor_x + py * minor_y + minor_m"),
        ("px * (b * r_turn - c)", "px * (b * r_turn - b)"),
        ("a, b, c = -applied.fx, -applied.fy, -applied.moment", "a, b, c = -applied.fx, -applied.fy, -applied.fy"),
        ("torque = push * (contact.y * px - contact.x * py)", "torque = push * (px - contact.x * py)"),
        ("-applied.fx, -applied.fy,", "-applied.fx, bearings.front_y,"),
    ],
)  # fmt: skip
def test_a_spoilt_balance_is_seen(old: str, new: str) -> None:
    module = spoilt("statics", old, new)
    with pytest.raises((AssertionError, ValueError)):
        all(assert_fields_scaled(balanced(module, n), balanced(module, n, K, F)) for n in range(6))


@pytest.mark.parametrize("seed", range(3))
def test_sweep_scales(seed: int) -> None:
    one, other = random_tooth(seed), random_tooth(seed, K)
    # a block that stands lower than the foot: the bit runs into it, wherever the law has the bolt
    area = shapely.box(one.flank_foot * 0.2, one.flank_foot * 0.5, 40, 60)
    larger = shapely.affinity.scale(area, K, K, origin=(0, 0))
    for moves in (False, True):
        found = sweep.meeting(one, area, 3.0, moves=moves, step=math.radians(2))
        scaled = sweep.meeting(other, larger, 3.0 * K, moves=moves, step=math.radians(2))
        assert found is not None
        assert scaled is not None
        assert found.stroke == scaled.stroke
        assert scaled.overlap == pytest.approx(K**2 * found.overlap, rel=1e-6)
        assert scaled.at == pytest.approx(found.at)
        assert scaled.first == pytest.approx(found.first, abs=math.radians(0.13))
    angles = np.linspace(-3, 3, 61)
    assert_scaled(
        sweep.gaps(one, area, angles, "unlocking", moves=True),
        sweep.gaps(other, larger, angles, "unlocking", moves=True), 1, 0,
    )  # fmt: skip
