"""Where the key lets go, on either stroke: a mark across the key's circle, where the bit's corner then stands."""

import math
from collections.abc import Iterable, Mapping

from core.geometry.path import Point, polyline
from core.layout.drawing import Label, Mark, Stroke
from core.layout.frames import hand
from core.layout.layout import Layout
from core.layout.part import Drawn, Part
from core.mechanism import law
from core.parts.bolt_lies import lies
from core.parts.tooth import tooth, tooth_seen

RELEASE = "release"
WORDS = "lets go"
"""What stands beside the mark: the mark's name in the drawing."""
_HALF = 1.2
"""Half the length of the mark [mm]."""
_BEYOND = 2.8
"""How far outside the key's circle its words stand [mm]."""


def told_at(layout: Layout) -> Mapping[law.Stroke, Point]:
    """Return by stroke where words on the release stand, outside the key's circle, in the mechanism frame [mm]."""
    cut = tooth(layout)
    far = cut.radius + _BEYOND
    return {stroke: _on_circle(layout, stroke, far) for stroke in law.STROKES if cut.drives}


def _on_circle(layout: Layout, stroke: law.Stroke, radius: float) -> Point:
    """Return the place at a radius [mm] on the line from the pivot to the corner that lets go."""
    cut = tooth_seen(layout, stroke)
    phi = cut.release_angle + cut.half_angle
    way = 1 if stroke == "unlocking" else -1
    there = lies(layout).motion.then(hand(layout))
    return there.point((way * radius * math.sin(phi), radius * math.cos(phi)))


def _marks(layout: Layout) -> Iterable[Mark]:
    r = tooth(layout).radius
    for stroke, at in told_at(layout).items():
        ends = [_on_circle(layout, stroke, r + by) for by in (-_HALF, _HALF)]
        yield Stroke(polyline(ends), "note", RELEASE)
        yield Label(at, WORDS, "note", RELEASE, 1.8)


PART = Part(RELEASE, 61, drawn=(Drawn(RELEASE, "key"),), marks=_marks)
