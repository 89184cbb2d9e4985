"""Twist drills by diameter, from `shared/drills.toml`."""

import math
from dataclasses import dataclass
from functools import cache

from core.tables.reading import Column, Row, Tree, follow, rows
from core.units import INCH

TABLE = "drills.toml"
COLUMNS = {
    "first": Column("mm or in", 0.01, 25),
    "last": Column("mm or in", 0.01, 25),
    "step": Column("mm or in", 0.01, 1),
    "inch": Column("in", 0.01, 0.5),
}
INCH_MM = float(INCH)
METRIC = ("metric",)
INCHES = ("fraction", "number", "letter")


@dataclass(frozen=True)
class Drill:
    """One drill: its name as it is sold, its diameter [mm], and the table that it stands in."""

    name: str
    diameter: float
    kind: str
    source: str


def kinds_for(units: str) -> tuple[str, ...]:
    """Return the kinds of drill that a maker who works in `units` reaches for."""
    return INCHES if units == "in" else METRIC


@cache
def all_drills() -> tuple[Drill, ...]:
    """Return every drill of the table, thinnest first."""
    return drills_in()


def drills_in(tree: Tree | None = None) -> tuple[Drill, ...]:
    """Return the drills of the shared table or of `tree`, thinnest first.

    Raises
    ------
    BadTableError
        For a row without a source, or with a number that cannot be right or is out of its order.
    """
    found: list[Drill] = []
    for series in rows(TABLE, "series", COLUMNS, tree):
        found += _series(series)
    for kind, before in (("number", "no. "), ("letter", "letter ")):
        (table,) = rows(TABLE, kind, COLUMNS, tree)
        sizes = table.rows("sizes")
        follow(sizes, "inch", falling=kind == "number")
        _named_in_order(sizes, kind)
        for row in sizes:
            name = f"{before}{row.text('name')}"
            found.append(Drill(name, row.number("inch") * INCH_MM, kind, row.source))
    return tuple(sorted(found, key=lambda drill: (drill.diameter, drill.kind)))


def _series(row: Row) -> list[Drill]:
    row.in_order("first", "last")
    inches = row.text("unit") == "in"
    first, step = row.number("first"), row.number("step")
    steps = (row.number("last") - first) / step
    if abs(steps - round(steps)) > 1e-6:
        row.refuse(f"does not come from first to last by steps of {step:g}")
    widths = [first + number * step for number in range(round(steps) + 1)]
    return [
        Drill(
            _fraction(width) if inches else f"{width:.1f} mm",
            width * row.scale,
            row.text("kind"),
            row.source,
        )
        for width in widths
    ]


def _fraction(inches: float) -> str:
    over = round(inches * 64)
    shared = math.gcd(over, 64)
    return f"{over // shared}/{64 // shared} in"


def _named_in_order(sizes: tuple[Row, ...], kind: str) -> None:
    """Refuse a name left out, twice there or out of its order: 1, 2, 3 ... or A, B, C ..."""
    for place, row in enumerate(sizes):
        wanted = str(place + 1) if kind == "number" else chr(ord("A") + place)
        if row.text("name") != wanted:
            row.refuse(f"stands where {wanted} belongs")
