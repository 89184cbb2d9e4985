"""Where the words go: whole, none over another, and over as few lines as can be."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tui.plot.scale import Dots, Scale


@dataclass(frozen=True)
class Wish:
    """A text that would like its middle at `at` [dots]; those of most `weight` are placed first.

    Where nothing is free within `reach`, in about as many cells, it is left out.
    """

    text: str
    at: tuple[float, float]
    tone: str
    weight: int
    reach: float = math.inf


_NEAR = (math.nan, math.nan)


@dataclass(frozen=True)
class Words:
    """A text placed: its first character at `column`, `row` from the top left; it names what is at `at` [dots],
    if that may be far off.
    """

    text: str
    column: int
    row: int
    tone: str
    at: tuple[float, float] = _NEAR


LEADER = 7.0
"""How far [dots] a text may stand from what it names without a line that leads there."""


def leader(words: Words, scale: Scale) -> Dots | None:
    """Return the line from a text to what it names, None where it stands beside it."""
    x, y = words.at
    left, right = 2 * words.column - 1, 2 * (words.column + len(words.text))
    low = 4 * (scale.rows - 1 - words.row)
    start = (min(max(x, left), right), min(max(y, low), low + 3.0))
    if not math.hypot(x - start[0], y - start[1]) > LEADER:
        return None
    return np.array([start, (x, y)])


# cells to go aside from the wished place, nearest first; text is wide, so sideways steps are longer
_ASIDE = sorted(
    ((dx, dy) for dy in range(-3, 4) for dx in range(-12, 13)),
    key=lambda step: (abs(step[0]) / 2 + abs(step[1]) * 1.2, step),
)


def placed(
    wishes: Iterable[Wish],
    scale: Scale,
    busy: NDArray[np.int32],
    barred: NDArray[np.int32] | None = None,
) -> list[Words]:
    """Return the texts that find a place; `busy`, shape (rows, columns), counts dots in cells.

    No text comes on a cell that is not 0 in `barred`, of the same shape.
    """
    # how many busy cells lie left of each column, so that a stretch costs one subtraction
    left = np.zeros((scale.rows, scale.columns + 1), dtype=int)
    left[:, 1:] = np.cumsum(busy > 0, axis=1)
    ground = _Ground(
        scale, left.tolist(), _bits(barred) if barred is not None else [0] * scale.rows
    )
    found = []
    for wish in sorted(wishes, key=lambda wish: -wish.weight):
        spot = ground.best(wish)
        if spot is not None:
            row, column = spot
            at = wish.at if math.isinf(wish.reach) else _NEAR  # what is kept near needs no line
            found.append(Words(wish.text, column, row, wish.tone, at))
            ground.take(row, column, len(wish.text))
    return found


def _bits(cells: NDArray[np.int32]) -> list[int]:
    """Return a number for each row, with a bit for each column that is not 0."""
    return [sum(1 << int(column) for column in np.flatnonzero(row)) for row in cells]


@dataclass
class _Ground:
    """What is in the way of words: lines that may be covered, and words that may not."""

    scale: Scale
    lines: list[list[int]]
    words: list[int]
    """One number a row, a bit for each column that is taken."""

    def take(self, row: int, column: int, width: int) -> None:
        """Take the place of a text; a blank cell on either side keeps two from reading as one."""
        self.words[row] |= ((1 << (width + 2)) - 1) << column >> 1

    def best(self, wish: Wish) -> tuple[int, int] | None:
        """Return the row and column where a text covers little and stands near what it names."""
        scale, width = self.scale, len(wish.text)
        x, y = wish.at
        if not width or width > scale.columns or not np.isfinite([x, y]).all():
            return None
        if not (-2 <= x <= scale.width + 1 and -4 <= y <= scale.height + 3):
            return None  # what it names is out of sight
        home_column, home_row = round(x / 2 - width / 2), scale.rows - 1 - int(y // 4)
        mask = (1 << width) - 1
        best, least = None, math.inf
        for dx, dy in _ASIDE:
            row, column = home_row + dy, min(max(home_column + dx, 0), scale.columns - width)
            if not 0 <= row < scale.rows or self.words[row] >> column & mask:
                continue
            away = abs(column - home_column) / 2 + abs(dy) * 1.2
            cost = away + 1.5 * (self.lines[row][column + width] - self.lines[row][column])
            if cost < least:
                best, least = (row, column), cost
            if away >= least or away > wish.reach:
                break
        return best
