"""Rivets and plugs by equal volume: the metal that fills the hole and makes the heads is the metal of the shank.

A length is what the heads and the hole take and no more: for dressing off, add. Lengths in mm, angles in radians;
numbers, or arrays of shapes that broadcast to the result's. Where what is sunk from both faces meets, a number is
refused and an array's entry is NaN. Shapes of heads: `shared/rivets.toml`.
"""

import math
from typing import Any

import numpy as np

from core.mechanism.maths import N, maths
from core.mechanism.strength import round_area


def snap_volume(diameter: N, height: N) -> N:
    """Return the volume [mm3], any shape, of a snap head, a cap of a sphere.

    Of a `diameter` [mm] and a `height` [mm], any shape.

    Source: `pi h (3 a^2 + h^2) / 6`, a half the diameter: solid geometry, any handbook.
    Valid: for a head as high as wide and below.

    Example, BS 275's 1.6 d by 0.7 d takes 1.124667 d of shank, the design's values:
    >>> in_shank(snap_volume(1.6, 0.7), 1.0)
    1.124667
    """
    return math.pi * height * (0.75 * diameter**2 + height**2) / 6


def sink_depth(outer: N, hole: N, angle: N) -> N:
    """Return how deep [mm], any shape, a countersink goes from the hole's diameter to its outer one.

    From `outer` [mm] to `hole` [mm], any shape, by an included `angle` [rad], any shape.

    Source: the right triangle, `(D - d) / 2 / tan(a / 2)`.
    Valid: for an angle above 0 and below pi.

    Example, 4.5 on a hole of 3.2 at 60 degrees, the design's values:
    >>> sink_depth(4.5, 3.2, math.radians(60.0))
    1.12583
    """
    return (outer - hole) / 2 / maths(outer, hole, angle).tan(angle / 2)


def frustum_volume(outer: N, hole: N, depth: N) -> N:
    """Return the volume [mm3], any shape, of a countersink between two diameters.

    From `outer` [mm] to `hole` [mm] over a `depth` [mm], any shape.

    Source: `pi h (D^2 + D d + d^2) / 12`: solid geometry, any handbook.
    Valid: for any diameters.

    Example, a cone of 3 across its foot and 4 high is a third of its cylinder, Euclid XII.10:
    >>> frustum_volume(3.0, 0.0, 4.0) / (round_area(3.0) * 4.0)
    0.333333
    """
    return math.pi / 12 * depth * (outer**2 + outer * hole + hole**2)


def in_shank(volume: N, rivet: N) -> N:
    """Return the length [mm], any shape, of a shank that holds a volume.

    A `volume` [mm3] in a diameter `rivet` [mm], any shape.

    Source: equal volumes.
    Valid: for a diameter above 0.

    Example, the head of `snap_volume`, the design's values, in shanks of 1 and 2:
    >>> in_shank(snap_volume(np.array([1.6, 3.2]), np.array([0.7, 1.4])), np.array([1.0, 2.0])).tolist()
    [1.124667, 2.249334]
    """
    return volume / round_area(rivet)


def sunk_beyond_grip(rivet: N, outer: N, angle: N) -> N:
    """Return the length [mm], any shape, that a flush countersunk head takes beyond the grip.

    In a hole of the diameter `rivet` [mm] of the shank, sunk to `outer` [mm], any shape, by an `angle` [rad], any
    shape.

    Source: equal volumes: the frustum less the shank as long.
    Valid: for an outer diameter from the rivet's up; an angle above 0 and below pi.

    Example, 1.5 d at 60 degrees takes 0.252591 d, the design's values:
    >>> sunk_beyond_grip(1.0, 1.5, math.radians(60.0))
    0.252591
    """
    depth = sink_depth(outer, rivet, angle)
    return in_shank(frustum_volume(outer, rivet, depth), rivet) - depth


def snap_length(rivet: N, hole: N, grip: N, diameter: N, height: N) -> N:
    """Return the shank [mm], any shape, that fills a hole and makes one snap head.

    A `rivet` [mm] in a `hole` [mm] through the `grip` [mm]; the head's `diameter` [mm] and `height` [mm], any shape.

    Source: equal volumes, `grip (d_h / d)^2` and the head.
    Valid: for a hole from the rivet's diameter up.

    Example, d 3 in 3.2 through 7, BS 275's head of 4.8 by 2.1, the design's values:
    >>> snap_length(3.0, 3.2, 7.0, 4.8, 2.1)
    11.338
    """
    return grip * (hole / rivet) ** 2 + in_shank(snap_volume(diameter, height), rivet)


def sunk_length(rivet: N, hole: N, grip: N, outer: N, angle: N, proud: N) -> N:
    """Return the length [mm], any shape, of a pin that fills a hole countersunk at both ends and stands proud of each.

    A `rivet` [mm] in a `hole` [mm] through the `grip` [mm], sunk to `outer` [mm], any shape, by an `angle` [rad],
    any shape; `proud` [mm], any shape, of each face. A number raises ValueError where the countersinks meet.

    Source: equal volumes: the hole between the sinks, the two frustums, the heads that stand proud.
    Valid: while there is hole left between the countersinks.

    Example, d 3 in 3.2 through 7, sunk to 4.5 at 60 degrees, 0.3 proud, the design's values; through 2 they meet:
    >>> sunk_length(3.0, 3.2, np.array([7.0, 2.0]), 4.5, math.radians(60.0), 0.3).tolist()
    [10.496, nan]
    """
    depth = sink_depth(outer, hole, angle)
    between = (grip - 2 * depth) * (hole / rivet) ** 2
    sinks = 2 * in_shank(frustum_volume(outer, hole, depth), rivet)
    length = between + sinks + 2 * proud * (outer / rivet) ** 2
    said = "The countersinks meet inside the grip: sink them less."
    return _unless(2 * depth > grip, length, said)


def plug_length(plug: N, hole: N, plate: N, wide: N, deep: N, proud: N) -> N:
    """Return the length [mm], any shape, of a plug for a stray hole that is counterbored at both faces.

    A `plug` [mm] in a `hole` [mm] through a `plate` [mm], counterbored `wide` [mm] and `deep` [mm] at each face, and
    `proud` [mm] of both, any shape. A number raises ValueError where the counterbores meet.

    Source: equal volumes, `[d_h^2 (t - 2 h) + 2 D^2 (h + p)] / d_p^2`.
    Valid: while there is hole left between the counterbores.

    Example, 5.9 in 6 through 2, bored 8 wide and 0.5 deep, 0.2 proud, the design's values:
    >>> plug_length(5.9, 6.0, 2.0, 8.0, 0.5, 0.2)
    3.608
    """
    length = (hole**2 * (plate - 2 * deep) + 2 * wide**2 * (deep + proud)) / plug**2
    said = "The counterbores meet inside the plate: bore them less deep."
    return _unless(2 * deep > plate, length, said)


def _unless(meet: Any, length: N, said: str) -> N:
    """Return a length [mm] unless what is sunk from both faces meets: then a number is refused, an entry is NaN."""
    if np.ndim(meet) == 0 and meet:
        raise ValueError(said)
    return maths(length).where(meet, math.nan, length)
