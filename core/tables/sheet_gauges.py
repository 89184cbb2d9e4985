"""Gauges by which sheet and wire are sold, from `shared/gauges.toml`."""

from dataclasses import dataclass
from functools import cache

from core.tables.reading import Column, Row, Tree, in_sequence, rows

TABLE = "gauges.toml"
COLUMNS = {"sizes": Column("mm or in", 0.01, 5)}


@dataclass(frozen=True)
class Gauge:
    """One gauge number: the gauge's name, the number, the thickness [mm], what is sold by it, the table's source."""

    name: str
    number: int
    thickness: float
    metal: str
    source: str


@cache
def all_gauges() -> tuple[Gauge, ...]:
    """Return every gauge number of the table."""
    return gauges_in()


def gauges_in(tree: Tree | None = None) -> tuple[Gauge, ...]:
    """Return the gauge numbers of the shared table or of `tree`.

    Raises
    ------
    BadTableError
        For a gauge without a source, or with a number that cannot be right or is out of its order.
    """
    return tuple(gauge for row in rows(TABLE, "gauge", COLUMNS, tree) for gauge in _gauge(row))


def _gauge(row: Row) -> list[Gauge]:
    sizes = row.numbers_by_name("sizes")
    for name in sizes:
        if not name.isdecimal():
            row.refuse(f"has a gauge {name}, which is no number")
    in_sequence(row, "gauge", [int(name) for name in sizes])
    in_sequence(row, "thickness", list(sizes.values()), falling=True)
    return [
        Gauge(row.text("name"), int(name), value * row.scale, row.text("metal"), row.source)
        for name, value in sizes.items()
    ]
