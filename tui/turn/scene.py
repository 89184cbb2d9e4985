"""What the turn view draws: what stands still, what moves, and what is marked, in the plate frame [mm]."""

from dataclasses import replace
from typing import Literal

from core.geometry.motion import shift
from core.geometry.path import Path
from core.layout.drawing import Mark, Stroke
from core.layout.frames import hand, to_plate
from core.layout.layout import Layout, derived
from core.parts.bolt_contour import bolt
from core.parts.tooth import tooth
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

_MARGIN = 0.04


@derived
def still(layout: Layout) -> tuple[Mark, ...]:
    """Return what stands still while the key turns, without notes on what is drawn anyway."""
    moves = moving_names(layout)
    strokes = [
        mark
        for mark in views.upright(layout)
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
    move = shift(travel, 0.0).then(hand(layout)).then(to_plate(layout))
    return move.path(bolt(layout).contour)


def moving(layout: Layout, moment: Moment) -> tuple[Stroke, ...]:
    """Return what moves as it stands at a moment: bit, shank and bolt."""
    found = assembly.moving(layout, moment.angle, moment.travel)
    return tuple(replace(stroke, path=to_plate(layout).path(stroke.path)) for stroke in found)


@derived
def swept(layout: Layout) -> tuple[Path, ...]:
    """Return the bolt at several places of its travel: no word comes over them."""
    throw = tooth(layout).throw
    return tuple(bolt_path(layout, throw * share) for share in (0.0, 0.25, 0.5, 0.75, 1.0))


def spots(turn: Turn, moment: Moment) -> tuple[Spot, ...]:
    """Return what is marked at a moment: contact, least gap, and what fouls or jams."""
    move = to_plate(turn.layout)
    found = []
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
