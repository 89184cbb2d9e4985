"""Flat springs of strip: held at one end and pushed at the other, or resting on two ends and pushed in the middle.

Lengths in mm, forces in N, stresses and Young's modulus in MPa; small deflections, up to about a tenth of the length.
Source: the beam tables of any handbook, such as Machinery's Handbook, 27th ed., flat springs; Shigley, table A-9
(memory).
"""

from dataclasses import dataclass

from core.mechanism.strength import bending_stress, cantilever_rate, rate_on_two_ends, second_moment


@dataclass(frozen=True)
class FlatSpring:
    """A strip of one width and thickness [mm]; `length` [mm] is free, from the root to the tip or from end to end.

    `on_two_ends`: it rests on both ends and is pushed in the middle; else it is held at the root and pushed at the tip.

    >>> held = FlatSpring(width=6.0, thickness=0.5, length=30.0, modulus=205e3)
    >>> round(held.rate, 6), round(held.force(3.107317), 4), round(held.stress(3.107317), 1)
    (1.423611, 4.4236, 530.8)
    >>> across = FlatSpring(width=6.0, thickness=0.5, length=30.0, modulus=205e3, on_two_ends=True)
    >>> round(across.rate, 5)
    22.77778
    """

    width: float
    thickness: float
    length: float
    modulus: float
    on_two_ends: bool = False

    @property
    def rate(self) -> float:
        """Force for each mm of deflection [N/mm]."""
        bent = second_moment(self.width, self.thickness)
        if self.on_two_ends:
            return rate_on_two_ends(bent, self.length, self.modulus)
        return cantilever_rate(bent, self.length, self.modulus)

    def force(self, deflection: float) -> float:
        """Return the force [N] at a deflection [mm]."""
        return self.rate * deflection

    def deflection(self, force: float) -> float:
        """Return the deflection [mm] under a force [N]."""
        return force / self.rate

    def stress(self, deflection: float) -> float:
        """Return the greatest stress [MPa] at a deflection [mm]: at the root, or in the middle of two ends.

        `3 E t x / (2 L^2)` at a root, `6 E t x / L^2` between two ends.
        """
        arm = self.length / 4 if self.on_two_ends else self.length
        return bending_stress(self.force(deflection) * arm, self.width, self.thickness)

    def furthest(self, stress: float) -> float:
        """Return the deflection [mm] at which the greatest stress comes to `stress` [MPa]."""
        return stress / self.stress(1.0)
