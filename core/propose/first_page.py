"""What a maker who begins a lock has: the first page's questions, and what follows from those answered so far.

What was not answered follows from what was, by common practice (no source): a plate a little higher than wide, its
shackle's end a few mm inside the wall on the side to which the bolt locks.
"""

from collections.abc import Iterable
from dataclasses import replace
from typing import ClassVar

from core.errors import BadEntryError
from core.lock.first_lock import first_lock
from core.lock.in_mirror import OTHER
from core.lock.lock import Lock, spec_of
from core.lock.numbers import Position
from core.lock.spec import Spec
from core.text import plain
from core.units import INCH, Side, parse_across

_SHAPED = {
    "round": (), "oval": ("plate.height",), "rectangle": ("plate.height", "plate.corner"),
    "shield": ("plate.height", "plate.straight"), "lobed": ("plate.height", "plate.lobe", "plate.notch"),
    "traced": ("plate.points",),
}  # fmt: skip
_SHARES = {
    "plate.height": 1.2, "plate.corner": 0.08, "plate.straight": 0.5, "plate.lobe": 0.24, "plate.notch": 0.08,
}  # fmt: skip
"""Sizes of the plate as shares of its width."""
_INSIDE = 2.5
"""How far [mm] inside the wall the shackle's end stands."""
END = "shackle.across"


class _ToLeft(Position):
    """A distance to the side on which the shackle's end lies; that side may be typed with it, the other may not."""

    side: ClassVar[Side] = "left"

    def read(self, spec: Spec, text: str, units: str) -> object:
        """Read a distance."""
        del spec
        size, side = parse_across(text, units)
        if side not in ("", self.side):
            raise BadEntryError(
                f"{plain(text)} is not allowed here: the bolt locks to the {self.side}, and there the shackle's end is"
            )
        return size


class _ToRight(_ToLeft):
    side = "right"


_TO_LEFT, _TO_RIGHT = _ToLeft(), _ToRight()


def questions(lock: Lock) -> tuple[str, ...]:
    """Return the paths that the first page asks for, in their order."""
    outline = lock.plate.outline
    width = () if outline == "traced" else ("plate.width",)
    return (
        "title", "units", "unlocks", "plate.outline", *width, *_SHAPED[outline], "plate.thickness",
        "shackle.diameter", END, "bolt.thickness", "fit.metal_min", "fit.key_max",
    )  # fmt: skip


def asked_as(lock: Lock, path: str) -> Spec:
    """Return what a question takes; the shackle's end is told as a distance, to the side to which the bolt locks."""
    spec = spec_of(path)
    if path == "fit.metal_min":
        return replace(spec, label="thinnest you file")
    if path != END:
        return spec
    side = OTHER[lock.unlocks]
    what = f"Middle of the shackle's end from the middle of the plate, to the {side}: there the bolt locks."
    kind = _TO_LEFT if side == "left" else _TO_RIGHT
    return Spec(kind, f"shackle end, {side}", what, spec.measure, spec.usual, 0.0, spec.high)


def answered(lock: Lock, path: str, value: object, typed: Iterable[str]) -> Lock:
    """Return the lock with a question answered; what is not among `typed` follows. Lengths in mm."""
    if path == "units":
        return _in_units(lock, str(value), typed)
    if path == END:
        distance = float(value) if isinstance(value, int | float) else 0.0
        value = -distance if lock.unlocks == "right" else distance
    other = lock.with_value(path, value)
    if other.unlocks != lock.unlocks:  # the lock in the mirror
        other = other.with_value(END, -other.shackle.across)
    return following(other, {*typed, path})


def following(lock: Lock, typed: Iterable[str]) -> Lock:
    """Return the lock in which what is not among `typed` follows from the rest."""
    known = set(typed)
    for path, share in _SHARES.items():
        if path not in known:
            lock = lock.with_value(path, _round(share * lock.plate.width, lock.units))
    if END not in known and lock.plate.outline != "traced":
        shackle, plate = lock.shackle, lock.plate
        inside = _round(plate.width / 2 - plate.rim - shackle.diameter / 2 - _INSIDE, lock.units)
        lock = lock.with_value(END, -inside if lock.unlocks == "right" else inside)
    return lock


def _in_units(lock: Lock, units: str, typed: Iterable[str]) -> Lock:
    """Return a new lock in other units, with the answers that were typed."""
    other = first_lock(units)
    for path in {*typed} - {"units"}:
        other = other.with_value(path, lock.value(path))
    return following(other, typed)


def _round(value: float, units: str) -> float:
    step = float(INCH) / 16 if units == "in" else 1.0
    return round(max(round(value / step), 1) * step, 9)
