"""The rivets' holes."""

from collections.abc import Iterator

from core.lock.rows.second_kind import ROWS

from core.layout.frames import hand
from core.layout.layout import Layout
from core.parts.discs import discs_of
from core.sheets.record import Hole, Piece


def _holes(layout: Layout) -> Iterator[Hole]:
    for rivet in discs_of(layout, ROWS):
        yield Hole(rivet.title, hand(layout).point(rivet.at), 2 * rivet.radius, group="rivet")


PIECE = Piece("rivets", 89, holes=_holes)
