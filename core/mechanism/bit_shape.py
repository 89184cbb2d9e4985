"""The bit as it was filed: two faces, each by itself, under the round tip, and the corners between them.

Seen by one stroke, the bit pointing up: `lead` is the side of the face that pushes, to +x. Lengths in mm.
"""

import math
from dataclasses import dataclass, replace

import numpy as np

from core.mechanism.maths import Array

_NO_ARC = 1e-9
"""Angle [rad] of an arc that is none: rounding."""


@dataclass(frozen=True)
class BitShape:
    """A bit whose tip lies on a circle of `radius` [mm], its faces `lead` [mm] and `trail` [mm] from its axis.

    Its corners are `rounded` [mm] to that radius, by an arc that runs into face and tip; 0 for sharp ones.

    Source: plane geometry.
    Valid: for faces on both sides of the axis, within the circle.

    Example, a bit of 20 x 3 that stands 0.5 off its middle, and where its leading corner is, sqrt(20^2 - 2^2) up:
    >>> bit = BitShape.even(20.0, 1.5).moved(0.5)
    >>> bit.lead, bit.trail, bit.corners(3)[2].round(4).tolist(), bit.faces[0]
    (2.0, 1.0, [2.0, 19.8997], (2.0, 19.8997))
    >>> [round(math.degrees(angle), 4) for angle in bit.tip]
    [-2.866, 5.7392]

    With its corners rounded by 0.5 their middles lie on the circle of radius 19.5, sqrt(19.5^2 - 1.5^2) up:
    >>> soft = bit.with_corners(0.5)
    >>> soft.faces[0], soft.middles[0], soft.within
    ((2.0, 19.4422), (1.5, 19.4422), 19.5)
    """

    radius: float
    lead: float
    trail: float
    rounded: float = 0.0

    @classmethod
    def even(cls, radius: float, half_bit: float) -> "BitShape":
        """Return the bit [mm] with both faces `half_bit` [mm] from its axis, under a `radius` [mm].

        Source: the design's bit.
        Valid: as `BitShape`.

        Example, the design's check values, first row:
        >>> BitShape.even(20.0, 1.5)
        BitShape(radius=20.0, lead=1.5, trail=1.5, rounded=0.0)
        """
        half = min(half_bit, radius)
        return cls(radius, half, half)

    def moved(self, by: float) -> "BitShape":
        """Return the bit [mm] with both faces moved `by` [mm] towards the leading side.

        Source: plane geometry.
        Valid: for any; a face goes no farther out than the key's circle.

        Example, of a bit 3 thick:
        >>> BitShape.even(20.0, 1.5).moved(-0.5)
        BitShape(radius=20.0, lead=1.0, trail=2.0, rounded=0.0)
        """
        lead, trail = (
            min(max(side, -self.radius), self.radius) for side in (self.lead + by, self.trail - by)
        )
        return replace(self, lead=lead, trail=trail)

    def with_corners(self, rounded: float) -> "BitShape":
        """Return the bit [mm] with its corners `rounded` [mm]; at half its thickness it is round all over.

        Source: plane geometry; two rounded corners take up as much of the thickness as both radii.
        Valid: for any; no corner is rounded by more than half the bit's thickness.

        Example, of a bit 3 thick:
        >>> [BitShape.even(20.0, 1.5).with_corners(by).rounded for by in (0.4, 7.0)]
        [0.4, 1.5]
        """
        return replace(self, rounded=min(max(rounded, 0.0), max(self.lead + self.trail, 0.0) / 2))

    def mirrored(self) -> "BitShape":
        """Return the bit [mm] as the other stroke sees it.

        Source: the locking stroke is the mirror image of unlocking.
        Valid: as `BitShape`.

        Example:
        >>> BitShape(20.0, 1.0, 2.0).mirrored()
        BitShape(radius=20.0, lead=2.0, trail=1.0, rounded=0.0)
        """
        return replace(self, lead=self.trail, trail=self.lead)

    @property
    def within(self) -> float:
        """Radius [mm] of the circle on which the middles of the rounded corners lie; the key's for sharp ones."""
        return self.radius - self.rounded

    @property
    def middles(self) -> tuple[tuple[float, float], ...]:
        """The middles of both rounded corners [mm], x and y, the leading one first; of sharp ones the corners."""
        xs = self.lead - self.rounded, self.rounded - self.trail
        return tuple((x, math.sqrt(max(self.within**2 - x**2, 0.0))) for x in xs)

    @property
    def faces(self) -> tuple[tuple[float, float], ...]:
        """Each face by its x and how far out along it it is straight [mm], the leading one first."""
        (_, lead), (_, trail) = self.middles
        return (self.lead, lead), (-self.trail, trail)

    @property
    def tip(self) -> tuple[float, float]:
        """From where to where the tip is round: the angles [rad] of its ends, from the trailing to the leading side."""
        (lead, _), (trail, _) = self.middles
        return math.asin(trail / self.within), math.asin(lead / self.within)

    def corners(self, points: int) -> Array:
        """Return the outline [mm], x and y, shape (m, 2), with so many `points` [none] along the tip.

        From the trailing end of the tip to the leading one, then down both faces to the pivot; a rounded corner takes
        three times as many.

        Source: plane geometry; the chords of tip and corners lie inside them.
        Valid: for two points at least.

        Example, the design's check values, first row:
        >>> BitShape.even(20.0, 1.5).corners(2).round(4).tolist()
        [[-1.5, 19.9437], [1.5, 19.9437], [1.5, 0.0], [-1.5, 0.0]]
        """
        first, last = self.tip
        # what two arcs end on is there once, and a bit that is round all over has no tip between them
        tip = np.linspace(first, last, points) if last - first > _NO_ARC else np.array([first])
        x, y = [self.radius * np.sin(tip)], [self.radius * np.cos(tip)]
        if self.rounded > 0:
            lead, trail = self.middles
            turns = (
                np.linspace(-math.pi / 2, first, 3 * points),
                np.linspace(last, math.pi / 2, 3 * points),
            )
            for at, turn, where in ((trail, turns[0][:-1], 0), (lead, turns[1][1:], 2)):
                x.insert(where, at[0] + self.rounded * np.sin(turn))
                y.insert(where, at[1] + self.rounded * np.cos(turn))
        x.append(np.array([self.lead, -self.trail]))
        y.append(np.zeros(2))
        return np.stack([np.concatenate(x), np.concatenate(y)], axis=-1)
