"""A drawing that is larger than a page, laid out over several, with joints where they do no harm."""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise, product

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from core.geometry.path import Point
from core.layout.drawing import Inked, Label
from core.sheets.strokes import cross, line

MOST_PAGES = 48
"""Pages that a person will stick together; a larger drawing is for a large printer."""
OVERLAP = 12.0
"""Width [mm] of the strip that neighbouring pages have in common."""
STEP, MOST_STEPS = 0.5, 3000
"""Distance [mm] between places that are tried for a joint, and how many at most."""
HARM, PITY = 1e3, 10.0
"""What a joint costs that runs through what is to stay whole, and through another hole."""
Box = tuple[float, float, float, float]
Stretch = tuple[float, float]


@dataclass(frozen=True)
class Tile:
    """One page of a drawing: its `name` (A1 is the upper left one), and left, bottom, right, top of its part [mm]."""

    name: str
    window: Box


@dataclass(frozen=True)
class Tiling:
    """All pages of a drawing, lying or upright, and the marks by which they are joined, in the drawing's frame.

    `wanted` is how many pages it takes; past `MOST_PAGES` there are none.
    """

    lying: bool
    tiles: tuple[Tile, ...]
    marks: tuple[Inked, ...]
    wanted: int


@dataclass(frozen=True)
class _Cuts:
    """Joints along one axis [mm], ascending, and what they cost."""

    places: tuple[float, ...]
    cost: float


def tiling(
    bounds: Box,
    room: Callable[[bool], Point],
    whole: Sequence[Box] = (),
    better_whole: Sequence[Box] = (),
) -> Tiling:
    """Lay a drawing with these bounds [mm] out on pages.

    `room` gives width and height [mm] that a page has for the drawing, lying or upright. Joints keep off the boxes of
    `whole`, for another row or column of pages if need be, and off those of `better_whole` if they can. As few pages as
    possible, upright where lying is no better.
    """
    least = min(math.prod(_counts(bounds, room(lying))) for lying in (False, True))
    if least > MOST_PAGES:
        return Tiling(False, (), (), least)
    found = []
    for lying, more_columns, more_rows in product((False, True), (0, 1), (0, 1)):
        columns, rows = _counts(bounds, room(lying))
        counts = (
            columns + (more_columns if columns > 1 else 0),
            rows + (more_rows if rows > 1 else 0),
        )
        cuts = [
            _cuts((bounds[i], bounds[i + 2]), room(lying)[i], counts[i],
                  _stretches(whole, i), _stretches(better_whole, i))
            for i in (0, 1)
        ]  # fmt: skip
        cost = cuts[0].cost + cuts[1].cost
        # infinite where the pages are so full that the steps leave no room; infinity // HARM would be no number
        harm = cost // HARM if math.isfinite(cost) else math.inf
        found.append(((harm, math.prod(counts), lying, cost), lying, cuts))
    _, lying, (across, up) = min(found, key=lambda each: each[0])
    return _laid(bounds, lying, across.places, up.places)


def _stretches(boxes: Sequence[Box], axis: int) -> list[Stretch]:
    return [(box[axis], box[axis + 2]) for box in boxes]


def _counts(bounds: Box, room: Point) -> tuple[int, int]:
    return (_count(bounds[2] - bounds[0], room[0]), _count(bounds[3] - bounds[1], room[1]))


def _count(size: float, room: float) -> int:
    if size <= room:
        return 1
    return math.ceil((size - OVERLAP) / max(room - OVERLAP, OVERLAP) - 1e-9)


def _cuts(
    span: Stretch, room: float, count: int, whole: list[Stretch], better: list[Stretch]
) -> _Cuts:
    """Return `count` - 1 joints that cost least, of all with no page longer than `room` [mm].

    From joint to joint the least sum of costs so far is kept for every place (dynamic programming).
    """
    low, high = span
    if count == 1:
        return _Cuts((), 0.0)
    step = max(STEP, (high - low) / MOST_STEPS)
    places = low + np.arange(1, math.ceil((high - low) / step)) * step
    price = np.zeros(len(places))
    for stretches, costs in ((whole, HARM), (better, PITY)):
        for start, end in stretches:
            price[(places > start) & (places < end)] += costs
    reach = max(math.floor((room - OVERLAP) / step + 1e-9), 1)
    best = np.where(places <= low + room - OVERLAP / 2 + 1e-9, 0.0, np.inf)
    came = []
    for number in range(1, count):
        even = low + number * (high - low) / count
        if number > 1:
            # of the places within reach before each one, that with the least sum so far
            windows = sliding_window_view(
                np.pad(best[:-1], (reach, 0), constant_values=np.inf), reach
            )
            which = np.argmin(windows, axis=1)
            came.append(np.arange(len(places)) - reach + which)
            best = np.take_along_axis(windows, which[:, None], axis=1)[:, 0]
        # evenly cut pages are the handiest, but count for little
        best = best + price + ((places - even) / room) ** 2
    best[places < high - room + OVERLAP / 2 - 1e-9] = np.inf
    chain = [int(np.argmin(best))]
    cost = float(best[chain[0]])
    for before in reversed(came):
        chain.append(int(before[chain[-1]]))
    return _Cuts(tuple(float(places[index]) for index in reversed(chain)), cost)


def _laid(bounds: Box, lying: bool, across: Sequence[float], up: Sequence[float]) -> Tiling:
    left, bottom, right, top = bounds
    columns = list(pairwise((left, *across, right)))
    rows = list(pairwise((bottom, *up, top)))[::-1]
    half, tiles = OVERLAP / 2, []
    for (row, (y0, y1)), (column, (x0, x1)) in product(enumerate(rows), enumerate(columns)):
        window = (
            x0 - (half if column else 0.0), y0 - (half if row < len(rows) - 1 else 0.0),
            x1 + (half if column < len(columns) - 1 else 0.0), y1 + (half if row else 0.0),
        )  # fmt: skip
        tiles.append(Tile(f"{_letters(row)}{column + 1}", window))
    return Tiling(
        lying, tuple(tiles), tuple(_joins(tiles, columns, rows)), len(columns) * len(rows)
    )


def _letters(row: int) -> str:
    # rows past the twenty-sixth go on with AA, AB
    return chr(65 + row) if row < 26 else chr(64 + row // 26) + chr(65 + row % 26)


def _joins(tiles: list[Tile], columns: list[Stretch], rows: list[Stretch]) -> Iterable[Inked]:
    """Yield the lines to trim to, in the middle of each overlap, with crosses that both pages show."""
    wide = len(columns)
    for index, tile in enumerate(tiles):
        (x0, x1), (y0, y1) = columns[index % wide], rows[index // wide]
        if index % wide < wide - 1:
            yield from _join((x1, y0), (x1, y1), tile.name, tiles[index + 1].name)
        if index // wide < len(rows) - 1:
            yield from _join((x0, y0), (x1, y0), tile.name, tiles[index + wide].name)


def _join(start: Point, end: Point, one: str, other: str) -> Iterable[Inked]:
    yield line(start, end, "paper", "join")
    for share in (0.25, 0.75):
        at = (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
        yield from cross(at, "join", 4.0, "paper")
    upright = start[0] == end[0]
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    aside = (middle[0] - 2.4, middle[1]) if upright else (middle[0], middle[1] + 2.4)
    text = f"trim {one} here, lay it on the crosses of {other}"
    yield Label(aside, text, "note", "join", 1.8, "middle", 90.0 if upright else 0.0)
