"""What to cut from the stock at hand, and what to buy: pieces with their saw cuts, nested on sheets and along bars.

The pieces are those of the stock list, with their allowance for saw and file. Sheets are cut shelf by shelf, so that
every cut runs straight through, as a saw or a shear does.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from core.geometry.path import Point
from core.layout.layout import Layout, derived
from core.lock.row_changes import rows_of
from core.lock.rows.offcuts import METALS, Offcut
from core.sheets.gathering import all_pieces
from core.sheets.nesting import Place, nested
from core.sheets.sizes import rough, size
from core.sheets.table import Table
from core.tables.stock import all_stock

SAW_CUT = 1.5
"""Metal [mm] that a saw takes between two pieces, a wandering cut counted in; common practice, no source."""
SAME = 0.05
"""Difference [mm] of thickness within which stock is what is wanted: less than a gauge is apart."""


@dataclass(frozen=True)
class Blank:
    """One piece to be cut from flat stock [mm]: `long` at least `wide`."""

    what: str
    long: float
    wide: float
    thickness: float
    material: str


@dataclass(frozen=True)
class Cut:
    """A blank on a piece of stock: its upper left corner from that of the stock, along and down [mm]."""

    blank: Blank
    offcut: str
    at: Point


@dataclass(frozen=True)
class Plan:
    """What comes from the stock at hand, and what is left to buy."""

    cuts: tuple[Cut, ...]
    to_buy: tuple[Blank, ...]


def blanks(layout: Layout) -> tuple[Blank, ...]:
    """Return every flat piece whose sizes are known, one by one."""
    found = []
    for item in (item for piece in all_pieces() for item in piece.stock(layout)):
        if len(item.sizes) == 3 and None not in item.sizes:
            one, other, thick = (float(mm) for mm in item.sizes if mm is not None)
            names = (
                [item.what]
                if item.count == 1
                else [f"{item.what} {n}" for n in range(1, item.count + 1)]
            )
            found += [
                Blank(name, max(one, other), min(one, other), thick, item.material)
                for name in names
            ]
    return tuple(found)


def fits_metal(offcut: Offcut, blank: Blank) -> bool:
    """Say whether a piece of stock is of a metal and thickness that a blank takes."""
    metal = offcut.metal in blank.material or not any(m in blank.material for m in METALS)
    return metal and abs(offcut.thickness - blank.thickness) <= SAME


@derived
def plan(layout: Layout) -> Plan:
    """Cut what goes from the stock at hand: large blanks first, each from the smallest piece that holds it."""
    left = sorted(blanks(layout), key=lambda blank: -blank.long * blank.wide)
    cuts: list[Cut] = []
    pieces = rows_of(layout.lock, Offcut).items()
    for name, offcut in sorted(pieces, key=lambda pair: pair[1].long * pair[1].wide):
        taken = _from_one(offcut, [blank for blank in left if fits_metal(offcut, blank)])
        cuts += [Cut(blank, name, place.at) for blank, place in taken]
        done = [blank for blank, _ in taken]
        left = [blank for blank in left if blank not in done]
    return Plan(tuple(cuts), tuple(left))


def _from_one(offcut: Offcut, wanted: list[Blank]) -> list[tuple[Blank, Place]]:
    """Return the blanks that go on one piece, the largest that fit first, with their places."""
    room = (max(offcut.long, offcut.wide), min(offcut.long, offcut.wide))
    chosen: list[Blank] = []
    for blank in wanted:
        tried = [*chosen, blank]
        if blank.long <= room[0] and blank.wide <= room[1] and _pages(tried, room) == 1:
            chosen = tried
    return list(zip(chosen, _places(chosen, room), strict=True))


def _places(chosen: list[Blank], room: Point) -> tuple[Place, ...]:
    return nested([(blank.long, blank.wide) for blank in chosen], room, SAW_CUT) if chosen else ()


def _pages(chosen: list[Blank], room: Point) -> int:
    return len({place.page for place in _places(chosen, room)})


def buying_tables(layout: Layout) -> Iterator[Table]:
    """Yield what is cut from the stock at hand, if there is any, and what to buy."""

    def show(mm: float) -> str:
        return rough(layout, mm)

    found = plan(layout)
    if rows_of(layout.lock, Offcut):
        rows = [
            (cut.offcut, cut.blank.what, f"{show(cut.blank.long)} × {show(cut.blank.wide)}",
             size(layout, cut.at[0]), size(layout, cut.at[1]))
            for cut in found.cuts
        ]  # fmt: skip
        yield Table(
            "From the stock at hand", ("offcut", "for", "length × width", "along", "down"), tuple(rows),
            (
                (
                    f"Places of the upper left corners, the longer side level; {size(layout, SAW_CUT)} is left between "
                    "for the saw, and every cut runs straight through."
                ),
                *(() if rows else ("Nothing fits on it.",)),
            ),
        )  # fmt: skip
    yield Table(
        "Stock to buy", ("thickness", "pieces", "for", "as one strip", "sold as"), tuple(_to_buy(layout, found.to_buy)),
        (
            (
                f"Pieces of one thickness side by side, {size(layout, SAW_CUT)} for each saw cut (common practice, no "
                "source); round bar and what is bent stand in the stock list. Buy what is sold at least as thick."
            ),
        ),
        widths=(28, 16, 70, 44, 32),
    )  # fmt: skip


def _to_buy(layout: Layout, left: Iterable[Blank]) -> Iterator[tuple[str, ...]]:
    groups: dict[tuple[float, str], list[Blank]] = {}
    for blank in left:
        groups.setdefault((round(blank.thickness, 2), blank.material), []).append(blank)
    for (thickness, material), group in sorted(groups.items()):
        long, wide = strip_for(group)
        names = ", ".join(blank.what for blank in group)
        yield (
            size(layout, thickness), str(len(group)), f"{names} ({material})",
            f"{rough(layout, long)} × {rough(layout, wide)}", _sold(layout, thickness),
        )  # fmt: skip


def strip_for(group: list[Blank]) -> Point:
    """Return the length and width [mm] of the one strip that pieces are cut from side by side, saw cuts counted in."""
    wide = max(blank.wide for blank in group)
    return sum(blank.long for blank in group) + SAW_CUT * (len(group) - 1), wide


def _sold(layout: Layout, thickness: float) -> str:
    """Return the next thickness in which sheet, plate or strip is sold in the lock's units, or nothing."""
    unit = layout.lock.units
    sold = [
        mm
        for row in all_stock()
        if row.unit == unit and "plate" in row.stock
        for mm in row.thicknesses
    ]
    next_up = min((mm for mm in sold if mm >= thickness - SAME), default=None)
    return "by gauge" if next_up is None or next_up > 1.6 * thickness else size(layout, next_up)
