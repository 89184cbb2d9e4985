"""Stresses in bars, pins and strips: torsion, shear, bending; and how far a strip gives.

Straight bars of one section, small deflections, linear elastic: beyond the yield none of this holds. Lengths in mm,
forces in N, moments in N mm, stresses and Young's modulus in MPa; numbers, or arrays of shapes that broadcast to the
result's.
"""

import math

from core.mechanism.maths import N

SHEAR_SHARE = 1 / math.sqrt(3)
"""Yield in shear as a share of the yield in tension (von Mises)."""


def torsion_stress(torque: N, diameter: N) -> N:
    """Return the shear stress [MPa], any shape, at the skin of a round shank.

    Of a `diameter` [mm] under a `torque` [N mm], any shape.

    Source: `16 T / (pi d^3)`: Shigley, Mechanical Engineering Design, 10th ed., chapter 3 (memory).
    Valid: for a solid shank of a diameter above 0.

    Example, d 5 and 2 N m of the design's reference values, where finite elements give 81.55; and half the torque:
    >>> import numpy as np
    >>> torsion_stress(2000.0, 5.0), torsion_stress(np.array([2000.0, 1000.0]), 5.0).tolist()
    (81.487, [81.487, 40.744])
    """
    return 16 * torque / (math.pi * diameter**3)


def shear_stress(force: N, area: N, planes: int = 1) -> N:
    """Return the mean shear stress [MPa], any shape, where sections share a force.

    A `force` [N] on as many `planes` [none] as shear, each of an `area` [mm2], any shape.

    Source: `F / (n A)`: Shigley, chapter 3 (memory).
    Valid: for pins that fit, so that they shear and do not bend; an area above 0.

    Example, 500 N on a pin of 3 mm in double shear, the design's reference values:
    >>> shear_stress(500.0, round_area(3.0), planes=2)
    35.368
    """
    return force / (planes * area)


def shear_force(yield_stress: N, area: N, planes: int = 1) -> N:
    """Return the force [N], any shape, at which sections begin to yield in shear.

    Of a `yield_stress` [MPa] in tension, on as many `planes` [none] as shear, each of an `area` [mm2], any shape.

    Source: von Mises, `s / sqrt(3)` in shear: Shigley, chapter 5 (memory).
    Valid: as `shear_stress`.

    Example, a nose of 3 x 6 in brass of 140 MPa, the design's values for the shackle:
    >>> round(shear_force(140.0, 3.0 * 6.0))
    1455
    """
    return yield_stress * SHEAR_SHARE * planes * area


def round_area(diameter: N) -> N:
    """Return the area [mm2], any shape, of a round section of a `diameter` [mm], any shape.

    Source: `pi d^2 / 4`, plane geometry.
    Valid: for any diameter.

    Example, a bar of 7 mm whole: with the chord's segment of 2.8 taken out 24.109 are left (the design's values):
    >>> from core.mechanism.circle_segments import segment_area
    >>> round_area(7.0) - segment_area(3.5, 2.8)
    24.109
    """
    return math.pi / 4 * diameter**2


def second_moment(width: N, thickness: N) -> N:
    """Return the second moment of area [mm4], any shape, of a strip bent through its thickness.

    Of a `width` [mm] and `thickness` [mm], any shape.

    Source: `w t^3 / 12`: any handbook, such as Shigley, table A-18 (memory).
    Valid: for any strip.

    Example, 6 x 0.5, whose rate at 30 mm the design's reference values give as 1.42361 N/mm:
    >>> cantilever_rate(second_moment(6.0, 0.5), 30.0, 205e3)
    1.42361
    """
    return width * thickness**3 / 12


def bending_stress(moment: N, width: N, thickness: N) -> N:
    """Return the stress [MPa], any shape, at the skin of a strip bent through its thickness.

    By a `moment` [N mm], of a `width` [mm] and `thickness` [mm], any shape.

    Source: `6 M / (w t^2)`, the flexure formula `M c / I`: Shigley, chapter 3 (memory).
    Valid: up to the yield, for a strip of some width and thickness.

    Example, a bit's root of 3 x 6 under 100 N at 17 mm, the design's values:
    >>> bending_stress(100.0 * 17.0, 6.0, 3.0)
    188.89
    """
    return 6 * moment / (width * thickness**2)


def bending_force(yield_stress: N, arm: N, width: N, thickness: N) -> N:
    """Return the force [N], any shape, at which the skin of a strip begins to yield.

    Of a `yield_stress` [MPa], on an `arm` [mm], of a `width` [mm] and `thickness` [mm], any shape.

    Source: `bending_stress`, solved for the force.
    Valid: for an arm above 0.

    Example, a nose of 3 x 6 in brass of 140 MPa on an arm of 4.5, the design's values for the shackle:
    >>> round(bending_force(140.0, 4.5, 3.0, 6.0))
    560
    """
    return yield_stress * width * thickness**2 / (6 * arm)


def cantilever_rate(second_moment: N, length: N, modulus: N) -> N:
    """Return the force for each mm of deflection [N / mm], any shape, at the end of a bar held at the other end.

    Of a `second_moment` [mm4] of area, a free `length` [mm] and Young's `modulus` [MPa], any shape.

    Source: `3 E I / L^3`: Shigley, table A-9, case 1 (memory).
    Valid: for deflections up to about a tenth of the length; a length above 0.

    Example, 8196 cm4, 5 m, 200 GPa and 3000 N bend by 7.6 mm in an online toolbox for engineers (seen):
    >>> round(3000.0 / cantilever_rate(8196e4, 5000.0, 200e3), 1)
    7.6
    """
    return 3 * modulus * second_moment / length**3


def rate_on_two_ends(second_moment: N, span: N, modulus: N) -> N:
    """Return the force for each mm of deflection [N / mm], any shape, in the middle of a bar on two ends.

    Of a `second_moment` [mm4] of area, a `span` [mm] from end to end and Young's `modulus` [MPa], any shape.

    Source: `48 E I / L^3`: Shigley, table A-9, case 5 (memory).
    Valid: for ends that slide and turn, deflections up to about a tenth of the span; a span above 0.

    Example, each half is a bar held in the middle that takes half the force: the rate of two of half the length,
    2 x 2^3 times 1.42361 N/mm of the design's reference values:
    >>> rate_on_two_ends(second_moment(6.0, 0.5), 30.0, 205e3) / 16
    1.42361
    """
    return 48 * modulus * second_moment / span**3
