"""What is typed at a prompt, and what a value looks like there."""

import math

from core.errors import BadEntryError
from core.lock.fields import Spec
from core.text import plain
from core.units import (
    INCH,
    parse_angle,
    parse_force,
    parse_length,
    show_angle,
    show_angle_entry,
    show_entry,
    show_force,
    show_force_entry,
    show_length,
)

BREAK = "¶"
"""Stands for the end of a line in notes, which are edited in one line."""
_NUDGE_MM, _NUDGE_IN, _NUDGE_DEGREES, _NUDGE_N = 0.1, float(INCH) / 64, 0.5, 0.1


def written(spec: Spec, value: object, units: str) -> str:
    """Return `value` [mm, degrees or N] as it is edited at a prompt of a lock in `units`."""
    match spec.kind:
        case "length" | "position":
            return show_entry(_number(value), units)
        case "angle":
            return show_angle_entry(_number(value))
        case "force":
            return show_force_entry(_number(value))
        case "points":
            return _points_written(value, units)
        case _:
            return BREAK.join(plain(str(value), lines=True).split("\n"))


def shown(spec: Spec, value: object, units: str) -> str:
    """Return `value` [mm, degrees or N] for reading, with its unit."""
    match spec.kind:
        case "length" | "position":
            return show_length(_number(value), units)
        case "angle":
            return show_angle(_number(value))
        case "force":
            return show_force(_number(value))
        case "points":
            count = len(value) if isinstance(value, tuple) else 0
            return f"{count} points" if count else "none"
        case _:
            return plain(str(value))


def unit(spec: Spec, units: str) -> str:
    """Return the unit that stands after the prompt."""
    match spec.kind:
        case "length" | "position" | "points":
            return units
        case "angle":
            return "degrees"
        case "force":
            return "N"
        case _:
            return ""


def read(spec: Spec, text: str, units: str) -> object:
    """Return the value [mm, degrees or N] that `text` states, before the limits are looked at.

    Raises
    ------
    BadEntryError
        For text that is no such value.
    """
    match spec.kind:
        case "length" | "position":
            return parse_length(text, units)
        case "angle":
            return parse_angle(text)
        case "force":
            return parse_force(text)
        case "choice":
            found = chosen(spec, text)
            if found is None:
                raise BadEntryError(f"{plain(text)} is not allowed here: it takes {spec.allowed}")
            return found
        case "points":
            return _points_read(text, units)
        case "text":
            return text.replace(BREAK, "\n")


def chosen(spec: Spec, start: str) -> str | None:
    """Return the choice that begins with `start`, in any case; None where none does."""
    low = start.strip().lower()
    return next((word for word in spec.choices if low and word.lower().startswith(low)), None)


def nudge_step(spec: Spec, units: str) -> float:
    """Return what one nudge adds to a value [mm, degrees or N]; 0 where it cannot be nudged."""
    if spec.kind == "angle":
        return _NUDGE_DEGREES
    if spec.kind == "force":
        return _NUDGE_N
    if spec.kind in ("length", "position"):
        return _NUDGE_IN if units == "in" else _NUDGE_MM
    return 0.0


def nudged(spec: Spec, value: float, units: str, steps: int) -> float:
    """Return `value` [mm, degrees or N] moved by `steps` nudges, within what the value may be.

    The result lies on a whole step where the value did, so that errors of rounding do not add up.
    """
    step = nudge_step(spec, units)
    moved = value + steps * step
    whole = round(moved / step) * step
    if math.isclose(whole, moved, abs_tol=1e-6):
        moved = round(whole, 9)
    return min(max(moved, spec.low), spec.high)


def _number(value: object) -> float:
    return float(value) if isinstance(value, int | float) else 0.0


def _points_written(value: object, units: str) -> str:
    if not isinstance(value, tuple):
        return ""
    corners = []
    for point in value:
        parts = [show_entry(number, units) for number in point[:2]]
        parts += [f"{bend:.9g}" for bend in point[2:]]
        corners.append(", ".join(parts))
    return "; ".join(corners)


def _points_read(text: str, units: str) -> tuple[tuple[float, ...], ...]:
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
