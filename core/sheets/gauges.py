"""The gauge number nearest to a thickness of sheet, from `shared/gauges.toml`."""

import tomllib
from dataclasses import dataclass
from functools import cache

from core.layout.layout import Layout
from core.sheets.sizes import size
from core.shipped import shared_table
from core.units import INCH

METALS = ("steel", "brass")
"""Metals that sheet is cut from here, by the word for them in the form of stock and in the table of gauges."""
COATED = "galvanised"
"""Sheet that no plate is cut from: zinc burns to a bad smoke, and the sheet is sold for roofs and ducts."""
CLOSE = 0.1
"""Share of a thickness within which a gauge is worth naming."""


@dataclass(frozen=True)
class Gauge:
    """One gauge number: the gauge's name, the number, the thickness [mm], the metal sold by it, the table's source."""

    name: str
    number: int
    thickness: float
    metal: str
    source: str

    @property
    def metals(self) -> tuple[str, ...]:
        """The metals whose sheet is sold by it; a gauge that names none is for any."""
        named = tuple(metal for metal in METALS if metal in self.metal)
        return () if COATED in self.metal else named or METALS


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
            gauge["metal"],
            gauge["source"],
        )
        for gauge in table["gauge"]
        for number, value in gauge["sizes"].items()
    )


def near(thickness: float, metals: str) -> tuple[Gauge, ...]:
    """Return of each gauge by which sheet of `metals` (in words) is sold the number nearest to a thickness [mm].

    A gauge that has no number within a tenth of the thickness is left out.
    """
    wanted = {metal for metal in METALS if metal in metals}
    nearest: dict[str, Gauge] = {}
    for gauge in all_gauges():
        before = nearest.get(gauge.name)
        nearer = before is None or abs(gauge.thickness - thickness) < abs(
            before.thickness - thickness
        )
        if nearer and wanted & set(gauge.metals):
            nearest[gauge.name] = gauge
    return tuple(g for g in nearest.values() if abs(g.thickness - thickness) <= CLOSE * thickness)


def gauges_in_words(layout: Layout, thickness: float, metals: str) -> str:
    """Return the nearest gauge numbers to a thickness [mm], each with the metal that is sold by it, or nothing."""
    found = near(thickness, metals)
    said = (
        f"{_sold(gauge, metals)} {gauge.number} {gauge.name}, {size(layout, gauge.thickness)}"
        for gauge in found
    )
    return f"nearest gauges: {'; '.join(said)}" if found else ""


def _sold(gauge: Gauge, metals: str) -> str:
    return " or ".join(metal for metal in gauge.metals if metal in metals)
