"""The letters of the PDF files: a freely licensed sans-serif, embedded, with what it lacks told plainly.

The SIL Open Font License lets documents embed it. Characters that it lacks (it has Latin, Greek and Cyrillic) become
a question mark; the other kinds of file leave letters to the viewer and keep every character.
"""

from functools import cache, lru_cache
from pathlib import Path

import font_source_sans_pro
from fontTools.ttLib import TTFont

from core.text import plain

CAPITAL = 0.66
"""Height of the capitals over the size of the letters (sCapHeight in the font's OS/2 table)."""
BELOW, ABOVE = 0.33, 0.13
"""How far letters reach below the foot of the capitals, and above their head, over the height of the capitals."""
STAND_IN = "?"
OWN_PART = "sheet"
"""Part name of everything that belongs to the sheet and not to the lock."""
HEAVY = 3.0
"""Height of the capitals [mm] above which a sheet's own texts, titles and warnings, are heavy."""


def font_file(weight: str) -> Path:
    """Return the file of one weight, "Regular" or "Semibold"."""
    return Path(font_source_sans_pro.font_directory) / f"SourceSansPro-{weight}.ttf"


@cache
def _known() -> frozenset[int]:
    with TTFont(font_file("Regular"), lazy=True) as font:
        return frozenset(font.getBestCmap())


@cache
def _advances(weight: str) -> dict[str, float]:
    """Return how far each letter takes the pen on, over the size of the letters."""
    with TTFont(font_file(weight), lazy=True) as font:
        widths, size = font["hmtx"].metrics, font["head"].unitsPerEm
        return {chr(code): widths[name][0] / size for code, name in font.getBestCmap().items()}


def weight_of(part: str, height: float) -> str:
    """Return the weight of the letters of a text that belongs to `part`, its capitals `height` [mm] high."""
    return "Semibold" if part == OWN_PART and height > HEAVY else "Regular"


def width(text: str, height: float, weight: str = "Regular") -> float:
    """Return how wide [mm] a text of capitals `height` [mm] runs in the PDF files."""
    return _run(text, weight) * height / CAPITAL


@lru_cache(maxsize=10_000)
def _run(text: str, weight: str) -> float:
    known = _advances(weight)
    return sum(known[c] for c in printable(text))


def printable(text: str) -> str:
    """Return `text` as plain text in which what the letters lack is a question mark."""
    known = _known()
    return "".join(c if ord(c) in known else STAND_IN for c in plain(text))


def lacking(text: str) -> str:
    """Return the characters of `text` that the letters lack, each once."""
    known = _known()
    return "".join(dict.fromkeys(c for c in plain(text) if ord(c) not in known))
