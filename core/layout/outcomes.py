"""Outcomes: what a lock comes to, in numbers that can be held against those of another lock.

Each part and check declares its own; `core.checks.gathered` puts them in their order.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from core.layout.layout import Layout
from core.units import show_angle

Kind = Literal["length", "angle", "area", "torque", "ratio"]


@dataclass(frozen=True)
class Outcome:
    """One number that follows from a lock; `of` may give None where the lock has no such thing.

    `name` is for scripts, `label` for people, `order` its place among all outcomes. It gets `better` with +1 the
    more there is of it, with -1 the less, with 0 neither way. `known_to` is how exactly it is worked out, in its
    unit: less is no change. `slow` marks one that takes a whole turn of the key to work out, and without `aim` nothing
    is ever changed for its sake alone.
    """

    name: str
    label: str
    order: int
    better: Literal[-1, 0, 1]
    of: Callable[[Layout], float | None]
    kind: Kind = "length"
    known_to: float = 1e-9
    slow: bool = False
    aim: bool = True

    def shown(self, layout: Layout, value: float | None) -> str:
        """Return `value` [mm, mm2, degrees, N mm or none] for reading, in the units of the layout's lock."""
        if value is None:
            return "none"
        match self.kind:
            case "angle":
                return show_angle(value)
            case "area":
                return layout.show_area(value)
            case "torque":
                return layout.show_torque(value)
            case "ratio":
                return f"{value:.2f}"
            case _:
                return layout.show(value)
