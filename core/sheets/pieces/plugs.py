"""The plugs: their counterbores in the drill schedule, the rod that they are cut from, and how they are set."""

from collections.abc import Iterable
from typing import cast

from core.geometry.path import circle
from core.layout.drawing import Label, Stroke
from core.layout.frames import to_mechanism
from core.layout.layout import Layout
from core.lock.rows.plugs import ROWS
from core.parts.plugs import Placed, plugs
from core.sheets.record import Drilling, OnPlate, Piece, Plate, Stock, Task
from core.sheets.sizes import size
from core.text import capital


def _on_plates(layout: Layout) -> Iterable[OnPlate]:
    for plug in plugs(layout):
        yield from rings(layout, plug, plug.title)


def rings(layout: Layout, plug: Placed, title: str) -> Iterable[OnPlate]:
    """Yield hole and counterbore of a plug, on the plates that have it, with a title beside them."""
    x, y = to_mechanism(layout).point(plug.at)
    beside = (x + plug.row.counterbore / 2 + 1.6, y + 1.6)
    plates = cast("tuple[Plate, ...]", plug.plates)
    yield OnPlate(Label(beside, title, "note", title, 2.0, "left"), plates)
    # the counterbore is on every face, and is bored there
    for across in (plug.row.hole, plug.row.counterbore):
        yield OnPlate(Stroke(circle((x, y), across / 2), "drill", title), plates)


def _drillings(layout: Layout) -> Iterable[Drilling]:
    for plug in plugs(layout):
        yield Drilling(
            f"{plug.title}, counterbore", plug.row.counterbore, 2 * len(plug.plates),
            f"{size(layout, plug.row.depth)} deep, both faces, {plug.row.plate}", group="plug, counterbore",
        )  # fmt: skip


def _stock(layout: Layout) -> Iterable[Stock]:
    for plug in plugs(layout):
        yield Stock(
            plug.title, len(plug.plates), (plug.length, plug.row.diameter), "round bar", "as the plates, soft",
            f"{_long(layout, plug)} by equal volume, with what is dressed off",
        )  # fmt: skip


def _long(layout: Layout, plug: Placed) -> str:
    return "length" if plug.length is None else f"cut to {size(layout, plug.length)}:"


def said(layout: Layout, plug: Placed, title: str) -> str:
    """Return how a plug is set, in sentences that begin with a title."""

    def show(mm: float) -> str:
        return size(layout, mm)

    row = plug.row
    long = "" if plug.length is None else f", {show(plug.length)} long"
    return (
        f"{capital(title)}, {row.plate}: counterbore the stray hole {show(row.counterbore)} across and "
        f"{show(row.depth)} deep on both faces, break no edge; rivet in a rod of {show(row.diameter)}{long}, "
        "a little on each face in turn, until both counterbores are full; dress it flush. Do it before any hole beside "
        "it is drilled. Eye protection on, solid anvil."
    )


def _steps(layout: Layout) -> Iterable[str]:
    for plug in plugs(layout):
        yield said(layout, plug, plug.title)


def _work(layout: Layout) -> Iterable[Task]:
    for plug in plugs(layout):
        yield Task("plates", f"{ROWS.singular} {plug.name}", said(layout, plug, plug.title))


PIECE = Piece(
    "plugs",
    89,
    on_plates=_on_plates,
    drillings=_drillings,
    stock=_stock,
    steps=_steps,
    work=_work,
)
