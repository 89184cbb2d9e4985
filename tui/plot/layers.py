"""Pictures in layers: what stands still is drawn once, what moves is laid over it in every frame."""

import re
from collections.abc import Iterable
from itertools import groupby

from tui.plot.canvas import Piece

Rows = list[list[Piece]]
"""Rows of a picture, as `tui.plot.canvas.rows` returns them."""

_BRAILLE = 0x2800
_BITS = ((0x40, 0x04, 0x02, 0x01), (0x80, 0x20, 0x10, 0x08))
"""The bit of each dot of a cell, by its column and its height from the bottom: Unicode, Braille Patterns."""
_LETTERS = re.compile("[^ \u2800-\u28ff](?:[^\u2800-\u28ff]*[^ \u2800-\u28ff])")


def _dots(character: str) -> int | None:
    """Return the dots of a cell, 0 if it is blank, None for a letter."""
    if character == " ":
        return 0
    code = ord(character) - _BRAILLE
    return code if 0 <= code <= 0xFF else None


def overlaid(below: Rows, above: Rows) -> Rows:
    """Return two pictures of one size in one; dots join in the tone of the upper one.

    A letter hides dots, above or below. Words above hide all of a word below that they touch, a single sign
    only its own cell. Rows in which nothing lies above are the very rows of `below`.
    """
    return [_row(low, high) for low, high in zip(below, above, strict=True)]


def _row(below: list[Piece], above: list[Piece]) -> list[Piece]:
    if all(not text.strip(" \u2800") for text, _ in above):
        return below
    cells = [(character, tone) for text, tone in below for character in text]
    for span in _touched(below, _words(above)):
        cells[span.start : span.stop] = [(" ", "")] * len(span)
    column = 0
    for text, tone in above:
        for character in text:
            cells[column] = _cell(*cells[column], character, tone)
            column += 1
    return joined(cells)


def _words(pieces: Iterable[Piece]) -> list[range]:
    """Return the columns of each run of two letters or more, with blanks between them."""
    found, column = [], 0
    for text, _ in pieces:
        for match in _LETTERS.finditer(text):
            found.append(range(column + match.start(), column + match.end()))
        column += len(text)
    return found


def _touched(below: Iterable[Piece], above: Iterable[range]) -> list[range]:
    """Return the words below that a word above lies on or stands against."""
    above = tuple(above)
    if not above:
        return []
    return [
        low
        for low in _words(below)
        if any(low.start <= high.stop and high.start <= low.stop for high in above)
    ]


def _cell(low: str, low_tone: str, high: str, high_tone: str) -> Piece:
    over = _dots(high)
    if over is None:
        return high, high_tone
    under = _dots(low)
    if over == 0 or under is None:
        return low, low_tone
    return chr(_BRAILLE + (over | under)), high_tone


def joined(cells: Iterable[Piece]) -> list[Piece]:
    """Return single characters with their tones as pieces as long as can be."""
    return [
        ("".join(character for character, _ in together), tone)
        for tone, together in groupby(cells, key=lambda cell: cell[1])
    ]


def upright(columns: int, rows: int, dot: int, tone: str) -> Rows:
    """Return a picture with an upright line through all of it, at a dot counted from the left."""
    cell, side = divmod(min(max(dot, 0), columns * 2 - 1), 2)
    line = chr(_BRAILLE + sum(_BITS[side]))
    pieces: list[Piece] = [(" " * cell, ""), (line, tone), (" " * (columns - cell - 1), "")]
    return [[piece for piece in pieces if piece[0]] for _ in range(rows)]
