"""What a maker buys or drills by: sheet, round bar and twist drills, of the tables that a lock's units go by."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from core.tables.sheet_gauges import all_gauges
from core.tables.stock import all_stock
from core.tables.twist_drills import METRIC, all_drills, kinds_for

STEEL, BRASS = "steel sheet", "brass sheet"
"""What sheet thinner than the plate that is sold by sixteenths of an inch goes by the gauge of."""


@dataclass(frozen=True)
class Bought:
    """A size [mm] of a table, and the `name` that it is asked for by where that is not its size."""

    size: float
    name: str = ""


@cache
def sheets(units: str, metal: str = STEEL) -> tuple[Bought, ...]:
    """Return the thicknesses [mm] of sheet and plate, thinnest first; in inches thin sheet goes by the `metal`'s gauge.

    The name is that of the gauge, such as `14 gauge`.
    """
    found = [
        Bought(mm)
        for row in all_stock()
        if row.unit == units and "plate" in row.stock
        for mm in row.thicknesses
    ]
    if units == "in":
        least = min(one.size for one in found)
        found += [
            Bought(one.thickness, f"{one.number} gauge")
            for one in all_gauges()
            if one.metal.startswith(metal) and one.thickness < least
        ]
    return _sorted(found)


@cache
def bars(units: str) -> tuple[Bought, ...]:
    """Return the diameters [mm] of round bar, thinnest first."""
    return _sorted(
        Bought(mm)
        for row in all_stock()
        if row.unit == units and row.stock == "round bar"
        for mm in row.thicknesses
    )


@cache
def drills(units: str) -> tuple[Bought, ...]:
    """Return the diameters [mm] of the drills that a maker who works in `units` reaches for, thinnest first."""
    kinds = kinds_for(units)
    return _sorted(
        Bought(one.diameter, one.name if kinds != METRIC else one.name.removesuffix(" mm"))
        for one in all_drills()
        if one.kind in kinds
    )


def _sorted(found: Iterable[Bought]) -> tuple[Bought, ...]:
    return tuple(sorted(found, key=lambda one: (one.size, one.name)))
