"""Files for a laser or a milling machine: one DXF and one SVG for each flat part, outline and holes only.

The kerf is allowed for in the files: whatever is cut round grows by half of it, whatever is cut out shrinks by half.
Holes stand before the outline, the order in which they are cut, so that a part does not fall out before it is done.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import shapely

from core.errors import BadEntryError
from core.geometry.path import circle
from core.geometry.polygons import polygon
from core.layout.drawing import Stroke
from core.layout.frames import to_plate
from core.layout.layout import Layout
from core.parts.plate import plate_outline
from core.sheets.compose import bounds_of
from core.sheets.dxf import dxf_text
from core.sheets.gathering import all_holes, all_pieces
from core.sheets.kerf import Way, moved_aside
from core.sheets.record import BOTH, Flat
from core.sheets.svg import svg_text

WIDEST = 5.0
"""Widest kerf [mm]: more than any saw or cutter takes that flat parts of a lock are cut with."""


def flat_parts(layout: Layout) -> tuple[Flat, ...]:
    """Return every part that can be cut from flat stock, the plates first, with what is cut out of it."""
    of_pieces = (flat for piece in all_pieces() for flat in piece.flats(layout))
    return (*_plates(layout), *of_pieces)


def _plates(layout: Layout) -> Iterable[Flat]:
    view, outline = to_plate(layout), plate_outline(layout).path
    for plate in BOTH:
        cut_out = [
            view.path(put.mark.path)
            for piece in all_pieces()
            for put in piece.on_plates(layout)
            if plate in put.plates
            and isinstance(put.mark, Stroke)
            and put.mark.layer == "cut"
            and put.mark.path.closed
        ]
        taken = shapely.union_all([polygon(path) for path in cut_out])
        # a row of holes is drilled to file a slot from, and the slot itself is cut here
        round_holes = [
            circle(view.point(hole.at), hole.diameter / 2)
            for hole in all_holes(layout)
            if plate in hole.plates
            and not hole.chained
            and not taken.intersects(shapely.Point(view.point(hole.at)))
        ]
        side = "inside" if plate == "back plate" else "outside"
        holes = tuple(dict.fromkeys((*cut_out, *round_holes)))
        yield Flat(
            plate, outline, layout.lock.plate.thickness, holes, f"from the {side}, top edge up"
        )


def checked_kerf(kerf: float) -> float:
    """Return a kerf [mm] that can be allowed for.

    Raises
    ------
    BadEntryError
        For one below 0 or beyond any cutter's.
    """
    if not 0 <= kerf <= WIDEST:
        raise BadEntryError(f"A kerf of {kerf:g} mm is none: it takes 0 to {WIDEST:g} mm")
    return kerf


@dataclass(frozen=True)
class Cutting:
    """A flat part with the ways that the cutter's middle takes: round every hole, then round the outline."""

    flat: Flat
    kerf: float
    ways: tuple[Way, ...]

    @property
    def strokes(self) -> tuple[Stroke, ...]:
        """The same ways as strokes."""
        return tuple(Stroke(way.path, "cut", self.flat.name) for way in self.ways)

    @property
    def dxf(self) -> bytes:
        """The DXF file: closed polylines and circles on one layer, in mm."""
        return dxf_text(self.strokes, "").encode()

    @property
    def svg(self) -> bytes:
        """The SVG file, in mm."""
        return svg_text(self.strokes, bounds_of(self.strokes), "").encode()


def cutting(flat: Flat, kerf: float) -> Cutting:
    """Return a flat part with the ways of a cutter that takes away a `kerf` [mm].

    Raises
    ------
    BadEntryError
        Where the kerf is too wide for the part.
    """
    holes = (moved_aside(hole, -kerf / 2, f"holes of the {flat.name}") for hole in flat.holes)
    return Cutting(flat, kerf, (*holes, moved_aside(flat.outline, kerf / 2, flat.name)))


def about(layout: Layout, cut: Cutting) -> str:
    """Return what a file without words cannot say of a part: how thick, from which side, what is left to the file."""
    missed = sum(way.passed_over for way in cut.ways)
    edges = "1 edge is" if missed == 1 else f"{missed} edges are"
    filed = f"; {edges} too short for the kerf: file to the sheet there" if missed else ""
    return (
        f"{cut.flat.name}: {layout.show(cut.flat.thickness)} thick, seen: {cut.flat.seen}{filed}."
    )
