"""What each part weighs: its area, exact, by its thickness and the density of its metal."""

from core.geometry.path import Path
from core.layout.layout import Layout
from core.sheets.cutter import flat_parts
from core.sheets.record import Flat
from core.sheets.rim import rim
from core.sheets.table import Table
from core.tables.metals import Metal, all_metals

OUNCE = 28.349523125
"""One avoirdupois ounce [g], exactly (international yard and pound agreement, 1959; memory)."""
DEPTHS = {"mm": 10.0, "in": 12.7}
"""Depth [mm] of the lock, by its units, for which the rim's weight is given: the file does not hold how deep it is."""
GRAMS = 1e-6
"""Grams in one mm3 of a density of 1 kg/m3."""


def metal_like(word: str) -> Metal:
    """Return the first metal of the table whose name has that word in it; KeyError for none."""
    for metal in all_metals():
        if word in metal.name and "spring" not in metal.parts:
            return metal
    raise KeyError(word)


def area(flat: Flat) -> float:
    """Return the area [mm2] of a flat part, its holes taken out."""
    return _area(flat.outline) - sum(_area(hole) for hole in flat.holes)


def _area(path: Path) -> float:
    return abs(path.signed_area())


def weight(volume: float, metal: Metal) -> float:
    """Return the weight [g] of a volume [mm3] of metal."""
    return volume * metal.density * GRAMS


def weights_table(layout: Layout) -> Table:
    """Return the weights of all flat parts, and of the rim for a depth, in steel and in brass."""
    steel, brass = metal_like("steel"), metal_like("free-cutting brass")
    volumes = [(flat.name, area(flat) * flat.thickness) for flat in flat_parts(layout)]
    strip = rim(layout)
    deep = DEPTHS[layout.lock.units]
    volume = strip.length * layout.lock.plate.rim * deep
    volumes.append((f"rim, each {layout.show(deep)} of depth", volume))
    rows = [
        (name, *(_shown(layout, weight(volume, metal)) for metal in (steel, brass)))
        for name, volume in volumes
    ]
    return Table(
        "Weights", ("part", "in steel", "in brass"), tuple(rows),
        (
            (
                f"Steel {steel.density:g} kg/m3 ({steel.name}), brass {brass.density:g} ({brass.name}). A part that "
                "weighs more has metal left on: a scale tells before a calliper does."
            ),
        ),
        widths=(80, 40, 40),
    )  # fmt: skip


def _shown(layout: Layout, grams: float) -> str:
    return f"{grams / OUNCE:.3f} oz" if layout.lock.units == "in" else f"{grams:.2f} g"
