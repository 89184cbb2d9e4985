"""Ranges of the coefficient of friction, from `shared/friction.toml`."""

from dataclasses import dataclass

from core.tables.reading import Column, Tree, rows

TABLE = "friction.toml"
COLUMNS = {"low": Column("", 0.02, 1.5), "high": Column("", 0.02, 1.5)}


@dataclass(frozen=True)
class FrictionRange:
    """What the coefficient may be for one pair of metals in one condition, and who says so."""

    metals: str
    condition: str
    low: float
    high: float
    source: str


def friction_in(tree: Tree | None = None) -> tuple[FrictionRange, ...]:
    """Return the ranges of the shared table or of `tree`.

    Raises
    ------
    BadTableError
        For a row without a source, with a number that cannot be right, or with its ends crossed.
    """
    found = []
    for row in rows(TABLE, "pair", COLUMNS, tree):
        row.in_order("low", "high")
        found.append(
            FrictionRange(
                row.text("metals"),
                row.text("condition"),
                row.number("low"),
                row.number("high"),
                row.source,
            )
        )
    return tuple(found)
