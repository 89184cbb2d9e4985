"""Rows that go through both plates in a round hole, as discs: posts, and what else there may be.

A row kind with a `place` and a `hole` is such a one (see `core.lock.row.RowKind`); what is alike in all of them is
here, so that each has only its own to say.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from core.geometry.path import Path, Point, circle
from core.geometry.polygons import polygon
from core.layout.drawing import Mark, Measure, Stroke
from core.layout.frames import hand, to_plate
from core.layout.layout import Layout, derived
from core.layout.part import Spot
from core.layout.workpiece import Cut
from core.lock.paths import row_path
from core.lock.row import RowKind
from core.lock.row_kinds import row_kinds
from core.parts.plate import spot_in_drive


@dataclass(frozen=True)
class Disc:
    """One row as a disc in the drive frame [mm]."""

    kind: RowKind
    name: str
    at: Point
    radius: float

    @property
    def title(self) -> str:
        """What it is called in texts and drawings."""
        return self.kind.title(self.name)

    @property
    def code(self) -> str:
        """Its name in the codes of findings."""
        return self.title.replace(" ", "-")

    @property
    def outline(self) -> Path:
        """Its outline."""
        return circle(self.at, self.radius)

    def path(self, key: str) -> str:
        """Return the path of one of its values."""
        return row_path(self.kind.table, self.name, key)


@derived
def discs(layout: Layout) -> tuple[Disc, ...]:
    """Return every row that goes through the plates, kind by kind, in the order of the file."""
    here = hand(layout)
    found = []
    for kind in row_kinds().values():
        if kind.place is None or not kind.hole:
            continue
        for named in layout.lock.rows.of(kind.table):
            across, above = (getattr(named.row, key) for key in kind.place)
            radius = getattr(named.row, kind.hole) / 2
            found.append(Disc(kind, named.name, here.point((across, above)), radius))
    return tuple(found)


def discs_of(layout: Layout, kind: RowKind) -> tuple[Disc, ...]:
    """Return the rows of one kind, in the order of the file."""
    return tuple(disc for disc in discs(layout) if disc.kind == kind)


def disc_marks(layout: Layout, kind: RowKind) -> Iterable[Mark]:
    """Yield the drawing of each row: its hole, and both dimensions of its middle."""
    here = hand(layout)
    for disc in discs_of(layout, kind):
        x, y = here.point(disc.at)
        yield Stroke(circle((x, y), disc.radius), "drill", disc.title)
        for key, start, value in zip(kind.place or (), ((0.0, y), (x, 0.0)), (x, y), strict=True):
            yield Measure(start, (x, y), layout.show(value), disc.path(key), disc.title)


def disc_spots(layout: Layout, kind: RowKind) -> Iterable[Spot]:
    """Return the middle of each row, to mark out."""
    return (spot_in_drive(layout, disc.title, disc.at) for disc in discs_of(layout, kind))


def disc_areas(layout: Layout, kind: RowKind) -> Mapping[str, BaseGeometry]:
    """Return each row as an area that stands still, by what it is called."""
    return {disc.title: polygon(disc.outline) for disc in discs_of(layout, kind)}


def disc_holes(layout: Layout, kind: RowKind) -> Iterable[Cut]:
    """Yield the hole that each row takes in a plate."""
    move = hand(layout).then(to_plate(layout))
    for disc in discs_of(layout, kind):
        yield Cut(f"{disc.title} hole", circle(move.point(disc.at), disc.radius), drilled=True)
