"""Rivets and plugs by equal volume: the metal that fills the hole and makes the heads is the metal of the shank.

Lengths in mm, angles in degrees. A length is what the heads and the hole take and no more: for dressing off, add.
Source: volumes of the sphere's cap and of the cone's frustum; shapes of heads in `shared/rivets.toml`.
"""

import math


def snap_volume(diameter: float, height: float) -> float:
    """Return the volume [mm3] of a snap head, a cap of a sphere: `pi h (3 a^2 + h^2) / 6`, a half its diameter."""
    return math.pi * height * (0.75 * diameter**2 + height**2) / 6


def sink_depth(outer: float, hole: float, angle: float) -> float:
    """Return how deep a countersink of an included angle goes from the hole's diameter to its outer one.

    >>> round(sink_depth(4.5, 3.2, 60.0), 5)
    1.12583
    """
    return (outer - hole) / 2 / math.tan(math.radians(angle / 2))


def frustum_volume(outer: float, hole: float, depth: float) -> float:
    """Return the volume [mm3] of a countersink between two diameters."""
    return math.pi / 12 * depth * (outer**2 + outer * hole + hole**2)


def in_shank(volume: float, rivet: float) -> float:
    """Return the length of a shank of a diameter that holds a volume [mm3].

    >>> round(in_shank(snap_volume(1.6, 0.7), 1.0), 6)
    1.124667
    """
    return volume / (math.pi / 4 * rivet**2)


def sunk_beyond_grip(rivet: float, outer: float, angle: float) -> float:
    """Return the length that a flush countersunk head takes beyond the grip, in a hole of the rivet's own diameter.

    >>> round(sunk_beyond_grip(1.0, 1.5, 60.0), 6)
    0.252591
    """
    depth = sink_depth(outer, rivet, angle)
    return in_shank(frustum_volume(outer, rivet, depth), rivet) - depth


def snap_length(rivet: float, hole: float, grip: float, diameter: float, height: float) -> float:
    """Return the shank that fills a hole through the grip and makes one snap head of a diameter and a height.

    >>> round(snap_length(3.0, 3.2, 7.0, 4.8, 2.1), 3)
    11.338
    """
    return grip * (hole / rivet) ** 2 + in_shank(snap_volume(diameter, height), rivet)


def sunk_length(
    rivet: float, hole: float, grip: float, outer: float, angle: float, proud: float
) -> float:
    """Return the length of a pin that fills a hole countersunk at both ends and stands proud of each.

    Raises
    ------
    ValueError
        Where the two countersinks meet: there is no hole left between them.

    >>> round(sunk_length(3.0, 3.2, 7.0, 4.5, 60.0, 0.3), 3)
    10.496
    """
    depth = sink_depth(outer, hole, angle)
    if 2 * depth > grip:
        raise ValueError("The countersinks meet inside the grip: sink them less.")
    between = (grip - 2 * depth) * (hole / rivet) ** 2
    sinks = 2 * in_shank(frustum_volume(outer, hole, depth), rivet)
    return between + sinks + 2 * proud * (outer / rivet) ** 2


def plug_length(
    plug: float, hole: float, plate: float, wide: float, deep: float, proud: float
) -> float:
    """Return the length of a plug for a stray hole opened to `wide`, `deep` at each face; it stands proud of both.

    Raises
    ------
    ValueError
        Where the two counterbores meet: there is no hole left between them.

    >>> round(plug_length(5.9, 6.0, 2.0, 8.0, 0.5, 0.2), 3)
    3.608
    """
    if 2 * deep > plate:
        raise ValueError("The counterbores meet inside the plate: bore them less deep.")
    return (hole**2 * (plate - 2 * deep) + 2 * wide**2 * (deep + proud)) / plug**2
