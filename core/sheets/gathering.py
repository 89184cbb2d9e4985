"""What the pieces bring together, in the mock-up order: found by themselves, as modules of `core.sheets.pieces`."""

import importlib
import pkgutil
from functools import cache

from core.layout.layout import Layout
from core.sheets import pieces
from core.sheets.record import Hole, Piece


@cache
def all_pieces() -> tuple[Piece, ...]:
    """Return every piece, in the mock-up order."""
    found = []
    for module in pkgutil.iter_modules(pieces.__path__):
        piece = getattr(importlib.import_module(f"{pieces.__name__}.{module.name}"), "PIECE", None)
        if piece is not None:
            found.append(piece)
    return tuple(sorted(found, key=lambda piece: (piece.order, piece.name)))


def all_holes(layout: Layout) -> tuple[Hole, ...]:
    """Return every hole in the plates, in the mock-up order."""
    return tuple(hole for piece in all_pieces() for hole in piece.holes(layout))
