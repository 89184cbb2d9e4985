"""The one way to plotext: runs of dots and placed words in, rows of text with their tones out."""

import re
from collections.abc import Iterable
from functools import cache, lru_cache
from itertools import accumulate, groupby
from typing import Any

import numpy as np

from tui.plot.labels import Words
from tui.plot.library import plotext
from tui.plot.lines import Run
from tui.plot.scale import ACROSS, DOWN, Scale
from tui.plot.tones import TONES

Piece = tuple[str, str]
"""A text and its tone; the tone is empty for blank canvas."""

_FIRST = 16
"""Number of the first tone in the palette; the lower ones belong to the terminal."""
_CODES = re.compile(r"\x1b\[([0-9;]*)m")


def rows(runs: Iterable[Run], words: Iterable[Words], scale: Scale) -> list[list[Piece]]:
    """Draw and return the picture's rows, top first, each as pieces that fill its columns.

    Later runs lie over earlier ones; words lie over all runs. Everything must have passed the
    guard: finite dots within the scale, words that fit.
    """
    terminal = type(plotext.terminal)()
    terminal.limit(False, False)
    figure = type(plotext.figure)(terminal)  # a figure of its own: sharing one is not safe
    figure.plot_size(scale.columns, scale.rows)
    figure.canvas("default")
    figure.axes(False)
    figure.ruler("both", "both").frequency(0).alignment(lim="edge")
    figure.ruler("x").lim(-0.5, scale.width - 0.5)
    figure.ruler("y").lim(-0.5, scale.height - 0.5)
    for tone, together in groupby(runs, key=lambda run: run.tone):
        dots = [run.dots for run in together]
        figure.draw(_signal(tone, np.concatenate(dots).tobytes(), tuple(map(len, dots))))
    for word in words:
        figure.draw(_text(word.text, word.tone, word.column, scale.rows - 1 - word.row))
    lines = figure.build().string().split("\n")
    return [_pieces(line) for line in lines[: scale.rows]]


# at a nudge most of a picture stands as it stood: the figure takes copies of what it draws, so that each can be kept


@lru_cache(maxsize=128)
def _signal(tone: str, dots: bytes, lengths: tuple[int, ...]) -> Any:
    """Return what draws runs of these lengths, one after the other in `dots`, floats of shape (n, 2)."""
    every = np.frombuffer(dots).reshape(-1, 2)
    marker = plotext.marker("braille", pixel=_pixel(tone))
    signal = plotext.figure.signal(every[:, 0].tolist(), every[:, 1].tolist(), marker=marker)
    signal.lines()
    # else it looks at every point for tones that a next signal is not to have, a third of all its time
    signal._get_unique_pixels = list
    for first in accumulate(lengths):
        signal.line(first, False)  # each run begins anew
    return signal


@lru_cache(maxsize=512)
def _text(text: str, tone: str, column: int, row: int) -> Any:
    """Return what writes a text from a cell on, counted from the bottom left."""
    return plotext.figure.text(
        column * ACROSS + 0.5, row * DOWN + 1.5, plotext.colorize(text, _pixel(tone))
    )


@cache
def _pixel(tone: str) -> Any:
    return plotext.pixel(_FIRST + TONES.index(tone))


def _pieces(line: str) -> list[Piece]:
    found: list[Piece] = []
    tone, at = "", 0
    for code in _CODES.finditer(line):
        if code.start() > at:
            found.append((line[at : code.start()], tone))
        numbers = code.group(1).split(";")
        if numbers[:2] == ["38", "5"]:
            tone = TONES[int(numbers[2]) - _FIRST]
        elif numbers in (["0"], [""]):
            tone = ""
        at = code.end()
    if at < len(line):
        found.append((line[at:], tone))
    return found
