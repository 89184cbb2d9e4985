"""The mark of a sheet: a few letters by which a printed sheet and the lock in the file are told apart or alike.

The first two letters say which sheet it is, the others in which state it was: what is cut, drilled and scribed, and
what is written beside it, not the day or the file's name. They come of a SHA-256 sum, in letters and digits that nobody
takes for each other: of two states one in 24 million has the mark of the other.
"""

import hashlib
from collections.abc import Iterable

from core.errors import BadEntryError
from core.geometry.path import Arc, Path
from core.layout.drawing import Mark, Stroke
from core.sheets.record import Loose, Sheet
from core.text import shown

LETTERS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
"""No 0 and O, no 1, I and L, no U."""
WHICH, STATE = 2, 5
"""Letters that say which sheet it is, and in which state."""


def mark_of(name: str, texts: Iterable[str]) -> str:
    """Return the mark of what is called `name` and says `texts`."""
    return f"{_letters([name], WHICH)}-{_letters(texts, STATE)}"


def sheet_mark(sheet: Sheet) -> str:
    """Return the mark of a sheet; lines that only lead a text to its place do not count."""
    texts = [sheet.title, sheet.seen, *sheet.notes]
    for mark in sheet.marks:
        texts += [said(m) for m in (mark.marks if isinstance(mark, Loose) else (mark,))]
    return mark_of(sheet.name, texts)


def is_of(mark: str, name: str) -> bool:
    """Say whether a mark is one of the sheet called `name`, in whatever state."""
    return mark.startswith(f"{_letters([name], WHICH)}-")


def read_mark(text: str) -> str:
    """Return a mark as it was typed off a sheet, capitals and dash put right.

    Raises
    ------
    BadEntryError
        For what no sheet can bear.
    """
    letters = "".join(c for c in text.upper() if not c.isspace() and c not in "-\u2010\u2011\u2013")
    if len(letters) != WHICH + STATE or not set(letters) <= set(LETTERS):
        raise BadEntryError(
            f"{shown(text)} is no mark of a sheet: it is {WHICH} letters or digits, a dash and {STATE} more, "
            f"of {LETTERS}"
        )
    return f"{letters[:WHICH]}-{letters[WHICH:]}"


def said(mark: Mark) -> str:
    """Return what a stroke or text says of the lock, as a text; a line that only leads a text to its place nothing."""
    if not isinstance(mark, Stroke):
        return mark.text
    return "" if mark.layer == "note" else f"{mark.layer} {mark.ghost} {_traced(mark.path)}"


def _traced(path: Path) -> str:
    numbers: list[float] = [*path.start] if path.segments else []
    for segment in path.segments:
        numbers += segment.end
        if isinstance(segment, Arc):
            numbers += (*segment.centre, segment.sweep)
    # to a thousandth of a millimetre: finer than any file, coarser than the rounding of numbers
    return " ".join(f"{round(number, 3) + 0.0:.3f}" for number in numbers)


def _letters(texts: Iterable[str], count: int) -> str:
    number = int.from_bytes(hashlib.sha256("\n".join(texts).encode()).digest())
    found = []
    for _ in range(count):
        number, place = divmod(number, len(LETTERS))
        found.append(LETTERS[place])
    return "".join(found)
