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


@dataclass(frozen=True)
class Load:
    """One load on the bolt. It acts `at` a place that stands still, in the drive frame [mm]."""

    at: "Point"
    force: Force
