"""Paper: page sizes, and how a drawing that is larger than a page is laid out over several.

The paper sizes are those of ISO 216 (A4) and ANSI/ASME Y14.1 (Letter, size A).
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from core.geometry.path import Point
from core.layout.drawing import Label, Mark
from core.sheets.paper import PAPERS
from core.sheets.strokes import cross, line

MARGIN = 10.0
"""Edge [mm] that printers may leave blank."""
MOST_PAGES = 48
"""Pages that a person will stick together; a larger drawing is for a large printer."""
OVERLAP = 15.0
"""Width [mm] of the strip that neighbouring pages have in common."""
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Tile:
    """One page of a drawing: its `name` (A1 is the upper left one), and which part of the drawing it shows.

    `window` is left, bottom, right, top of that part [mm], and `paper` the page's width and height [mm].
    """

    name: str
    window: Box
    paper: tuple[float, float]


@dataclass(frozen=True)
class Tiling:
    """All pages of a drawing, and the marks by which they are joined, in the drawing's frame.

    `wanted` is how many pages it takes; past `MOST_PAGES` there are none.
    """

    tiles: tuple[Tile, ...]
    marks: tuple[Mark, ...]
    wanted: int


def tiling(bounds: Box, paper: str, below: float) -> Tiling:
    """Lay a drawing with these bounds [mm] out on pages that keep `below` [mm] free at their foot.

    The page is turned on its side where that takes fewer pages.
    """
    width, height = PAPERS[paper]
    upright, lying = (
        (size, _counts(bounds, _room(size, below))) for size in ((width, height), (height, width))
    )
    page, (columns, rows) = upright if math.prod(upright[1]) <= math.prod(lying[1]) else lying
    if columns * rows > MOST_PAGES:
        return Tiling((), (), columns * rows)
    room = _room(page, below)
    left, bottom, right, top = bounds
    across, down = (left + right) / 2, (bottom + top) / 2
    # the pages together are centred on the drawing
    x0 = across - _span(columns, room[0]) / 2
    y0 = down + _span(rows, room[1]) / 2
    tiles, steps = [], (room[0] - OVERLAP, room[1] - OVERLAP)
    for row in range(rows):
        for column in range(columns):
            x, y = x0 + column * steps[0], y0 - row * steps[1]
            tiles.append(
                Tile(f"{_letters(row)}{column + 1}", (x, y - room[1], x + room[0], y), page)
            )
    return Tiling(tuple(tiles), tuple(_joins(tiles, columns, rows)), len(tiles))


def _room(page: tuple[float, float], below: float) -> tuple[float, float]:
    return (page[0] - 2 * MARGIN, max(page[1] - 2 * MARGIN - below, 3 * OVERLAP))


def _counts(bounds: Box, room: tuple[float, float]) -> tuple[int, int]:
    sizes = (bounds[2] - bounds[0], bounds[3] - bounds[1])
    return (_count(sizes[0], room[0]), _count(sizes[1], room[1]))


def _count(size: float, room: float) -> int:
    return 1 if size <= room else math.ceil((size - OVERLAP) / (room - OVERLAP) - 1e-9)


def _span(count: int, room: float) -> float:
    return count * room - (count - 1) * OVERLAP


def _letters(row: int) -> str:
    # rows past the twenty-sixth go on with AA, AB
    return chr(65 + row) if row < 26 else chr(64 + row // 26) + chr(65 + row % 26)


def _joins(tiles: list[Tile], columns: int, rows: int) -> Iterable[Mark]:
    """Yield the lines to trim to, in the middle of each overlap, with crosses that both pages show."""
    for index, tile in enumerate(tiles):
        left, bottom, right, top = tile.window
        if index % columns < columns - 1:
            x, other = right - OVERLAP / 2, tiles[index + 1].name
            yield from _join((x, bottom), (x, top), tile.name, other)
        if index // columns < rows - 1:
            y, other = bottom + OVERLAP / 2, tiles[index + columns].name
            yield from _join((left, y), (right, y), tile.name, other)


def _join(start: Point, end: Point, one: str, other: str) -> Iterable[Mark]:
    yield line(start, end, "paper", "join")
    for share in (0.25, 0.75):
        at = (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
        yield from cross(at, "join", 4.0, "note")
    upright = start[0] == end[0]
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    aside = (middle[0] - 2.4, middle[1]) if upright else (middle[0], middle[1] + 2.4)
    text = f"trim {one} here, lay it on the crosses of {other}"
    yield Label(aside, text, "note", "join", 1.8, "middle", 90.0 if upright else 0.0)
