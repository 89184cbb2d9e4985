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
    return _passed(line[:-1], line[1:]) if len(line) > 1 else np.asarray(np.round(line))


def _passed(start: Dots, end: Dots) -> Dots:
    """Return the whole dots on the segments from `start` to `end`, each shape (n, 2), in turn."""
    along = end - start
    count = np.ceil(np.abs(along).max(axis=1)).astype(int)
    count[-1] += 1  # the last segment has its end too
    which = np.repeat(np.arange(len(count)), count)
    step = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
    reach = np.maximum(np.abs(along).max(axis=1), 1e-9)
    share = np.minimum(step / reach[which], 1.0)
    return np.asarray(np.round(start[which] + share[:, None] * along[which]))


def cells(lines: list[Dots], scale: Scale) -> NDArray[np.int32]:
    """Count the dots of whole lines on each cell, shape (rows, columns), row 0 on top."""
    counts = np.zeros((scale.rows, scale.columns), dtype=np.int32)
    lines = [line for line in lines if len(line) > 1]
    if lines:
        dots = _passed(
            np.concatenate([line[:-1] for line in lines]),
            np.concatenate([line[1:] for line in lines]),
        )
        columns = (dots[:, 0] // 2).astype(int)
        rows = scale.rows - 1 - (dots[:, 1] // 4).astype(int)
        np.add.at(counts, (rows, columns), 1)
    return counts
