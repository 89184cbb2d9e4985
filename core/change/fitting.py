"""A workpiece as made against the same workpiece as now wanted: what is too much, and what is missing.

Two shapes are laid on each other in the workpiece's own frame and subtracted, both ways. Metal that stands
outside the wanted shape can be filed off; metal that is not there cannot be put back. *Deep* is the
distance of a point of the difference from the other shape, at its greatest: the one-sided Hausdorff
distance. Lengths in mm, areas in mm2.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.geometry.path import Path, Point, Points
from core.geometry.polygons import polygon
from core.workpiece import Shape, Size

Word = Literal["good", "file", "remake"]
WORDS: tuple[Word, ...] = ("good", "file", "remake")
"""Best first: as it is, by filing, not at all."""
SPACING = 0.2
"""Distance [mm] between the points at which the depth of a difference is taken."""
THINNED = 2e-4
"""By how much [mm] the edge of a difference may be simplified before its depth is taken."""
NOTHING = 1e-7
"""Depth [mm] below which a difference is the rounding of numbers."""


@dataclass(frozen=True)
class Patch:
    """One place where two shapes differ: its name, depth and area, and its deepest point.

    `area` is 0 for a size that the flat shape does not show.
    """

    where: str
    depth: float
    area: float
    at: Point


@dataclass(frozen=True)
class Fitting:
    """What becomes of a workpiece: `word`, and the patches beyond the tolerance, deepest first.

    `spare` is metal to file off and `missing` metal that is not there. The depths and areas of the whole
    difference, within the tolerance too, are `deepest_spare`, `spare_area` and so on. `shift` is how far the
    made shape was moved along x to lie best.
    """

    word: Word
    spare: tuple[Patch, ...]
    missing: tuple[Patch, ...]
    deepest_spare: float
    deepest_missing: float
    spare_area: float
    missing_area: float
    shift: float = 0.0

    @property
    def rank(self) -> tuple[int, float, float]:
        """Sorts the better fitting first: by word, then by what is missing, then by what is to file."""
        lacking = self.deepest_missing if self.word == "remake" else 0.0
        return WORDS.index(self.word), lacking, self.deepest_spare


@dataclass(frozen=True)
class Solid:
    """A shape with its area, so that one that is compared often is made a polygon once."""

    shape: Shape
    area: BaseGeometry


def solid(shape: Shape) -> Solid:
    """Return a shape with its area; nothing is left of one without a body."""
    area: BaseGeometry = shapely.Polygon() if shape.body is None else _area(shape.body)
    for cut in shape.cuts:
        area = area.difference(_area(cut.path))
    return Solid(shape, area)


def _area(path: Path) -> BaseGeometry:
    """Return the area of a path; of one that crosses itself what can be told from it."""
    return shapely.union_all(list(_polygons(polygon(path))))


def fit(made: Solid, wanted: Solid, tolerance: float) -> Fitting:
    """Return what becomes of a workpiece made to one shape when another is wanted.

    Differences up to `tolerance` [mm] are let pass. A workpiece that slides is tried with either
    reference edge, and the middle between them, on its counterpart.
    """
    best: Fitting | None = None
    for shift in _shifts(made.shape, wanted.shape):
        tried = _fit_at(made, wanted, tolerance, shift)
        if best is None or tried.rank < best.rank:
            best = tried
        if best.word == "good":
            break
    if best is None:
        raise AssertionError("there is always the shift by nothing")
    return best


def _shifts(made: Shape, wanted: Shape) -> Iterator[float]:
    yield 0.0
    pairs = zip(made.references, wanted.references, strict=False)
    found = dict.fromkeys(w - m for m, w in pairs)
    yield from (shift for shift in found if abs(shift) > NOTHING)


def _fit_at(made: Solid, wanted: Solid, tolerance: float, shift: float) -> Fitting:
    there = made.area
    if shift:
        there = shapely.transform(there, lambda q: q + np.array([shift, 0.0]))
    spare = _patches(there.difference(wanted.area), wanted)
    missing = _patches(wanted.area.difference(there), Solid(wanted.shape, there))
    thick, thin = _sizes(made.shape.sizes, wanted.shape.sizes, wanted.area.area)
    return _judged([*spare, *thick], [*missing, *thin], tolerance, shift)


def _judged(spare: list[Patch], missing: list[Patch], tolerance: float, shift: float) -> Fitting:
    to_file, lacking = _beyond(spare, tolerance), _beyond(missing, tolerance)
    return Fitting(
        "remake" if lacking else "file" if to_file else "good",
        to_file,
        lacking,
        max((patch.depth for patch in spare), default=0.0),
        max((patch.depth for patch in missing), default=0.0),
        math.fsum(patch.area for patch in spare),
        math.fsum(patch.area for patch in missing),
        shift,
    )


def _beyond(patches: list[Patch], tolerance: float) -> tuple[Patch, ...]:
    """Return the patches deeper than `tolerance` [mm], deepest first."""
    deep = [patch for patch in patches if patch.depth > tolerance]
    return tuple(sorted(deep, key=lambda patch: -patch.depth))


def _sizes(
    made: Iterable[Size], wanted: Iterable[Size], face: float
) -> tuple[list[Patch], list[Patch]]:
    """Return the sizes in which the made one has metal to spare, and those in which it lacks it.

    A thickness is filed over the whole `face` [mm2].
    """
    as_made = {size.name: size for size in made}
    spare: list[Patch] = []
    missing: list[Patch] = []
    for size in wanted:
        more = as_made[size.name].value - size.value if size.name in as_made else 0.0
        if size.opening:
            more = -more
        if abs(more) > NOTHING:
            area = face if size.name == "thickness" else 0.0
            patch = Patch(size.name, abs(more), area, (0.0, 0.0))
            (spare if more > 0 else missing).append(patch)
    return spare, missing


def _patches(difference: BaseGeometry, other: Solid) -> list[Patch]:
    """Return the connected pieces of a difference, with their depth measured from the `other` shape."""
    pieces = [piece for piece in _polygons(difference) if piece.area > NOTHING * NOTHING]
    if not pieces:
        return []
    edge = other.area.boundary
    tree = shapely.STRtree(_segments(edge)) if not edge.is_empty else None
    found = []
    for piece in pieces:
        depth, at = _depth(piece, tree)
        if depth > NOTHING:
            middle = piece.representative_point()
            where = _where(other.shape, at, (middle.x, middle.y))
            found.append(Patch(where, depth, float(piece.area), at))
    return found


def _segments(edge: BaseGeometry) -> NDArray[np.object_]:
    rings = [shapely.get_coordinates(ring) for ring in shapely.get_parts(edge)]
    ends = np.concatenate([np.stack([ring[:-1], ring[1:]], axis=1) for ring in rings])
    made: NDArray[np.object_] = shapely.linestrings(ends)
    return made


def _depth(piece: BaseGeometry, other: shapely.STRtree | None) -> tuple[float, Point]:
    """Return the greatest distance [mm] of a point of `piece` from the edges in `other`, and that point.

    The piece lies outside the other shape. The greatest distance is found on its edge, except where the
    other shape is all round it: then it is in the middle of the largest circle that goes in.
    """
    outline = shapely.simplify(piece, THINNED)
    points = shapely.get_coordinates(shapely.segmentize(outline.boundary, SPACING))
    if other is None:
        left, low, right, high = piece.bounds
        return math.hypot(right - left, high - low), (float(points[0, 0]), float(points[0, 1]))
    depth, at = _farthest(points, other)
    if not shapely.buffer(outline, -(depth + NOTHING), quad_segs=2).is_empty:
        circle = shapely.maximum_inscribed_circle(outline, 1e-3)
        return max((depth, at), _farthest(shapely.get_coordinates(circle)[:1], other))
    return depth, at


def _farthest(points: Points, other: shapely.STRtree) -> tuple[float, Point]:
    (which, _), away = other.query_nearest(
        shapely.points(points), return_distance=True, all_matches=False
    )
    best = int(np.argmax(away))
    x, y = points[which[best]]
    return float(away[best]), (float(x), float(y))


def _where(shape: Shape, *points: Point) -> str:
    """Return the name of the edge or cut that lies nearest to a point; others decide between equals."""
    places, weights = np.array(points), np.array([1.0] + [0.01] * (len(points) - 1))
    named = [(float(weights @ segment.distance(places)), name) for name, segment in shape.edges]
    named += [(float(weights @ cut.path.distance(places)), cut.name) for cut in shape.cuts]
    return min(named, default=(0.0, "outline"))[1]


def _polygons(area: BaseGeometry) -> Iterator[BaseGeometry]:
    """Yield the polygons of a geometry; points and lines, which have no metal, are left out."""
    for part in shapely.get_parts(area):
        if part.geom_type == "Polygon":
            if not part.is_empty:
                yield part
        elif part.geom_type in ("MultiPolygon", "GeometryCollection"):
            yield from _polygons(part)
