"""Kinds of values that are numbers: lengths in mm, angles in degrees, forces in N, and counts."""

import math
from typing import Any, ClassVar

from core.errors import BadEntryError, BadValueError
from core.lock.spec import Kind, Spec
from core.systems import force_entry, force_step, force_unit, show_force
from core.text import shown
from core.units import (
    INCH,
    NEGLIGIBLE,
    parse_across,
    parse_angle,
    parse_count,
    parse_force,
    parse_length,
    short_entry,
    show_angle,
    show_angle_entry,
    show_length,
)

LARGEST = 2000.0
"""Largest size [mm] that the program takes."""


def is_number(value: object) -> bool:
    """Say whether `value` is a finite number; true and false are not numbers here."""
    # bool is a subclass of int, and `radius = true` is surely a slip
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    try:
        return math.isfinite(value)
    except OverflowError:  # an integer too large for a float
        return False


def settled(value: float) -> float:
    """Return a number [mm, degrees or N] as it is kept: what is no measure, or less than nothing, as 0."""
    return 0.0 if abs(value) < NEGLIGIBLE else value


def is_no_measure(value: float) -> bool:
    """Say whether a number [mm, degrees or N] is kept as 0 without being written so."""
    return abs(value) < NEGLIGIBLE and (value != 0 or math.copysign(1.0, value) < 0)


def _number(value: object) -> float:
    return float(value) if isinstance(value, int | float) else 0.0


class Number(Kind):
    """A number between two limits."""

    number = True
    suffix: ClassVar[str] = ""
    """The unit of the limits."""

    def allowed(self, spec: Spec) -> str:
        """Both limits."""
        return f"{spec.low:g} to {spec.high:g} {self.suffix}".rstrip()

    def check(self, spec: Spec, value: object, name: str) -> Any:
        """Return a finite number within the limits."""
        if is_number(value) and spec.low <= _number(value) <= spec.high:
            return settled(_number(value))
        raise self.refused(spec, value, name)

    def blank(self, spec: Spec) -> Any:
        """Return 0, or what may stand nearest to it."""
        return self.check(spec, max(spec.low, min(0.0, spec.high)), "")

    def step(self, units: str) -> float:
        """Return what one nudge adds."""
        raise NotImplementedError

    def nudged(self, spec: Spec, value: object, units: str, steps: int) -> Any:
        """Return the number some nudges on.

        It lies on a whole step where the value did, so that errors of rounding do not add up.
        """
        step = self.step(units)
        moved = _number(value) + steps * step
        whole = round(moved / step) * step
        if math.isclose(whole, moved, abs_tol=1e-6):
            moved = round(whole, 9)
        return min(max(moved, spec.low), spec.high)


class Length(Number):
    """A size [mm]; typed and shown in the lock's units, and in a file also as text with a unit."""

    name = "length"
    suffix = "mm"

    def allowed_in(self, spec: Spec, units: str) -> str:
        """Both limits, in the lock's unit."""
        if units != "in":
            return self.allowed(spec)
        low, high = (f"{limit / float(INCH):.4g}" for limit in (spec.low, spec.high))
        return f"{low} to {high} in"

    def from_file(self, spec: Spec, value: object, name: str) -> Any:
        """Take text with a unit too."""
        if isinstance(value, str):
            try:
                value = parse_length(value, None)
            except BadEntryError as error:
                raise no_length(spec, value, name) from error
        return self.check(spec, value, name)

    def shown(self, value: object, units: str) -> str:
        """Write a length with its unit."""
        return show_length(_number(value), units)

    def written(self, value: object, units: str) -> str:
        """Write a length as it would be typed."""
        return short_entry(_number(value), units)

    def read(self, spec: Spec, text: str, units: str) -> object:
        """Read a length in any unit."""
        del spec
        return parse_length(text, units)

    def unit(self, units: str) -> str:
        """Return the lock's unit."""
        return units

    def step(self, units: str) -> float:
        """Return 0.1 mm or 1/64 in."""
        return float(INCH) / 64 if units == "in" else 0.1

    def grain(self, units: str) -> float:
        """Return 0.05 mm or 1/64 in."""
        return float(INCH) / 64 if units == "in" else 0.05


class Position(Length):
    """A signed distance [mm]."""

    name = "position"


