"""Where the words go: each whole within the picture, none over another, over as few lines as can
be.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tui.plot.scale import Scale


@dataclass(frozen=True)
class Wish:
    """A text that would like its middle at `at` [dots]; the more `weight`, the sooner it is
    placed.
    """

    text: str
    at: tuple[float, float]
    tone: str
    weight: int


@dataclass(frozen=True)
class Words:
    """A text placed: its first character at `column`, `row` from the top left."""

    text: str
    column: int
    row: int
    tone: str


# cells to go aside from the wished place, nearest first; text is wide, so sideways steps are longer
_ASIDE = sorted(
    ((dx, dy) for dy in range(-3, 4) for dx in range(-12, 13)),
    key=lambda step: (abs(step[0]) / 2 + abs(step[1]) * 1.2, step),
)


def placed(wishes: Iterable[Wish], scale: Scale, busy: NDArray[np.int32]) -> list[Words]:
    """Return the texts that find a place; `busy`, shape (rows, columns), counts the dots in each
    cell.
    """
    taken = np.zeros((scale.rows, scale.columns), dtype=bool)
    found = []
    for wish in sorted(wishes, key=lambda wish: -wish.weight):
        spot = _best(wish, scale, busy, taken)
        if spot is not None:
            row, column = spot
            found.append(Words(wish.text, column, row, wish.tone))
            # a blank cell on either side keeps two texts from reading as one
            taken[row, max(column - 1, 0) : column + len(wish.text) + 1] = True
    return found


def _best(
    wish: Wish, scale: Scale, busy: NDArray[np.int32], taken: NDArray[np.bool_]
) -> tuple[int, int] | None:
    width = len(wish.text)
    x, y = wish.at
    if not width or width > scale.columns or not np.isfinite([x, y]).all():
        return None
    if not (-2 <= x <= scale.width + 1 and -4 <= y <= scale.height + 3):
        return None  # what it names is out of sight
    home_column = round(x / 2 - width / 2)
    home_row = scale.rows - 1 - int(y // 4)
    best, least = None, np.inf
    for dx, dy in _ASIDE:
        row, column = home_row + dy, min(max(home_column + dx, 0), scale.columns - width)
        if not 0 <= row < scale.rows or taken[row, column : column + width].any():
            continue
        away = abs(column - home_column) / 2 + abs(dy) * 1.2
        cost = away + 1.5 * np.count_nonzero(busy[row, column : column + width])
        if cost < least:
            best, least = (row, column), cost
        if away >= least:
            break
    return best
