"""Pictures in layers: what stands still is drawn once, what moves is laid over it in every frame."""

import re
from collections.abc import Iterable

from tui.plot.canvas import Piece

Rows = list[list[Piece]]
"""Rows of a picture, as `tui.plot.canvas.rows` returns them."""

_BRAILLE = 0x2800
_BLANKS = " \u2800"
_BITS = ((0x40, 0x04, 0x02, 0x01), (0x80, 0x20, 0x10, 0x08))
"""The bit of each dot of a cell, by its column and its height from the bottom: Unicode, Braille Patterns."""
_LETTERS = re.compile("[^ \u2800-\u28ff](?:[^\u2800-\u28ff]*[^ \u2800-\u28ff])")


def _dots(character: str) -> int | None:
    """Return the dots of a cell, 0 if it is blank, None for a letter."""
    if character == " ":
        return 0
    code = ord(character) - _BRAILLE
    return code if 0 <= code <= 0xFF else None


def overlaid(below: Rows, above: Rows, column: int = 0, row: int = 0) -> Rows:
    """Return two pictures in one, the upper one with its top left at a cell; dots join in its tone.

    A letter hides dots, above or below. Words above, with the blanks between them, hide all of a word below
    that they touch, a single sign only its own cell. Rows in which nothing lies above are the very rows of `below`.
    """
    over = range(row, row + len(above))
    return [_row(low, above[n - row], column) if n in over else low for n, low in enumerate(below)]


def _row(below: list[Piece], above: list[Piece], column: int) -> list[Piece]:
    if all(not tone or not text.strip(_BLANKS) for text, tone in above):
        return below
    characters = [character for text, _ in below for character in text]
    tones = [tone for text, tone in below for _ in text]
    words = _words(above, column)
    for span in (*_touched(below, words), *words):
        for at in span:
            characters[at], tones[at] = " ", ""
    at = column
    for text, tone in above:
        if tone:
            for place, character in enumerate(text, start=at):
                found = _joined(characters[place], character)
                if found is not None:
                    characters[place], tones[place] = found, tone
        at += len(text)
    return _pieces(characters, tones)


def _joined(low: str, high: str) -> str | None:
    """Return what stands in a cell with `high` over `low`; None if that is `low` as it was."""
    over = _dots(high)
    if over is None:
        return high
    under = _dots(low)
    return None if over == 0 or under is None else chr(_BRAILLE + (over | under))


def _pieces(characters: list[str], tones: list[str]) -> list[Piece]:
    """Return single characters with their tones as pieces as long as can be."""
    found, start = [], 0
    for at in range(1, len(tones) + 1):
        if at == len(tones) or tones[at] != tones[start]:
            found.append(("".join(characters[start:at]), tones[start]))
            start = at
    return found


def _words(pieces: Iterable[Piece], column: int = 0) -> list[range]:
    """Return the columns, the first being `column`, of each run of two letters or more and blanks between."""
    found = []
    for text, _ in pieces:
        for match in _LETTERS.finditer(text):
            found.append(range(column + match.start(), column + match.end()))
        column += len(text)
    return found


def _touched(below: Iterable[Piece], above: list[range]) -> list[range]:
    """Return the words below that a word above lies on or stands against."""
    if not above:
        return []
    return [
        low
        for low in _words(below)
        if any(low.start <= high.stop and high.start <= low.stop for high in above)
    ]


def upright(columns: int, rows: int, dot: int, tone: str) -> Rows:
    """Return a picture with an upright line through all of it, at a dot counted from the left."""
    cell, side = divmod(min(max(dot, 0), columns * 2 - 1), 2)
    line = chr(_BRAILLE + sum(_BITS[side]))
    pieces: list[Piece] = [(" " * cell, ""), (line, tone), (" " * (columns - cell - 1), "")]
    return [[piece for piece in pieces if piece[0]] for _ in range(rows)]
