"""The bit as it was filed: two faces, each by itself, under the round tip.

Seen by one stroke, the bit pointing up: `lead` is the side of the face that pushes, to +x. Lengths in mm.
"""

import math
from dataclasses import dataclass

import numpy as np

from core.mechanism.maths import Array


@dataclass(frozen=True)
class BitShape:
    """A bit whose tip lies on a circle of `radius` [mm], its faces `lead` [mm] and `trail` [mm] from its axis.

    Source: plane geometry.
    Valid: for faces on both sides of the axis, within the circle.

    Example, a bit of 20 x 3 that stands 0.5 off its middle, and where its leading corner is, sqrt(20^2 - 2^2) up:
    >>> bit = BitShape.even(20.0, 1.5).moved(0.5)
    >>> bit.lead, bit.trail, bit.corners(3)[2].round(4).tolist(), bit.faces[0]
    (2.0, 1.0, [2.0, 19.8997], (2.0, 19.8997))
    >>> [round(math.degrees(angle), 4) for angle in bit.tip]
    [-2.866, 5.7392]
    """

    radius: float
    lead: float
    trail: float

    @classmethod
    def even(cls, radius: float, half_bit: float) -> "BitShape":
        """Return the bit [mm] with both faces `half_bit` [mm] from its axis, under a `radius` [mm].

        Source: the design's bit.
        Valid: as `BitShape`.

        Example, the design's check values, first row:
        >>> BitShape.even(20.0, 1.5)
        BitShape(radius=20.0, lead=1.5, trail=1.5)
        """
        half = min(half_bit, radius)
        return cls(radius, half, half)

    def moved(self, by: float) -> "BitShape":
        """Return the bit [mm] with both faces moved `by` [mm] towards the leading side.

        Source: plane geometry.
        Valid: for any; a face goes no farther out than the key's circle.

        Example, of a bit 3 thick:
        >>> BitShape.even(20.0, 1.5).moved(-0.5)
        BitShape(radius=20.0, lead=1.0, trail=2.0)
        """
        lead, trail = (
            min(max(side, -self.radius), self.radius) for side in (self.lead + by, self.trail - by)
        )
        return BitShape(self.radius, lead, trail)

    def mirrored(self) -> "BitShape":
        """Return the bit [mm] as the other stroke sees it.

        Source: the locking stroke is the mirror image of unlocking.
        Valid: as `BitShape`.

        Example:
        >>> BitShape(20.0, 1.0, 2.0).mirrored()
        BitShape(radius=20.0, lead=2.0, trail=1.0)
        """
        return BitShape(self.radius, self.trail, self.lead)

    @property
    def faces(self) -> tuple[tuple[float, float], ...]:
        """Each face by its x and how far out along it it is straight [mm], the leading one first."""
        return tuple(
            (x, math.sqrt(max(self.radius**2 - x**2, 0.0))) for x in (self.lead, -self.trail)
        )

    @property
    def tip(self) -> tuple[float, float]:
        """From where to where the tip is round: the angles [rad] of its ends, from the trailing to the leading side."""
        return -math.asin(self.trail / self.radius), math.asin(self.lead / self.radius)

    def corners(self, points: int) -> Array:
        """Return the outline [mm], x and y, shape (m, 2), with so many `points` [none] along the tip.

        From the trailing end of the tip to the leading one, then down both faces to the pivot.

        Source: plane geometry; the chords of the tip lie inside the key's circle.
        Valid: for two points at least.

        Example, the design's check values, first row:
        >>> BitShape.even(20.0, 1.5).corners(2).round(4).tolist()
        [[-1.5, 19.9437], [1.5, 19.9437], [1.5, 0.0], [-1.5, 0.0]]
        """
        tip = np.linspace(*self.tip, points)
        x = np.concatenate([self.radius * np.sin(tip), [self.lead, -self.trail]])
        y = np.concatenate([self.radius * np.cos(tip), [0.0, 0.0]])
        return np.stack([x, y], axis=-1)
