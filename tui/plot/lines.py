"""From visible runs to what is put on the canvas: polylines, whole or cut into dashes."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tui.plot.scale import Dots, Scale
from tui.plot.tones import PATTERNS, Ink

_MOVES = np.array([(0.0, 0.0), (1.0, 0.0), (0.0, -1.0)])
"""A thick line is drawn again one dot to the right and one below."""


@dataclass(frozen=True)
class Run:
    """A polyline through `dots`, shape (n, 2), in one tone; a single point is one dot."""

    dots: Dots
    tone: str


def inked(lines: list[Dots], ink: Ink, scale: Scale) -> list[Run]:
    """Return what draws `lines` in the given ink within the picture."""
    if ink.style == "solid":
        return [Run(line, ink.tone) for line in lines]
    if ink.style == "thick":
        edge = np.array([scale.width - 1, scale.height - 1])
        return [Run(np.clip(line + move, 0, edge), ink.tone) for line in lines for move in _MOVES]
    return [Run(dash, ink.tone) for line in lines for dash in dashes(line, PATTERNS[ink.style])]


def dashes(line: Dots, pattern: tuple[int, ...]) -> list[Dots]:
    """Return the dashes of a line, cut after `pattern`: dots on and off in turn."""
    every = traced(line)
    found = []
    start, step = 0, 0
    while start < len(every):
        count = pattern[step % len(pattern)]
        if step % 2 == 0:
            dash = every[start : start + count]
            # a dash is short enough to be straight: its ends will do
            found.append(dash[[0, -1]] if len(dash) > 1 else dash)
        start, step = start + count, step + 1
    return found


def traced(line: Dots) -> Dots:
    """Return every whole dot that a line through the points `line`, shape (n, 2), passes."""
    if len(line) < 2:
        return np.asarray(np.round(line))
    reach = np.abs(np.diff(line, axis=0)).max(axis=1)
    along = np.concatenate([[0.0], np.cumsum(reach)])
    at = np.arange(int(along[-1]) + 1)
    every = [np.interp(at, along, line[:, i]) for i in (0, 1)]
    return np.asarray(np.round(np.stack(every, axis=1)), dtype=np.float64)


def cells(lines: list[Dots], scale: Scale) -> NDArray[np.int32]:
    """Count the dots of whole lines on each cell, shape (rows, columns), row 0 on top."""
    counts = np.zeros((scale.rows, scale.columns), dtype=np.int32)
    if lines:
        dots = np.concatenate([traced(line) for line in lines])
        columns = (dots[:, 0] // 2).astype(int)
        rows = scale.rows - 1 - (dots[:, 1] // 4).astype(int)
        np.add.at(counts, (rows, columns), 1)
    return counts
