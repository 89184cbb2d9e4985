"""What the turn view draws: what stands still, what moves, and what is marked, in the plate frame [mm]."""

from dataclasses import replace
from typing import Literal

from core.geometry.path import Path
from core.layout.drawing import Mark, Stroke
from core.layout.frames import to_plate
from core.layout.layout import Layout, derived
from core.parts.release_mark import WORDS, told_at
from core.turning import stage
from core.turning.follow import Moment
from core.whole import assembly
from tui.plot import views
from tui.plot.frame import Spot
from tui.plot.picture import bounds
from tui.plot.scale import Bounds
from tui.turn.state import Turn

View = Literal["mechanism", "tooth", "plate"]
"""What is shown: all that works together, the tooth alone, or the whole plate."""
VIEWS: tuple[View, ...] = ("mechanism", "tooth", "plate")

RELEASED = "◇"
"""The sign beside the mark where the bit's corner lets go."""
_MARGIN = 0.04


@derived
def still(layout: Layout) -> tuple[Mark, ...]:
    """Return what stands still while the key turns, without notes on what is drawn anyway."""
    move = to_plate(layout)
    return tuple(views.moved(stroke, move) for stroke in stage.still(layout))


def moving(layout: Layout, moment: Moment) -> tuple[Stroke, ...]:
    """Return what moves as it stands at a moment: bit, shank and bolt."""
    found = assembly.moving(layout, moment.angle, moment.travel)
    return tuple(replace(stroke, path=to_plate(layout).path(stroke.path)) for stroke in found)


@derived
def swept(layout: Layout) -> tuple[Path, ...]:
    """Return the bolt at several places of its travel: no word comes over them."""
    move = to_plate(layout)
    return tuple(move.path(path) for path in stage.swept(layout))


def spots(turn: Turn, moment: Moment) -> tuple[Spot, ...]:
    """Return what is marked at a moment: where the key lets go, contact, least gap, and what fouls or jams."""
    move = to_plate(turn.layout)
    found = []
    if turn.stroke in (there := told_at(turn.layout)):
        found.append(Spot(move.point(there[turn.stroke]), RELEASED, "scribe", WORDS))
    if not moment.fouls:
        found.append(Spot(move.point(moment.gap_at), "○", "measure"))
    jams = moment.torque[turn.kept][1] is None
    if moment.contact_at is not None:
        at = move.point(moment.contact_at)
        found.append(Spot(at, "x", "foul", "JAMS") if jams else Spot(at, "●", "value"))
    for foul in moment.fouls:
        found.append(Spot(move.point(foul.at), "x", "foul", f"FOULS {foul.part}"))
    return tuple(found)


def region(layout: Layout, view: View) -> Bounds:
    """Return the region that a view shows, with its margin."""
    if view != "mechanism":
        return views.region(layout, view)
    shown: tuple[Mark, ...] = (
        *(Stroke(path, "cut", "bolt") for path in swept(layout)),
        *(mark for mark in still(layout) if mark.part == "key circle"),
    )
    box = bounds(shown) or views.region(layout, "plate")
    left, bottom, right, top = box
    edge = max(right - left, top - bottom) * _MARGIN
    return (left - edge, bottom - edge, right + edge, top + edge)
