"""Stresses in bars, pins and strips: torsion, shear, bending; and how far a strip gives.

Straight bars of one section, small deflections, linear elastic: beyond the yield none of this holds. Lengths in mm,
forces in N, moments in N mm, stresses and Young's modulus in MPa. Source: elementary strength of materials, such as
Shigley, Mechanical Engineering Design, 10th ed., chapters 3 and 4 (memory); worked examples in the tests.
"""

import math

SHEAR_SHARE = 1 / math.sqrt(3)
"""Yield in shear as a share of the yield in tension (von Mises)."""


def torsion_stress(torque: float, diameter: float) -> float:
    """Return the shear stress [MPa] at the skin of a round shank [mm] under a torque [N mm]: `16 T / (pi d^3)`.

    >>> round(torsion_stress(2000.0, 5.0), 3)
    81.487
    """
    return 16 * torque / (math.pi * diameter**3)


def shear_stress(force: float, area: float, planes: int = 1) -> float:
    """Return the mean shear stress [MPa] where `planes` sections, each of an area [mm2], share a force [N].

    >>> round(shear_stress(500.0, round_area(3.0), planes=2), 3)
    35.368
    """
    return force / (planes * area)


def shear_force(yield_stress: float, area: float, planes: int = 1) -> float:
    """Return the force [N] at which `planes` sections, each of an area [mm2], begin to yield in shear (von Mises).

    >>> round(shear_force(140.0, 3.0 * 6.0))
    1455
    """
    return yield_stress * SHEAR_SHARE * planes * area


def round_area(diameter: float) -> float:
    """Return the area [mm2] of a round section of a diameter [mm]."""
    return math.pi / 4 * diameter**2


def second_moment(width: float, thickness: float) -> float:
    """Return the second moment of area [mm4] of a strip bent through its thickness [mm]: `w t^3 / 12`."""
    return width * thickness**3 / 12


def bending_stress(moment: float, width: float, thickness: float) -> float:
    """Return the stress [MPa] at the skin of a strip bent through its thickness by a moment [N mm]: `6 M / (w t^2)`.

    >>> round(bending_stress(100.0 * 17.0, 6.0, 3.0), 2)
    188.89
    """
    return 6 * moment / (width * thickness**2)


def bending_force(yield_stress: float, arm: float, width: float, thickness: float) -> float:
    """Return the force [N] on an arm [mm] at which the skin of a strip begins to yield.

    >>> round(bending_force(140.0, 4.5, 3.0, 6.0))
    560
    """
    return yield_stress * width * thickness**2 / (6 * arm)


def cantilever_rate(second_moment: float, length: float, modulus: float) -> float:
    """Return the force for each mm of deflection [N/mm] at the end of a bar held at the other end: `3 E I / L^3`."""
    return 3 * modulus * second_moment / length**3


def rate_on_two_ends(second_moment: float, span: float, modulus: float) -> float:
    """Return the force for each mm [N/mm] in the middle of a bar on two ends, a span apart: `48 E I / L^3`."""
    return 48 * modulus * second_moment / span**3
