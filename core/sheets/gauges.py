"""The gauge number nearest to a thickness of sheet."""

from core.layout.layout import Layout
from core.sheets.sizes import size
from core.tables.sheet_gauges import all_gauges

SHEETS = ("US Manufacturers' Standard", "AWG (B&S)", "British SWG")
"""Gauges by which plain sheet is sold."""


def nearest_gauge(layout: Layout, thickness: float) -> str:
    """Return the gauge number nearest to a thickness [mm] in words, or nothing where none is within a tenth."""
    among = [gauge for gauge in all_gauges() if gauge.name in SHEETS]
    best = min(among, key=lambda gauge: abs(gauge.thickness - thickness))
    if abs(best.thickness - thickness) > 0.1 * thickness:
        return ""
    return f"nearest gauge {best.number} {best.name}, {size(layout, best.thickness)}"
