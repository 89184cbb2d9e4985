"""The gauge number nearest to a thickness of sheet, from `shared/gauges.toml`."""

import tomllib
from dataclasses import dataclass
from functools import cache

from core.layout.layout import Layout
from core.sheets.sizes import size
from core.shipped import shared_table
from core.units import INCH

SHEETS = ("US Manufacturers' Standard", "AWG (B&S)", "British SWG")
"""Gauges by which plain sheet is sold."""


@dataclass(frozen=True)
class Gauge:
    """One gauge number: the gauge's name, the number, the thickness [mm], and the table's source."""

    name: str
    number: int
    thickness: float
    source: str


@cache
def all_gauges() -> tuple[Gauge, ...]:
    """Return every gauge number of the table."""
    with shared_table("gauges.toml").open("rb") as file:
        table = tomllib.load(file)
    return tuple(
        Gauge(
            gauge["name"],
            int(number),
            value * (float(INCH) if gauge["unit"] == "in" else 1.0),
            gauge["source"],
        )
        for gauge in table["gauge"]
        for number, value in gauge["sizes"].items()
    )


def nearest_gauge(layout: Layout, thickness: float) -> str:
    """Return the gauge number nearest to a thickness [mm] in words, or nothing where none is within a tenth."""
    among = [gauge for gauge in all_gauges() if gauge.name in SHEETS]
    best = min(among, key=lambda gauge: abs(gauge.thickness - thickness))
    if abs(best.thickness - thickness) > 0.1 * thickness:
        return ""
    return f"nearest gauge {best.number} {best.name}, {size(layout, best.thickness)}"
