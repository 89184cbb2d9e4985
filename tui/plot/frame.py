"""One frame of something that moves: its lines and signs laid over the picture of what stands still."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from core.geometry.path import Point
from core.layout.drawing import Stroke
from tui.plot import canvas
from tui.plot.guard import runs
from tui.plot.labels import Words
from tui.plot.layers import overlaid
from tui.plot.lines import Run, inked
from tui.plot.picture import Picture
from tui.plot.scale import ACROSS, DOWN, Scale
from tui.plot.tones import moving_ink


@dataclass(frozen=True)
class Spot:
    """A place [mm] that is marked: a sign of one character on it, and perhaps words beside it."""

    at: Point
    sign: str
    tone: str
    words: str = ""


def framed(base: Picture, moving: Iterable[Stroke], spots: Iterable[Spot]) -> Picture:
    """Return the picture with what moves, and what is marked, over what stands still in `base`."""
    scale = base.scale
    lines: list[Run] = []
    for stroke in moving:
        lines += inked(runs(stroke.path, scale), moving_ink(stroke.part), scale)
    words = [word for spot in spots for word in _words(spot, scale)]
    box = _box(lines, words, scale)
    if box is None:
        return base
    (left, top), part = box
    # only the part of the canvas that has anything on it: most of a build goes to the canvas
    shift = np.array([left * ACROSS, (scale.rows - top - part.rows) * DOWN])
    lines = [Run(line.dots - shift, line.tone) for line in lines]
    words = [replace(word, column=word.column - left, row=word.row - top) for word in words]
    above = canvas.rows(lines, words, part)
    return replace(base, rows=overlaid(base.rows, above, left, top))


def _box(
    lines: Iterable[Run], words: Iterable[Words], scale: Scale
) -> tuple[tuple[int, int], Scale] | None:
    """Return the column and row, and the size, of the cells that lines and words take; None without any."""
    columns: list[int] = []
    rows: list[int] = []
    for line in lines:
        columns += [int(x) // ACROSS for x in (line.dots[:, 0].min(), line.dots[:, 0].max() + 0.5)]
        rows += [
            scale.rows - 1 - int(y) // DOWN
            for y in (line.dots[:, 1].min(), line.dots[:, 1].max() + 0.5)
        ]
    for word in words:
        columns += [word.column, word.column + len(word.text) - 1]
        rows.append(word.row)
    if not rows:
        return None
    left, top = max(min(columns), 0), max(min(rows), 0)
    right, bottom = min(max(columns), scale.columns - 1), min(max(rows), scale.rows - 1)
    return (left, top), Scale(right - left + 1, bottom - top + 1, scale.centre, scale.mm_per_dot)


def _words(spot: Spot, scale: Scale) -> list[Words]:
    """Return the sign on the cell of its place, its words on the side that has room; nothing outside."""
    x, y = scale.dots(np.array([spot.at]))[0]
    if not (-0.5 <= x < scale.width - 0.5 and -0.5 <= y < scale.height - 0.5):
        return []  # a comparison with a not-a-number is false
    column, row = int(x + 0.5) // ACROSS, scale.rows - 1 - int(y + 0.5) // DOWN
    text = f"{spot.sign} {spot.words}" if spot.words else spot.sign
    if column + len(text) > scale.columns:
        text = f"{spot.words} {spot.sign}" if spot.words else spot.sign
        column -= len(text) - 1
    return [Words(text, column, row, spot.tone)] if column >= 0 else []
