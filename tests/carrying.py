"""Units carried through formulas: each gets quantities of `pint` in place of numbers, and gives one.

The formulas choose their functions by what they are given (`core/mechanism/maths.py`); given a quantity they get those
of arrays, which pass units on and refuse a length in a sine, a force beside a length, a number added to either.
"""

import dataclasses
import importlib
import inspect
import pkgutil
import types
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pint
import pytest

import core.mechanism
from core.mechanism import maths

UNITS: pint.UnitRegistry[Any] = pint.UnitRegistry()
MM, N, MPA = UNITS.mm, UNITS.N, UNITS.MPa
NUMBER, LENGTH, AREA, VOLUME = "[]", "[length]", "[length] ** 2", "[length] ** 3"
MASS = "[mass]"
FORCE, STRESS, RATE, MOMENT = "[force]", "[pressure]", "[force] / [length]", "[force] * [length]"
UNIT = {
    NUMBER: UNITS.dimensionless, LENGTH: MM, AREA: MM**2, VOLUME: MM**3, "[length] ** 4": MM**4,
    FORCE: N, STRESS: MPA, RATE: N / MM, MOMENT: N * MM, MASS: UNITS.g,
}  # fmt: skip
Module = types.ModuleType


@dataclasses.dataclass(frozen=True)
class Made:
    """What a function or class of a module makes of what it is given, with units or bare."""

    module: str
    name: str
    given: dict[str, Any]

    def made(self, tried: Module, *, bare: bool) -> Any:
        """Return it; by the module that is tried, if it is that one's."""
        name = f"core.mechanism.{self.module}"
        module = tried if tried.__name__ == name else importlib.import_module(name)
        return getattr(module, self.name)(**taken(self.given, tried, bare=bare))


@dataclasses.dataclass(frozen=True)
class Case:
    """A formula, what it is given, and the dimension of what it has to give, or of each field of that.

    With `of`, it is a property or method of what that makes.
    """

    name: str
    given: dict[str, Any]
    gives: str | dict[str, str]
    of: Made | None = None

    def run(self, module: Module, *, bare: bool) -> Any:
        """Return the outcome, with units or, `bare`, for the same numbers in mm, N and MPa."""
        found = getattr(self.of.made(module, bare=bare) if self.of else module, self.name)
        return found(**taken(self.given, module, bare=bare)) if callable(found) else found

    def parts(self, outcome: Any) -> Iterator[tuple[Any, str]]:
        """Return each part of an outcome with its dimension."""
        if isinstance(self.gives, str):
            whole = outcome if isinstance(outcome, tuple) else (outcome,)
            yield from ((part, self.gives) for part in whole)
        else:
            yield from ((getattr(outcome, name), gives) for name, gives in self.gives.items())


def taken(values: dict[str, Any], module: Module, *, bare: bool) -> dict[str, Any]:
    """Return what a formula is given, with units or bare."""

    def one(value: Any) -> Any:
        if isinstance(value, Made):
            return value.made(module, bare=bare)
        if isinstance(value, list):
            return [one(each) for each in value]
        return value.magnitude if bare and isinstance(value, UNITS.Quantity) else value

    return {name: one(value) for name, value in values.items()}


class Numpy(Module):
    """The module `numpy` where `pint` has no way of its own: infinite lengths, and picking out of an array."""

    def __init__(self) -> None:
        super().__init__("numpy")

    def __getattr__(self, name: str) -> Any:
        return getattr(np, name)

    @staticmethod
    def where(condition: Any, yes: Any, no: Any) -> Any:
        quantity = isinstance(yes, UNITS.Quantity) and np.ndim(no) == 0 and not np.isfinite(no)
        return np.where(condition, yes, no * yes.units if quantity else no)

    @staticmethod
    def take_along_axis(values: Any, which: Any, axis: int) -> Any:
        if not isinstance(values, UNITS.Quantity):
            return np.take_along_axis(values, which, axis)
        return np.take_along_axis(values.magnitude, which, axis) * values.units

    @staticmethod
    def asarray(value: Any) -> Any:
        return value if isinstance(value, UNITS.Quantity) else np.asarray(value)


def _maths(*given: Any) -> Any:
    quantity = any(isinstance(one, UNITS.Quantity) for one in given)
    return maths._Arrays if quantity else maths.maths(*given)


Teach = Callable[[Module], None]


@pytest.fixture
def teach(monkeypatch: pytest.MonkeyPatch) -> Teach:
    """Return what teaches a module to pass units on; the mechanism's own are taught."""

    def one(module: Module) -> None:
        if hasattr(module, "maths") and module is not maths:
            monkeypatch.setattr(module, "maths", _maths)
        if hasattr(module, "np") and module is not maths:
            monkeypatch.setattr(module, "np", Numpy())

    for found in pkgutil.iter_modules(core.mechanism.__path__, "core.mechanism."):
        one(importlib.import_module(found.name))
    return one


def assert_carried(case: Case, module: Module) -> bool:
    """Assert that a formula gives the right dimension, and with units the same number as without; return True."""
    found, bare = (case.parts(case.run(module, bare=bare)) for bare in (False, True))
    for (one, gives), (number, _) in zip(found, bare, strict=True):
        quantity = one if isinstance(one, UNITS.Quantity) else one * UNITS.dimensionless
        assert quantity.check(gives), f"{case.name} gives {quantity.dimensionality}, not {gives}"
        np.testing.assert_allclose(
            quantity.to_base_units().magnitude,
            (number * UNIT[gives]).to_base_units().magnitude, rtol=1e-9, atol=1e-12,
        )  # fmt: skip
    return True


def spoilt(name: str, old: str, new: str) -> Module:
    """Return a module of core.mechanism with one piece of its source changed."""
    module = importlib.import_module(f"core.mechanism.{name}")
    source = inspect.getsource(module)
    assert source.count(old) >= 1
    made = types.ModuleType(module.__name__)
    exec(compile(source.replace(old, new, 1), f"{name} spoilt", "exec"), vars(made))  # noqa: S102 - our own source
    return made
