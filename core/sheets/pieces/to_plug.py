"""Holes of made plates that stand astray and are not plugged yet: where to plug, and where to drill anew.

The sheets are drawn from the lock as it is wanted, which goes by what was measured; so a plate that is to be saved
shows both the hole that it has and the place where that was meant to be.
"""

from collections.abc import Iterable
from typing import cast

from core.change.plugging import once, plug_for, strays_to_plug
from core.geometry.path import circle
from core.layout.drawing import Label, Stroke
from core.layout.frames import to_mechanism
from core.layout.layout import Layout, derived
from core.made.strays import Stray
from core.parts.plugs import Placed
from core.sheets.pieces.plugs import rings, said
from core.sheets.record import OnPlate, Piece, Plate, Task
from core.sheets.sizes import size


@derived
def _to_plug(layout: Layout) -> tuple[tuple[Stray, Placed], ...]:
    """Return every hole that is to be plugged, once, and the plug for it."""
    if not layout.plan.made:
        return ()
    found = once(strays_to_plug(layout.plan))
    return tuple(
        (stray, Placed(stray.name, plug_for(stray, plate), stray.plate)) for stray, plate in found
    )


def _title(stray: Stray) -> str:
    return f"{stray.name}, to plug"


def _on_plates(layout: Layout) -> Iterable[OnPlate]:
    for stray, plug in _to_plug(layout):
        yield from rings(layout, plug, _title(stray))
        x, y = to_mechanism(layout).point(stray.wanted)
        anew = f"{stray.name}, anew"
        plates = cast("tuple[Plate, ...]", plug.plates)
        yield OnPlate(Stroke(circle((x, y), stray.new / 2), "drill", anew), plates)
        beside = (x + stray.new / 2 + 1.6, y - 1.6)
        yield OnPlate(Label(beside, anew, "note", anew, 2.0, "left"), plates)


def _said(layout: Layout, stray: Stray, plug: Placed) -> str:
    across, up = stray.wanted
    there = f"{size(layout, -up)} below the datum mark"
    if abs(across) > 0.005:  # less than anybody measures
        there += (
            f" and {size(layout, abs(across))} to the {'right' if across > 0 else 'left'} of it"
        )
    return f"{said(layout, plug, _title(stray))} Then drill it anew, {size(layout, stray.new)}, {there}."


def _steps(layout: Layout) -> Iterable[str]:
    for stray, plug in _to_plug(layout):
        yield _said(layout, stray, plug)


def _work(layout: Layout) -> Iterable[Task]:
    for stray, plug in _to_plug(layout):
        yield Task("plates", f"stray {stray.name}", _said(layout, stray, plug))


PIECE = Piece("stray holes", 88, on_plates=_on_plates, steps=_steps, work=_work)
