"""Limits of holes and shafts by ISO 286, from `shared/fits.toml`."""

import itertools
from dataclasses import dataclass
from functools import cache

from core.tables.reading import Column, Tree, follow, rows

TABLE = "fits.toml"
COLUMNS = {
    "up_to": Column("mm", 1, 500),
    "lower": Column("um", -500, 500),
    "upper": Column("um", -500, 500),
}


@dataclass(frozen=True)
class Zone:
    """One tolerance zone such as H7: its bands as (up to and including [mm], lower, upper deviation [mm])."""

    name: str
    of: str
    bands: tuple[tuple[float, float, float], ...]
    source: str

    def limits(self, size: float) -> tuple[float, float] | None:
        """Return the least and greatest size [mm] of a hole or shaft of a nominal size [mm], None out of the table."""
        fitting = ((size + low, size + high) for up_to, low, high in self.bands if size <= up_to)
        return next(fitting, None) if size > 0 else None


@cache
def zones() -> dict[str, Zone]:
    """Return the zones of the table by their names."""
    return {zone.name: zone for zone in zones_in()}


def zones_in(tree: Tree | None = None) -> tuple[Zone, ...]:
    """Return the zones of the shared table or of `tree`.

    Raises
    ------
    BadTableError
        For a row without a source, with a number that cannot be right or is out of its order, with its ends crossed,
        or with a zone that becomes closer as the size grows.
    """
    found = []
    for row in rows(TABLE, "zone", COLUMNS, tree):
        bands = row.rows("bands")
        follow(bands, "up_to")
        for band in bands:
            band.in_order("lower", "upper")
        for before, band in itertools.pairwise(bands):
            width, earlier = (
                each.number("upper") - each.number("lower") for each in (band, before)
            )
            if width < earlier:
                band.refuse("is a closer zone than that of a smaller size")
        values = tuple(
            (band.number("up_to"), band.number("lower") / 1000, band.number("upper") / 1000)
            for band in bands
        )
        found.append(Zone(row.text("name"), row.text("of"), values, row.source))
    return tuple(found)


def clearance(hole: str, shaft: str, size: float) -> tuple[float, float] | None:
    """Return the least and the greatest clearance [mm] of a fit such as H7 and g6, None out of the table.

    A negative clearance is an interference.
    """
    one, other = zones()[hole].limits(size), zones()[shaft].limits(size)
    return None if one is None or other is None else (one[0] - other[1], one[1] - other[0])
