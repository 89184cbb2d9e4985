"""Thicknesses of flat stock and diameters of round bar, from `shared/stock.toml`."""

from dataclasses import dataclass
from functools import cache

from core.tables.reading import Column, Tree, in_sequence, rows

TABLE = "stock.toml"
COLUMNS = {"sizes": Column("mm or in", 0.001, 25)}


@dataclass(frozen=True)
class Stock:
    """A row of thicknesses, or diameters of bar, [mm] of one kind of stock, as sold in `unit`, thinnest first."""

    stock: str
    unit: str
    thicknesses: tuple[float, ...]
    source: str


@cache
def all_stock() -> tuple[Stock, ...]:
    """Return every row of thicknesses of the table."""
    return stock_in()


def stock_in(tree: Tree | None = None) -> tuple[Stock, ...]:
    """Return the thicknesses of the shared table or of `tree`.

    Raises
    ------
    BadTableError
        For a row without a source, or with a number that cannot be right or is out of its order.
    """
    found = []
    for row in rows(TABLE, "series", COLUMNS, tree):
        sizes = row.listed("sizes")
        in_sequence(row, "thickness", sizes)
        widths = tuple(size * row.scale for size in sizes)
        found.append(Stock(row.text("stock"), row.text("unit"), widths, row.source))
    return tuple(found)
