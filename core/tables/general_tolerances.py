"""General tolerances of lengths by ISO 2768-1, from `shared/tolerances.toml`."""

import itertools
from dataclasses import dataclass
from functools import cache

from core.tables.reading import Column, Tree, follow, rows

TABLE = "tolerances.toml"
COLUMNS = {"up_to": Column("mm", 3, 400), "plus_minus": Column("mm", 0.01, 5)}
SMALLEST = 0.5
"""Length [mm] below which the standard gives none."""


@dataclass(frozen=True)
class ToleranceClass:
    """One class, f, m, c or v: its bands as (up to and including this size, +- tolerance) [mm], in order."""

    name: str
    called: str
    bands: tuple[tuple[float, float], ...]
    source: str

    def of(self, size: float) -> float | None:
        """Return the +- tolerance [mm] of a length [mm], None where the class gives none.

        Very coarse has none up to 3 mm; no class is given beyond the largest band.
        """
        below = SMALLEST if self.name != "v" else 3.0
        if size < below or (self.name == "v" and size <= below):
            return None
        return next((tolerance for up_to, tolerance in self.bands if size <= up_to), None)


@cache
def tolerance_classes() -> dict[str, ToleranceClass]:
    """Return the classes by their letters, from fine to very coarse."""
    return {each.name: each for each in tolerances_in()}


def tolerances_in(tree: Tree | None = None) -> tuple[ToleranceClass, ...]:
    """Return the classes of the shared table or of `tree`.

    Raises
    ------
    BadTableError
        For a row without a source, or with a number that cannot be right or is out of its order.
    """
    found = []
    for row in rows(TABLE, "class", COLUMNS, tree):
        bands = row.rows("bands")
        follow(bands, "up_to")
        for before, band in itertools.pairwise(bands):
            if band.number("plus_minus") < before.number("plus_minus"):
                band.refuse("is held closer than a smaller size")
        pairs = tuple((band.number("up_to"), band.number("plus_minus")) for band in bands)
        found.append(ToleranceClass(row.text("name"), row.text("called"), pairs, row.source))
    return tuple(found)
