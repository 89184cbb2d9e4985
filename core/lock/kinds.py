"""Kinds of values that are words or points: choices, free text, and the corners of an outline."""

from typing import Any, ClassVar

from core.errors import BadEntryError, BadValueError
from core.lock.numbers import LARGEST, is_number, no_length, settled
from core.lock.spec import Entering, Kind, Spec
from core.text import plain, shown
from core.units import parse_angle, parse_length, short_entry

MOST_POINTS = 1000
"""Most points of a traced outline: four to each millimetre of a plate's edge, far more than can be read off."""
BREAK = "¶"
"""Stands for the end of a line in notes, which are edited in one line."""


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

    def blank(self, spec: Spec) -> Any:
        """Return the first word."""
        return spec.choices[0]

    def hint(self, spec: Spec, units: str) -> str:
        """Say how a word is picked."""
        del spec, units
        return "Left, Right, or its first letter, again for the next."

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

    def blank(self, spec: Spec) -> Any:
        """Return no text."""
        del spec
        return ""

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

    def allowed_in(self, spec: Spec, units: str) -> str:
        """Name the forms of a corner as it is typed."""
        del spec
        return f"corners as x, y or x, y, bend with a ; between, in {'inches' if units == 'in' else 'mm'}"

    def check(self, spec: Spec, value: object, name: str) -> tuple[tuple[float, ...], ...]:
        """Return points of two or three numbers."""
        if not isinstance(value, list | tuple):
            raise self.refused(spec, value, name)
        if len(value) > MOST_POINTS:
            raise BadValueError(
                f"{name} has {len(value)} points: it takes up to {MOST_POINTS}, as with more every check of the "
                "lock is slow; leave out points along the straight edges, and give curves as bends"
            )
        done: list[tuple[float, ...]] = []
        for number, point in enumerate(value, start=1):
            good = isinstance(point, list | tuple) and len(point) in (2, 3)
            if not good or not all(is_number(x) and abs(x) <= LARGEST for x in point):
                raise BadValueError(
                    f"{name}, point {number} = {shown(point)} is not allowed: it takes [x, y] or "
                    f"[x, y, bulge], each from {-LARGEST:g} to {LARGEST:g}"
                )
            # a bend means something down to its last digit
            done.append((*(settled(float(x)) for x in point[:2]), *(x + 0.0 for x in point[2:])))
        return tuple(done)

    def from_file(self, spec: Spec, value: object, name: str) -> Any:
        """Take text with a unit for x and y; a bulge has none."""
        if isinstance(value, list):
            try:
                value = [_point(point) for point in value]
            except BadEntryError as error:
                raise no_length(spec, value, name) from error
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
            parts = [short_entry(number, units) for number in point[:2]]
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

    def blank(self, spec: Spec) -> Any:
        """Return no points."""
        del spec
        return ()

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


CHOICE, TEXT, POINTS = Choice(), Text(), Points()
