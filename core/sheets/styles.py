"""How each layer looks: one table for the three kinds of file."""

from dataclasses import dataclass

from core.layout.drawing import Layer


@dataclass(frozen=True)
class Style:
    """Line width [mm], dashes [mm, on and off], colour on paper, and colour index in DXF files.

    The colour index is that of the DXF reference's colour table: 7 black or white, 1 red, 3 green, 5 blue, 6 magenta,
    8 and 9 greys.
    """

    width: float
    dash: tuple[float, ...]
    colour: str
    index: int


STYLES: dict[str, Style] = {
    "cut": Style(0.25, (), "#000000", 7),
    "scribe": Style(0.15, (), "#1040c0", 5),
    "drill": Style(0.2, (), "#c00000", 1),
    "punch": Style(0.13, (), "#c00000", 1),
    "fold": Style(0.2, (3.0, 1.5), "#a000a0", 6),
    "view": Style(0.2, (4.0, 0.8), "#006040", 3),
    "paper": Style(0.13, (0.6, 0.6), "#505050", 9),
    "note": Style(0.13, (), "#505050", 8),
}
GHOST = Style(0.13, (1.6, 1.1), "#707070", 8)
"""The same part at its other seat, or behind another: never cut, whatever its layer."""

WHAT: dict[Layer, str] = {
    "cut": "black, heavy: saw and file to the middle of the line",
    "scribe": "blue: scribe",
    "drill": "red circle: drill",
    "punch": "red cross: punch",
    "fold": "magenta, dashed: bend",
    "view": "green, long dashes: seen from another side, to compare with",
    "paper": "dotted: cut the paper",
    "note": "grey: to read; dashed: other seat, behind, or left on until it is fitted",
}
"""The legend: what each layer is for at the bench."""
