"""Flat springs of strip: held at one end and pushed at the other, or resting on two ends and pushed in the middle.

Lengths in mm, forces in N, stresses and Young's modulus in MPa.
"""

from dataclasses import dataclass
from typing import Generic

from core.mechanism.maths import N
from core.mechanism.strength import (
    bending_force,
    bending_stress,
    cantilever_rate,
    rate_on_two_ends,
    second_moment,
)


@dataclass(frozen=True)
class FlatSpring(Generic[N]):
    """A strip of one section, numbers or arrays of shapes that broadcast.

    Its `width` [mm] and `thickness` [mm], its free `length` [mm] from the root to the tip or from end to end, and
    Young's `modulus` [MPa], any shape. `on_two_ends` [none]: it rests on both ends and is pushed in the middle; else
    it is held at the root and pushed at the tip.

    Source: the beam tables of any handbook, such as Machinery's Handbook, 27th ed., flat springs; Shigley, table A-9
    (memory). The greatest stress is `3 E t x / (2 L^2)` at a root, `6 E t x / L^2` between two ends.
    Valid: up to the yield and for deflections up to about a tenth of the length; sizes above 0.

    Example, 6 x 0.5 x 30 under 3 N, the design's reference values and values for springs, and at 530.83 MPa:
    >>> held = FlatSpring(width=6.0, thickness=0.5, length=30.0, modulus=205e3)
    >>> held.rate, held.deflection(3.0), held.stress(2.107317), held.furthest(530.83)
    (1.423611, 2.107317, 360.0, 3.1073)
    >>> across = FlatSpring(width=6.0, thickness=0.5, length=30.0, modulus=205e3, on_two_ends=True)
    >>> across.rate / 16, across.arm
    (1.423611, 7.5)

    A millimetre more, there 4.423611 N:
    >>> import numpy as np
    >>> held.force(2.107317 + np.array([0.0, 1.0])).tolist()
    [3.0, 4.423611]
    """

    width: N
    thickness: N
    length: N
    modulus: N
    on_two_ends: bool = False

    @property
    def rate(self) -> N:
        """Force for each mm of deflection [N / mm], shape of the strip."""
        bent = second_moment(self.width, self.thickness)
        if self.on_two_ends:
            return rate_on_two_ends(bent, self.length, self.modulus)
        return cantilever_rate(bent, self.length, self.modulus)

    @property
    def arm(self) -> N:
        """Greatest moment for each N of force [mm], shape of the strip: at the root, or in the middle of two ends."""
        return self.length / 4 if self.on_two_ends else self.length

    def force(self, deflection: N) -> N:
        """Return the force [N], shape of all, at a `deflection` [mm], any shape."""
        return self.rate * deflection

    def deflection(self, force: N) -> N:
        """Return the deflection [mm], shape of all, under a `force` [N], any shape."""
        return force / self.rate

    def stress(self, deflection: N) -> N:
        """Return the greatest stress [MPa], shape of all, at a `deflection` [mm], any shape."""
        return bending_stress(self.force(deflection) * self.arm, self.width, self.thickness)

    def furthest(self, stress: N) -> N:
        """Return the deflection [mm], shape of all, at which the greatest stress comes to `stress` [MPa], any shape."""
        return self.deflection(bending_force(stress, self.arm, self.width, self.thickness))
