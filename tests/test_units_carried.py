"""Units carried through every formula of core.mechanism: a force added to a length fails.

Where polygons are at work units cannot be carried: that is scaled, in test_units_scaled.py.
"""

import importlib
import inspect
import pkgutil
from typing import Any

import pint
import pytest

import core.mechanism
from tests.carried_cases import ALONE, CASES, NOT_CARRIED
from tests.carrying import (
    Case,
    Teach,
    assert_carried,
    spoilt,
    teach,
)

__all__ = ["teach"]  # the fixture


@pytest.mark.parametrize(
    ("name", "case"),
    [
        pytest.param(name, case, id=f"{name}-{case.name}")
        for name, cases in CASES.items()
        for case in cases
    ],
)
@pytest.mark.usefixtures("teach")
def test_units_carried(name: str, case: Case) -> None:
    assert_carried(case, importlib.import_module(f"core.mechanism.{name}"))


@pytest.mark.parametrize("name", [m.name for m in pkgutil.iter_modules(core.mechanism.__path__)])
def test_every_formula_has_a_case(name: str) -> None:
    if name in NOT_CARRIED:
        return
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
    cases = CASES.get(name, [])
    assert wanted - ALONE.keys() <= {c.name for c in cases} | {c.of.name for c in cases if c.of}


def _is_formula(value: Any) -> bool:
    return inspect.isfunction(value) or isinstance(value, property)


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("strength", "16 * torque / (math.pi * diameter**3)", "16 * torque / (math.pi * diameter**2)"),
        ("strength", "force / (planes * area)", "force + (planes * area)"),
        ("strength", "width * thickness**3 / 12", "width * thickness**3 / 12 + width"),
        ("flat_spring", "self.rate * deflection", "self.rate + deflection"),
        ("flat_spring", "self.force(deflection) * self.arm", "self.force(deflection)"),
        ("flat_spring", "bending_force(stress, self.arm", "bending_force(stress, self.width * self.arm"),
        ("circle_segments", "half_chord(radius, radius - height)", "half_chord(radius, radius * height)"),
        ("circle_segments", "chord**2 + 4 * height**2", "chord**2 + 4 * height"),
        ("circle_segments", "acos(beyond / radius)", "acos(beyond)"),
        ("circle_segments", "radius**2 * angle - beyond", "radius**2 * angle - angle"),
        ("rivet_volume", "0.75 * diameter**2 + height**2", "0.75 * diameter + height**2"),
        ("rivet_volume", "(hole / rivet) ** 2", "hole ** 2"),
        ("rivet_volume", "tan(angle / 2)", "tan(hole / 2)"),
        ("tolerance_stack", "link.tolerance**2 for", "link.tolerance for"),
        ("corner", "asin(half_bit / radius)", "asin(half_bit)"),
        ("corner", "radius**2 - height**2", "radius**2 - height"),
        ("corner", "of.sqrt(flank**2 + height**2)", "of.sqrt(flank**2 + height)"),
        ("corner", "flank**2 + foot**2 - half_bit**2", "flank**2 + foot**2 - half_bit"),
        ("corner", "of.asin(flank / radius)", "of.asin(flank * radius)"),
        ("corner", "acos(foot / radius)", "acos(radius)"),
        ("tooth_numbers", "throw * of.cos(p) + half", "throw * of.cos(p) + half * half"),
        ("tooth_numbers", "half / of.cos(p) - foot * of.tan(p)", "half / of.cos(p) - of.tan(p)"),
        ("tooth_numbers", "half_chord(radius, foot) - offset", "half_chord(radius, foot) - p"),
        ("tooth_numbers", "of.larger(relief_foot, lower)", "of.larger(relief_foot, relief**2)"),
        ("tooth_numbers", "self.throw + 2 * self.pickup_offset", "self.throw + 2 * self.half_angle"),
        ("actual", "flank - way * along + play", "flank - way * along + 1e-3"),
        ("actual", "foot - up + lift", "foot - up * lift"),
        ("corner", "reach - flank, 0.0", "reach / flank, 0.0"),
        ("actual", "known(throw - driven)", "known(throw - driven * driven)"),
        ("actual", "bit=2 * tooth.half_bit", "bit=2 * tooth.half_angle"),
        ("takeover", "cut.throw - capture + cut.pickup_offset", "cut.throw - 1.0 + cut.pickup_offset"),
        ("takeover", "of.asin(x / within)", "of.asin(x)"),
        ("takeover", "half_chord(within, x) - cut.flank_foot", "half_chord(within, x) - cut.half_angle"),
        ("law", "tooth.flank_foot * of.tan(before)", "of.tan(before)"),
        ("law", "tooth.half_bit / of.cos(before)", "1 / of.cos(before)"),
        ("law", "corner.touches(after).x - tooth.pickup_offset", "corner.touches(after).nx - tooth.pickup_offset"),
        ("rounded_corner", "self.within * of.cos(phi)", "of.cos(phi)"),
        ("rounded_corner", "soft**2 - below**2", "soft**2 - below"),
        ("rounded_corner", "acos(self.foot / self.within)", "acos(self.foot)"),
        ("rounded_corner", "OnArc(x + out, y + below,", "OnArc(x + out, y + 1 + below,"),
        ("law", "at.let_go, tooth.throw,", "at.let_go, tooth.half_angle + 1,"),
        ("contact", "tooth.pickup_offset + travel(tooth, angles)", "tooth.half_angle + travel(tooth, angles)"),
        ("contact", "np.sign(tooth.flank_foot * sin + tooth.half_bit)", "np.sign(sin + tooth.half_bit)"),
        ("statics", "bearings.front_x + mu * up_front * bearings.front_y", "bearings.front_x + mu * up_front"),
        ("statics", "px * minor_x + py * minor_y + turn * minor_m", "px * minor_x + py * minor_y + minor_m"),
        ("statics", "px * (b * r_turn - c)", "px * (b * r_turn - b)"),
        ("statics", "-applied.fx, -applied.fy, -applied.moment", "-applied.fx, -applied.fy, -applied.fy"),
        ("statics", "torque = push * (contact.y * px - contact.x * py)", "torque = push * (px - contact.x * py)"),
        ("statics", "-applied.fx, -applied.fy,", "-applied.fx, bearings.front_y,"),
        ("statics", "turning - self.front_x * weight", "turning - weight"),
    ],
)  # fmt: skip
def test_a_spoilt_formula_is_seen(name: str, old: str, new: str, teach: Teach) -> None:
    module = spoilt(name, old, new)
    teach(module)
    # pint refuses to compare a length with a number by a ValueError
    with pytest.raises((pint.DimensionalityError, ValueError, AssertionError)):
        all(assert_carried(case, module) for case in CASES[name])
