"""What stands still and what moves while the key turns, in the mechanism frame [mm]."""

from core.geometry.path import Path
from core.layout.drawing import Stroke
from core.layout.frames import hand
from core.layout.layout import Layout, derived
from core.parts.bolt_contour import lies_at
from core.parts.tooth import tooth
from core.whole import assembly


@derived
def still(layout: Layout) -> tuple[Stroke, ...]:
    """Return what stands still while the key turns, without notes on what is drawn anyway."""
    moves = moving_names(layout)
    strokes = [
        mark
        for mark in assembly.marks(layout)
        if isinstance(mark, Stroke) and not mark.ghost and mark.part not in moves
    ]
    drawn = {stroke.part for stroke in strokes if stroke.layer != "note"}
    return tuple(s for s in strokes if s.layer != "note" or s.part not in drawn)


@derived
def moving_names(layout: Layout) -> tuple[str, ...]:
    """Return the names of what moves."""
    return tuple(dict.fromkeys(stroke.part for stroke in assembly.moving(layout, 0.0, 0.0)))


def bolt_path(layout: Layout, travel: float) -> Path:
    """Return the outline of the bolt after so much travel [mm]."""
    return hand(layout).path(lies_at(layout, travel))


@derived
def swept(layout: Layout) -> tuple[Path, ...]:
    """Return the outlines of the bolt, and of what goes with it, at several places of its travel."""
    throw = tooth(layout).throw
    found: list[Path] = []
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        # what stands alike whatever the angle of the key goes with the bolt: the bolt itself, a spring on it
        seen = [assembly.moving(layout, angle, throw * share) for angle in (0.0, 1.0)]
        found += [one.path for one, other in zip(*seen, strict=True) if one == other]
    return tuple(found)
