"""Where the dimensions of key and pivot lie in the drawing, and how far off each may come out."""

import math

from core.layout.extents import Ends, Extents, along, over, up
from core.layout.layout import Layout
from core.parts.tooth import tooth

_ON_BIT = 0.85
"""How far out on the key's radius what is measured across the bit is drawn, as a share of it."""


def _across(layout: Layout) -> Ends:
    pivot = layout.lock.pivot
    return (0.0, -pivot.below), (pivot.across, -pivot.below)


def _pickup(layout: Layout) -> Ends:
    cut = tooth(layout)
    r, a = cut.radius, cut.pickup_angle
    return (0.0, r), (-r * math.sin(a), r * math.cos(a))


def _bit(layout: Layout) -> Ends:
    return over(0.0, -_ON_BIT * layout.lock.key.radius, layout.lock.key.bit_thickness)


def _off_bit(layout: Layout, by: float) -> Ends:
    key = layout.lock.key
    return along(key.bit_thickness / 2, -_ON_BIT * key.radius, by)


EXTENTS = Extents(
    lock={
        "pivot.hole": lambda of: over(0.0, 0.0, of.lock.pivot.hole),
        "key.bit_thickness": _bit,
        "key.shank": lambda of: over(0.0, 0.0, of.lock.key.shank),
        "tooth.pickup_angle": _pickup,
        "fit.key_clearance": lambda of: up(0.0, tooth(of).radius, of.lock.fit.key_clearance),
        "fit.key_max": lambda of: up(0.0, 0.0, of.lock.fit.key_max),
        "filing.bit_tip": lambda of: up(0.0, -of.lock.key.radius, -of.lock.filing.bit_tip),
        "filing.bit_faces": lambda of: _off_bit(of, of.lock.filing.bit_faces),
        "spread.circle": lambda of: up(0.0, -of.lock.key.radius, -of.lock.spread.circle),
        "spread.bit": lambda of: _off_bit(of, of.lock.spread.bit),
        "spread.shank": lambda of: along(of.lock.key.shank / 2, 0.0, of.lock.spread.shank),
        "spread.hole": lambda of: along(of.lock.pivot.hole / 2, 0.0, of.lock.spread.hole),
        "spread.pivot": lambda of: along(0.0, 0.0, of.lock.spread.pivot),
    },
    plate={"pivot.across": _across},
)
