"""Small charts in braille dots: curves over a range, with an axis on each side and a few numbers."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tui.plot import canvas
from tui.plot.guard import visible
from tui.plot.labels import Words
from tui.plot.layers import Rows
from tui.plot.lines import Run
from tui.plot.scale import Dots, Scale

Array = NDArray[np.float64]
_GUTTER = 6
"""Columns left of the upright axis, for its numbers."""
_HEAD = 1
"""How much of the range of y is left blank above the highest value, in dots."""


@dataclass(frozen=True)
class Curve:
    """A curve through `xs` and `ys`, shape (n,), in a tone; it is broken where a value is not finite."""

    xs: Array
    ys: Array
    tone: str


@dataclass(frozen=True)
class Sign:
    """A short text that stands over the curves at `x`, at the upper end of the chart."""

    x: float
    text: str
    tone: str


@dataclass(frozen=True)
class Ground:
    """A chart of `columns` x `rows` cells over the ranges `xs` and `ys`, the axes' numbers included."""

    columns: int
    rows: int
    xs: tuple[float, float]
    ys: tuple[float, float]

    @property
    def scale(self) -> Scale:
        """The canvas; what is drawn on it is already in dots."""
        return Scale(self.columns, self.rows, (0.0, 0.0), 1.0)

    @property
    def _box(self) -> tuple[int, int, int, int]:
        """Left, bottom, right and top of the field for the curves [dots]."""
        return (_GUTTER * 2 + 1, 4, self.columns * 2 - 3, self.rows * 4 - 1 - _HEAD)

    def dots(self, xs: Array, ys: Array) -> Dots:
        """Return where the points fall, shape (n, 2) [dots]; not a number where they are not finite."""
        left, bottom, right, top = self._box
        (x0, x1), (y0, y1) = self.xs, self.ys
        with np.errstate(all="ignore"):
            across = left + (xs - x0) / (x1 - x0) * (right - left)
            up = bottom + (ys - y0) / (y1 - y0) * (top - bottom)
        return np.stack([across, up], axis=-1)

    def dot_of(self, x: float) -> int:
        """Return the dot across at which `x` lies, at the nearer end where it is out of the range."""
        left, _, right, _ = self._box
        x0, x1 = self.xs
        return left + round(min(max((x - x0) / (x1 - x0), 0.0), 1.0) * (right - left))

    def x_at(self, column: int) -> float | None:
        """Return the x in the middle of a column; None left of the upright axis."""
        left, _, right, _ = self._box
        dot = column * 2 + 0.5
        if dot < left - 1:
            return None
        share = min(max((dot - left) / (right - left), 0.0), 1.0)
        return self.xs[0] + share * (self.xs[1] - self.xs[0])


def chart(
    ground: Ground, curves: Iterable[Curve], y_numbers: tuple[str, str], signs: Iterable[Sign] = ()
) -> Rows:
    """Return the rows of a chart; `y_numbers` are written at the low and the high end of its upright axis.

    The numbers along the bottom are the ends and the middle of the range of x, in whole degrees.
    """
    left, bottom, right, top = ground._box
    axes = [np.array([[left - 1, top], [left - 1, bottom - 1], [right, bottom - 1]], dtype=float)]
    ticks = [ground.dot_of(x) for x in (ground.xs[0], sum(ground.xs) / 2, ground.xs[1])]
    axes += [np.array([[tick, bottom - 2], [tick, bottom - 1]], dtype=float) for tick in ticks]
    runs = [Run(line, "measure") for axis in axes for line in visible(axis, ground.scale)]
    for curve in curves:
        low, high = ground.xs
        within = (curve.xs >= low) & (curve.xs <= high)
        ys = np.where(within, curve.ys, np.nan)  # the guard breaks the line there
        lines = visible(ground.dots(curve.xs, ys), ground.scale)
        runs += [Run(line, curve.tone) for line in lines]
    words = _numbers(ground, y_numbers)
    words += [_sign(ground, sign) for sign in signs]
    return canvas.rows(runs, words, ground.scale)


def _numbers(ground: Ground, y_numbers: tuple[str, str]) -> list[Words]:
    low, high = y_numbers
    found = [
        Words(low[:_GUTTER], _GUTTER - len(low[:_GUTTER]), ground.rows - 2, "measure"),
        Words(high[:_GUTTER], _GUTTER - len(high[:_GUTTER]), 0, "measure"),
    ]
    for x in (ground.xs[0], sum(ground.xs) / 2, ground.xs[1]):
        text = f"{x:.0f}°"
        middle = ground.dot_of(x) // 2
        column = min(max(middle - (len(text) - 1) // 2, 0), ground.columns - len(text))
        found.append(Words(text, column, ground.rows - 1, "measure"))
    return found


def _sign(ground: Ground, sign: Sign) -> Words:
    room = ground.columns - _GUTTER
    text = sign.text[:room]
    column = ground.dot_of(sign.x) // 2
    return Words(text, min(column, ground.columns - len(text)), 0, sign.tone)


def round_up(value: float) -> float:
    """Return the least of 1, 1.5, 2, 3, 4, 5, 6 and 8 times a power of ten that is not below `value`."""
    if not (math.isfinite(value) and value > 0):
        return 1.0
    power = 10.0 ** math.floor(math.log10(value))
    steps = (1, 1.5, 2, 3, 4, 5, 6, 8, 10)
    return power * next((s for s in steps if s * power >= value * (1 - 1e-9)), 10)
