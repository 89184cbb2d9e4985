"""The texts of the map: its rows in tones, and what stands beside it."""

import textwrap

from textual.content import Content

from core.layout.layout import Layout
from core.lock.lock import spec_of
from core.propose.map_text import LETTERS, LEVELS, MARK, figures, legend, map_rows, stopped
from core.propose.proposals_text import named
from core.propose.room_map import RoomMap
from core.text import plain
from tui.plot.canvas import Piece
from tui.widgets.help_text import heading_line

_TONES = dict(zip(LEVELS, ("quiet", "", "fine", "fine"), strict=True))
HEARING = "Being checked ..."
"""Stands until every check has been heard of the lock where it is."""
_HELP = """\
Across and up are two dimensions of the lock; all others stay as they are. At each place stands how much room the lock \
would have there to its nearest limit: the denser the sign, the more. A capital letter names the limit that is nearest \
thereabouts, a small one what stops the lock. The arrows move the lock, @, by a small step each; Ctrl+Z takes it back. \
X and Y choose any two dimensions. \
The lock itself is held against all that could stop it. Of the other places the map does not show where the bolt jams, \
a stop before a seat, parts that are made, or what would stop the lock anywhere on it."""


def title(found: RoomMap) -> list[list[Piece]]:
    """Return the top line."""
    words = f"{named(found.across)} across, {named(found.up)} up"
    return [[(f" {plain(found.lock.title) or 'no title'} ", "accent"), (f" {words}", "quiet")]]


def picture(found: RoomMap) -> list[list[Piece]]:
    """Return the rows of the map in tones, and the ends of what is across below them."""
    rows = [_row(row) for row in map_rows(found)]
    units = found.lock.units
    ends = [spec_of(found.across).shown(float(x), units) for x in (found.xs[0], found.xs[-1])]
    room = max(len(found.xs) - len(ends[0]), len(ends[1]) + 1)
    return [*rows, [(f"{ends[0]}{ends[1]:>{room}}", "quiet")]]


def _row(row: str) -> list[Piece]:
    pieces: list[Piece] = []
    for sign in row:
        tone = _tone(sign)
        if pieces and pieces[-1][1] == tone:
            pieces[-1] = (pieces[-1][0] + sign, tone)
        else:
            pieces.append((sign, tone))
    return pieces


def _tone(sign: str) -> str:
    if sign == MARK:
        return "accent"
    return _TONES.get(sign, "stop" if sign in LETTERS else "bold")


def beside(found: RoomMap, width: int, said: str) -> list[list[Piece]]:
    """Return what stands beside the map in so many columns: the lock, the signs, the room about the key."""
    at, units = Layout(found.lock), found.lock.units
    ends = [spec_of(found.up).shown(float(y), units) for y in (found.ys[-1], found.ys[0])]
    lines: list[list[Piece]] = [[(line, "strong")] for line in textwrap.wrap(said, width)]
    first, *rest = figures(at, found)
    tone = "bold" if found.room >= 0 and not found.stopped else "stop"
    told = [first, *stopped(found)]
    lines += [[(line, tone)] for text in told for line in textwrap.wrap(text, width)]
    if found.room >= 0 and found.stopped is None:
        lines.append([(HEARING, "quiet")])
    signs, _, *letters = legend(found)
    for text in (*letters, *rest, f"Up from {ends[1]} to {ends[0]}.", signs):
        after = "     " if text.startswith("  ") else ""
        lines += [[(line, "quiet")] for line in textwrap.wrap(text, width, subsequent_indent=after)]
    return lines


def help_page() -> Content:
    """Return the help of the map."""
    return Content("\n").join([heading_line("THE MAP"), Content(_HELP)])
