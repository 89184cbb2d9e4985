"""One frame of something that moves: its lines and signs laid over the picture of what stands still."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from core.drawing import Stroke
from core.geometry.path import Point
from tui.plot import canvas
from tui.plot.guard import runs
from tui.plot.labels import Words
from tui.plot.layers import overlaid
from tui.plot.lines import Run, inked
from tui.plot.picture import Picture
from tui.plot.scale import Scale
from tui.plot.tones import Ink, family


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
        ink = Ink(f"{family(stroke.part)}-wanted", "solid")
        lines += inked(runs(stroke.path, scale), ink, scale)
    words = [word for spot in spots for word in _words(spot, scale)]
    return replace(base, rows=overlaid(base.rows, canvas.rows(lines, words, scale)))


def _words(spot: Spot, scale: Scale) -> list[Words]:
    """Return the sign on the cell of its place, its words on the side that has room; nothing outside."""
    x, y = scale.dots(np.array([spot.at]))[0]
    if not (0 <= x < scale.width and 0 <= y < scale.height):
        return []  # a comparison with a not-a-number is false
    column, row = int(x) // 2, scale.rows - 1 - int(y) // 4
    text = f"{spot.sign} {spot.words}" if spot.words else spot.sign
    if column + len(text) > scale.columns:
        text = f"{spot.words} {spot.sign}" if spot.words else spot.sign
        column -= len(text) - 1
    return [Words(text, column, row, spot.tone)] if column >= 0 else []