class Across(Position):
    """A distance across [mm] from a line up and down, seen from inside the back plate: positive to the right.

    It is shown and typed without a sign, with its side; a plain number with its sign is taken still.
    """

    name = "across"
    how = "Typed with its side: 5 left, or 5 r."

    def allowed_in(self, spec: Spec, units: str) -> str:
        """Say how far to either side."""
        return f"up to {Length().allowed_in(spec, units).split(' to ')[1]} left or right"

    def shown(self, value: object, units: str) -> str:
        """Write a distance with its unit and its side."""
        return _sided(super().shown(abs(_number(value)), units), value)

    def written(self, value: object, units: str) -> str:
        """Write a distance with its unit and its side as it would be typed."""
        return _sided(f"{super().written(abs(_number(value)), units)} {units}", value)

    def read(self, spec: Spec, text: str, units: str) -> object:
        """Read a distance with its side, or a number with its sign."""
        del spec
        size, side = parse_across(text, units)
        return -size if side == "left" else size

    def unit(self, units: str) -> str:
        """Return none: it stands in the entry, before the side."""
        del units
        return ""


def _sided(size: str, value: object) -> str:
    side = "" if not _number(value) else " left" if _number(value) < 0 else " right"
    return f"{size}{side}"


class Angle(Number):
    """An angle [degrees]."""

    name = "angle"
    suffix = "degrees"

    def shown(self, value: object, units: str) -> str:
        """Write an angle with its sign."""
        del units
        return show_angle(_number(value))

    def written(self, value: object, units: str) -> str:
        """Write an angle as it would be typed."""
        del units
        return show_angle_entry(_number(value))

    def read(self, spec: Spec, text: str, units: str) -> object:
        """Read an angle."""
        del spec, units
        return parse_angle(text)

    def unit(self, units: str) -> str:
        """Return degrees."""
        del units
        return "degrees"

    def step(self, units: str) -> float:
        """Return half a degree."""
        del units
        return 0.5

    def grain(self, units: str) -> float:
        """Return 0.05 degrees."""
        del units
        return 0.05


class Force(Number):
    """A force [N]."""

    name = "force"
    suffix = "N"

    def allowed_in(self, spec: Spec, units: str) -> str:
        """Both limits, in the unit that is typed."""
        return (
            f"{force_entry(spec.low, units)} to {force_entry(spec.high, units)} {self.unit(units)}"
        )

    def shown(self, value: object, units: str) -> str:
        """Write a force with its unit."""
        return show_force(_number(value), units)

    def written(self, value: object, units: str) -> str:
        """Write a force as it would be typed."""
        return force_entry(_number(value), units)

    def read(self, spec: Spec, text: str, units: str) -> object:
        """Read a force in any unit."""
        del spec
        return parse_force(text, units)

    def unit(self, units: str) -> str:
        """Return newtons or ounces."""
        return force_unit(units)

    def step(self, units: str) -> float:
        """Return 0.1 N or half an ounce."""
        return force_step(units)


class Count(Number):
    """A whole number of things."""

    name = "count"

    def allowed(self, spec: Spec) -> str:
        """Both limits, and that it is whole."""
        return f"a whole number from {spec.low:g} to {spec.high:g}"

    def check(self, spec: Spec, value: object, name: str) -> Any:
        """Return a whole number within the limits."""
        number = super().check(spec, value, name)
        if number != int(number):
            raise self.refused(spec, value, name)
        return int(number)

    def shown(self, value: object, units: str) -> str:
        """Write a count."""
        del units
        return f"{_number(value):.0f}"

    def read(self, spec: Spec, text: str, units: str) -> object:
        """Read a whole number."""
        del spec, units
        return parse_count(text)

    def step(self, units: str) -> float:
        """Return one."""
        del units
        return 1.0

    def nudged(self, spec: Spec, value: object, units: str, steps: int) -> Any:
        """Return the count some more or less."""
        return int(super().nudged(spec, value, units, steps))


def no_length(spec: Spec, value: object, name: str) -> BadValueError:
    """Return the refusal of a length in a file that is neither a number nor text with a unit."""
    return BadValueError(
        f"{name} = {shown(value)} is not allowed: it takes {spec.allowed}, as a number or, "
        'with the unit, in quotes, such as "13/16 in"'
    )


LENGTH, POSITION, ACROSS, ANGLE = Length(), Position(), Across(), Angle()
FORCE, COUNT = Force(), Count()
