"""Loads: what holds the bolt back or presses on it while the key drives it.

A part of the lock states its own loads (`Part.loads`); the statics add them up.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from core.geometry.path import Point
    from core.mechanism.law import Stroke
    from core.mechanism.maths import Array

Force = Callable[["Stroke", "Array", "Array"], "tuple[Array | float, Array | float]"]
"""From the stroke, the bolt's travel [mm] and the coefficient of friction, whose shapes broadcast, to the
force [N] against the motion and the force [N] down."""


Place = Callable[["Array"], "tuple[Array | float, Array | float]"]
"""From the bolt's travel [mm] to the place where a load acts, in the drive frame [mm]."""


@dataclass(frozen=True)
class Load:
    """One load on the bolt. It acts `at` a place that stands still, in the drive frame [mm], or goes with the travel.

    A force against the motion that is NaN is one that nothing overcomes: there the bolt jams.
    """

    at: "Point | Place"
    force: Force

    def place(self, travel: "Array") -> "tuple[Array | float, Array | float]":
        """Return where it acts at a travel of the bolt [mm], in the drive frame [mm]."""
        return self.at(travel) if callable(self.at) else self.at
