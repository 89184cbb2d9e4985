"""The gauge number nearest to a thickness of sheet."""

from core.layout.layout import Layout
from core.sheets.sizes import size
from core.tables.sheet_gauges import Gauge, all_gauges

METALS = ("steel", "brass")
"""Metals that sheet is cut from here, by the word for them in the form of stock and in the table of gauges."""
COATED = "galvanised"
"""Sheet that no plate is cut from: zinc burns to a bad smoke, and the sheet is sold for roofs and ducts."""
CLOSE = 0.1
"""Share of a thickness within which a gauge is worth naming."""


def sold(gauge: Gauge) -> tuple[str, ...]:
    """Return the metals whose sheet is sold by a gauge; one that names none is for any, but no coated sheet."""
    named = tuple(metal for metal in METALS if metal in gauge.metal)
    return () if COATED in gauge.metal else named or METALS


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
        if nearer and wanted & set(sold(gauge)):
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
    return " or ".join(metal for metal in sold(gauge) if metal in metals)
