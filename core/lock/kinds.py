"""The kinds of values that there are. Lengths in mm, angles in degrees, forces in N."""

import math
from typing import Any, ClassVar

from core.errors import BadEntryError, BadValueError
from core.lock.spec import Entering, Kind, Spec
from core.text import plain, shown
from core.units import (
    INCH,
    parse_angle,
    parse_count,
    parse_force,
    parse_length,
    show_angle,
    show_angle_entry,
    show_entry,
    show_force,
    show_force_entry,
    show_length,
)

LARGEST = 2000.0
"""Largest size [mm] that the program takes."""
BREAK = "¶"
"""Stands for the end of a line in notes, which are edited in one line."""


def is_number(value: object) -> bool:
    """Say whether `value` is a finite number; true and false are not numbers here."""
    # bool is a subclass of int, and `radius = true` is surely a slip
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    try:
        return math.isfinite(value)
    except OverflowError:  # an integer too large for a float
        return False


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
            return _number(value)
        raise self.refused(spec, value, name)

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

    def from_file(self, spec: Spec, value: object, name: str) -> Any:
        """Take text with a unit too."""
        if isinstance(value, str):
            try:
                value = parse_length(value, None)
            except BadEntryError as error:
                raise _no_length(spec, value, name) from error
        return self.check(spec, value, name)

    def shown(self, value: object, units: str) -> str:
        """Write a length with its unit."""
        return show_length(_number(value), units)

    def written(self, value: object, units: str) -> str:
        """Write a length as it would be typed."""
        return show_entry(_number(value), units)

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

    def shown(self, value: object, units: str) -> str:
        """Write a force with its unit."""
        del units
        return show_force(_number(value))

    def written(self, value: object, units: str) -> str:
        """Write a force as it would be typed."""
        del units
        return show_force_entry(_number(value))

    def read(self, spec: Spec, text: str, units: str) -> object:
        """Read a force."""
        del spec, units
        return parse_force(text)

    def unit(self, units: str) -> str:
        """Return newtons."""
        del units
        return "N"

    def step(self, units: str) -> float:
        """Return 0.1 N."""
        del units
        return 0.1


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


class Words(Kind):
    """What is kept as text, and stands in quotes in a sentence."""

    def check(self, spec: Spec, value: object, name: str) -> Any:
        """Return a text."""
        if isinstance(value, str):
            return value
        raise self.refused(spec, value, name)

    def told(self, value: object, units: str) -> str:
        """Put it in quotes."""
        return f'"{self.shown(value, units)}"'


class Choice(Words):
    """One of some words."""

    name = "choice"
    entering: ClassVar[Entering] = "picked"

    def allowed(self, spec: Spec) -> str:
        """Name the words."""
        return "one of " + ", ".join(spec.choices)

    def check(self, spec: Spec, value: object, name: str) -> Any:
        """Return one of the words."""
        if value not in spec.choices:
            raise self.refused(spec, value, name)
        return super().check(spec, value, name)

    def read(self, spec: Spec, text: str, units: str) -> object:
        """Read a word by its first letters."""
        del units
        found = spec.chosen(text)
        if found is None:
            raise self.refused_entry(spec, text)
        return found

    def hint(self, spec: Spec, units: str) -> str:
        """Say how a word is picked."""
        del spec, units
        return "Left, Right, or its first letter."

    def words(self, spec: Spec) -> tuple[str, ...]:
        """Return the words."""
        return spec.choices


class Text(Words):
    """Free text, kept as it was typed and shown as plain text."""

    name = "text"
    entering: ClassVar[Entering] = "free"
    long = True
    tried = False

    def allowed(self, spec: Spec) -> str:
        """Any text."""
        del spec
        return "text in quotes"

    def written(self, value: object, units: str) -> str:
        """Write it in one line."""
        del units
        return BREAK.join(plain(str(value), lines=True).split("\n"))

    def read(self, spec: Spec, text: str, units: str) -> object:
        """Read lines from one."""
        del spec, units
        return text.replace(BREAK, "\n")

    def hint(self, spec: Spec, units: str) -> str:
        """Say to type it."""
        del spec, units
        return "Type it, then Enter."


class Points(Kind):
    """Corners `(x, y)` or `(x, y, bulge)` of an outline [mm, mm, tan(angle / 4)]."""

    name = "points"
    long = True
    tried = False

    def allowed(self, spec: Spec) -> str:
        """Name the forms of a point."""
        del spec
        return "a list of points [x, y] or [x, y, bulge] in mm"

    def check(self, spec: Spec, value: object, name: str) -> tuple[tuple[float, ...], ...]:
        """Return points of two or three numbers."""
        if not isinstance(value, list | tuple):
            raise self.refused(spec, value, name)
        done: list[tuple[float, ...]] = []
        for number, point in enumerate(value, start=1):
            good = isinstance(point, list | tuple) and len(point) in (2, 3)
            if not good or not all(is_number(x) and abs(x) <= LARGEST for x in point):
                raise BadValueError(
                    f"{name}, point {number} = {shown(point)} is not allowed: it takes [x, y] or "
                    f"[x, y, bulge], each from {-LARGEST:g} to {LARGEST:g}"
                )
            done.append(tuple(float(x) for x in point))
        return tuple(done)

    def from_file(self, spec: Spec, value: object, name: str) -> Any:
        """Take text with a unit for x and y; a bulge has none."""
        if isinstance(value, list):
            try:
                value = [_point(point) for point in value]
            except BadEntryError as error:
                raise _no_length(spec, value, name) from error
        return self.check(spec, value, name)

    def shown(self, value: object, units: str) -> str:
        """Say how many there are."""
        del units
        count = len(value) if isinstance(value, tuple) else 0
        return f"{count} points" if count else "none"

    def written(self, value: object, units: str) -> str:
        """Write corners as they would be typed."""
        corners = []
        for point in value if isinstance(value, tuple) else ():
            parts = [show_entry(number, units) for number in point[:2]]
            parts += [f"{bend:.9g}" for bend in point[2:]]
            corners.append(", ".join(parts))
        return "; ".join(corners)

    def read(self, spec: Spec, text: str, units: str) -> object:
        """Read corners: `x, y` or `x, y, bend`, with a semicolon between."""
        del spec
        found = []
        for number, corner in enumerate(filter(str.strip, text.split(";")), start=1):
            parts = corner.split(",")
            if len(parts) not in (2, 3):
                raise BadEntryError(
                    f"Corner {number}, {plain(corner.strip())}, is not allowed: write x, y or x, y, "
                    "bend, and a ; between corners"
                )
            place = [parse_length(part, units) for part in parts[:2]]
            found.append((*place, *(parse_angle(part) for part in parts[2:])))
        return tuple(found)

    def unit(self, units: str) -> str:
        """Return the lock's unit."""
        return units

    def hint(self, spec: Spec, units: str) -> str:
        """Say how corners are typed."""
        del spec
        return f"Corners as x, y; x, y; ... in {units}, from the mark."


def _point(point: object) -> object:
    if not isinstance(point, list):
        return point
    return [
        parse_length(x, None) if isinstance(x, str) and place < 2 else x
        for place, x in enumerate(point)
    ]


def _no_length(spec: Spec, value: object, name: str) -> BadValueError:
    return BadValueError(
        f"{name} = {shown(value)} is not allowed: it takes {spec.allowed}, as a number or, "
        'with the unit, in quotes, such as "13/16 in"'
    )


LENGTH, POSITION, ANGLE, FORCE, COUNT = Length(), Position(), Angle(), Force(), Count()
CHOICE, TEXT, POINTS = Choice(), Text(), Points()
