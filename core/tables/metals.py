"""Metals of which a lock is made, from `shared/metals.toml`: ranges, to be computed with at their low end."""

from dataclasses import dataclass
from functools import cache

from core.tables.reading import Column, Row, Tree, rows

TABLE = "metals.toml"
PARTS = ("bolt", "spring", "plate", "shackle", "rivets")
"""Parts of a lock that a metal can be usual for."""
COLUMNS = {
    "yield_low": Column("MPa", 50, 2500),
    "yield_high": Column("MPa", 50, 2500),
    "ultimate_low": Column("MPa", 100, 3000),
    "ultimate_high": Column("MPa", 100, 3000),
    "modulus_low": Column("GPa", 60, 230),
    "modulus_high": Column("GPa", 60, 230),
    "density": Column("kg/m3", 6000, 9500),
}


@dataclass(frozen=True)
class Metal:
    """One metal in one temper; `yield_high` and `ultimate_high` are None where only a least is asked for.

    Stresses [MPa], Young's modulus [MPa] (the table has GPa), density [kg/m3].
    """

    name: str
    temper: str
    parts: tuple[str, ...]
    yield_low: float
    yield_high: float | None
    ultimate_low: float
    ultimate_high: float | None
    modulus_low: float
    modulus_high: float
    density: float
    source: str


@cache
def all_metals() -> tuple[Metal, ...]:
    """Return every metal of the table, in its order."""
    return metals_in()


def metals_for(part: str) -> tuple[Metal, ...]:
    """Return the metals that are usual for a part of a lock, one of `PARTS`."""
    return tuple(metal for metal in all_metals() if part in metal.parts)


def metals_in(tree: Tree | None = None) -> tuple[Metal, ...]:
    """Return the metals of the shared table or of `tree`.

    Raises
    ------
    BadTableError
        For a row without a source, with a number that cannot be right, with ends crossed, or one that yields
        after it has broken.
    """
    return tuple(_metal(row) for row in rows(TABLE, "metal", COLUMNS, tree))


def _metal(row: Row) -> Metal:
    for name in ("yield", "ultimate", "modulus"):
        row.in_order(f"{name}_low", f"{name}_high")
    for end in ("low", "high"):
        row.in_order(f"yield_{end}", f"ultimate_{end}")
    parts = row.listed("parts")
    for part in parts:
        if part not in PARTS:
            row.refuse(f"is for {part!r}, which is none of {', '.join(PARTS)}")
    return Metal(
        row.text("name"),
        row.text("temper"),
        parts,
        row.number("yield_low"),
        row.number_or_none("yield_high"),
        row.number("ultimate_low"),
        row.number_or_none("ultimate_high"),
        1000 * row.number("modulus_low"),
        1000 * row.number("modulus_high"),
        row.number("density"),
        row.source,
    )
