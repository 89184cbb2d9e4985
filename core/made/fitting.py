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
from core.geometry.polygons import FLAT, polygon
from core.layout.workpiece import Shape, Size

Floats = NDArray[np.float64]
Word = Literal["good", "use", "move", "file", "plug", "remake"]
WORDS: tuple[Word, ...] = ("good", "use", "move", "file", "plug", "remake")
"""Best first: as wanted; works as it is; by fixing it elsewhere, filing, or plugging and drilling anew; not at all."""
KEPT: tuple[Word, ...] = ("good", "use")
"""Nothing has to be done to it."""
SPACING = 0.2
"""Distance [mm] between the points at which the depth of a difference is taken."""
THINNED = 2e-4
"""By how much [mm] the edge of a difference may be simplified before its depth is taken."""
NOTHING = 1e-7
"""Depth [mm] below which a difference is the rounding of numbers."""
HAIR = 1e-3
"""How far [mm] beyond the tolerance a difference still counts as within it: what chords and thinned edges may add.

A nudge by just the tolerance is good whatever the last digit of the depth says, and no calliper tells the difference.
"""


@dataclass(frozen=True)
class Patch:
    """One place where two shapes differ: its name, depth and area, and its deepest point.

    `area` is 0 for a size that the flat shape does not show; `drilled` marks one at the edge of a drilled hole.
    """

    where: str
    depth: float
    area: float
    at: Point
    drilled: bool = False


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


def solid(shape: Shape, chord: float = FLAT) -> Solid:
    """Return a shape with its area, arcs as chords within `chord` [mm]; without a body there is none."""
    area: BaseGeometry = shapely.Polygon()
    if shape.body is not None:
        area = _area(shape.body, chord)
    for cut in shape.cuts:
        area = area.difference(_area(cut.path, chord))
    return Solid(shape, area)


def _area(path: Path, chord: float) -> BaseGeometry:
    """Return the area of a path; of one that crosses itself what can be told from it."""
    return shapely.union_all(list(_polygons(polygon(path, chord))))


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
    spare = _difference(there, wanted.area)
    missing = _difference(wanted.area, there)
    thick, thin = _sizes(made.shape.sizes, wanted.shape.sizes, wanted.area.area)
    # both are named after the shape that is wanted, on which the maker has the drawing
    to_file = [*_patches(spare, wanted.shape, tolerance), *_beyond(thick, tolerance)]
    lacking = [*_patches(missing, wanted.shape, tolerance), *_beyond(thin, tolerance)]
    return Fitting(
        "remake" if lacking else "file" if to_file else "good",
        _deepest_first(to_file),
        _deepest_first(lacking),
        max([spare.deepest, *(patch.depth for patch in thick)]),
        max([missing.deepest, *(patch.depth for patch in thin)]),
        math.fsum([spare.area, *(patch.area for patch in thick)]),
        math.fsum([missing.area, *(patch.area for patch in thin)]),
        shift,
    )


def _deepest_first(patches: list[Patch]) -> tuple[Patch, ...]:
    return tuple(sorted(patches, key=lambda patch: -patch.depth))


def _beyond(patches: list[Patch], tolerance: float) -> list[Patch]:
    return [patch for patch in patches if exceeds(patch.depth, tolerance)]


def exceeds(depth: float, tolerance: float) -> bool:
    """Say whether a depth [mm] is beyond the tolerance [mm]; one that is just as deep is not."""
    return depth > tolerance + HAIR


def _sizes(
    made: Iterable[Size], wanted: Iterable[Size], face: float
) -> tuple[list[Patch], list[Patch]]:
    """Return the sizes in which the made one has metal to spare, and those in which it lacks it.

    What is filed over the whole face takes as much as that has, `face` [mm2].
    """
    as_made = {size.name: size for size in made}
    spare: list[Patch] = []
    missing: list[Patch] = []
    for size in wanted:
        more = as_made[size.name].value - size.value if size.name in as_made else 0.0
        if size.opening:
            more = -more
        if abs(more) > NOTHING:
            area = face if size.over_face else 0.0
            patch = Patch(size.name, abs(more), area, (0.0, 0.0))
            (spare if more > 0 else missing).append(patch)
    return spare, missing


@dataclass(frozen=True)
class _Difference:
    """The connected pieces of one shape less another, with the depth and deepest point of each."""

    pieces: list[BaseGeometry]
    depths: Floats
    places: Points

    @property
    def deepest(self) -> float:
        return float(self.depths.max(initial=0.0))

    @property
    def area(self) -> float:
        return math.fsum(piece.area for piece in self.pieces)


def _difference(area: BaseGeometry, other: BaseGeometry) -> _Difference:
    """Return `area` less `other`, each piece with its greatest distance [mm] from `other`."""
    pieces = list(_polygons(area.difference(other)))
    if not pieces:
        return _Difference([], np.zeros(0), np.zeros((0, 2)))
    if other.is_empty:
        boxes = np.array([piece.bounds for piece in pieces])
        return _Difference(pieces, np.hypot(*(boxes[:, 2:] - boxes[:, :2]).T), boxes[:, :2])
    tree = shapely.STRtree(_segments(other.boundary))
    # where two nearly equal arcs cross, chord by chord, there are thousands of slivers: all at once
    thinned = shapely.simplify(np.array(pieces, dtype=object), THINNED)
    # a difference as large as a plate needs no finer look than its size warrants
    spacing = max(SPACING, float(shapely.length(thinned).max()) / 2000)
    points, owner = shapely.get_coordinates(
        shapely.segmentize(shapely.boundary(thinned), spacing), return_index=True
    )
    away = _distances(points, tree)
    order = np.lexsort((away, owner))
    last = np.flatnonzero(np.append(np.diff(owner[order]), 1))
    deepest = order[last]
    depths, places = away[deepest], points[deepest]
    # a hole that is filled has no depth at its edge; twice area over length tells it from a sliver
    wide = 2 * shapely.area(thinned) > THINNED * shapely.length(thinned)
    for k in np.flatnonzero((depths > THINNED) | wide):
        depths[k], places[k] = _inside_too(thinned[k], other, tree, depths[k], places[k])
    return _Difference(pieces, depths, places)


def _inside_too(
    piece: BaseGeometry, other: BaseGeometry, tree: shapely.STRtree, depth: float, at: Points
) -> tuple[float, Points]:
    """Return the greatest distance of a piece, which has `depth` at `at` on its edge, and where.

    It is on the edge, except where the other shape is all round the piece, or all round a hole that the piece fills
    by more than half: then it is in the middle of the largest circle that goes in.
    """
    round_it = [hole for hole in _holes(other) if piece.intersection(hole).area > hole.area / 2]
    if not shapely.buffer(piece, -(depth + NOTHING), quad_segs=2).is_empty:
        round_it.append(piece)
    for room in round_it:
        close = max(1e-3, math.sqrt(room.area) / 3000)
        middle = shapely.get_coordinates(shapely.maximum_inscribed_circle(room, close))[:1]
        inside = float(_distances(middle, tree)[0])
        if inside > depth and piece.intersects(shapely.points(middle[0])):
            depth, at = inside, middle[0]
    return depth, at


def _holes(area: BaseGeometry) -> Iterator[BaseGeometry]:
    for whole in _polygons(area):
        yield from (shapely.Polygon(ring) for ring in whole.interiors)


def _segments(edge: BaseGeometry) -> NDArray[np.object_]:
    rings = [shapely.get_coordinates(ring) for ring in shapely.get_parts(edge)]
    ends = np.concatenate([np.stack([ring[:-1], ring[1:]], axis=1) for ring in rings])
    made: NDArray[np.object_] = shapely.linestrings(ends)
    return made


def _distances(points: Points, tree: shapely.STRtree) -> Floats:
    """Return the distances [mm] of `points`, shape (n, 2), from the nearest edge in `tree`, shape (n,)."""
    _, away = tree.query_nearest(shapely.points(points), return_distance=True, all_matches=False)
    found: Floats = away
    return found


def _patches(difference: _Difference, shape: Shape, tolerance: float) -> Iterator[Patch]:
    """Yield the pieces deeper than `tolerance` [mm], named after the edges of `shape`."""
    for k in np.flatnonzero(difference.depths > tolerance + HAIR):
        piece, at = difference.pieces[k], difference.places[k]
        middle = piece.representative_point()
        where, drilled = _where(shape, (float(at[0]), float(at[1])), (middle.x, middle.y))
        depth, area = float(difference.depths[k]), float(piece.area)
        yield Patch(where, depth, area, (float(at[0]), float(at[1])), drilled)


def _where(shape: Shape, *points: Point) -> tuple[str, bool]:
    """Return the edge or cut that lies nearest to a point, by name, and whether it is a drilled hole.

    The other points decide between equals.
    """
    places, weights = np.array(points), np.array([1.0] + [0.01] * (len(points) - 1))
    named = [
        (float(weights @ segment.distance(places)), name, False) for name, segment in shape.edges
    ]
    named += [
        (float(weights @ cut.path.distance(places)), cut.name, cut.drilled) for cut in shape.cuts
    ]
    return min(named, default=(0.0, "outline", False))[1:]


def _polygons(area: BaseGeometry) -> Iterator[BaseGeometry]:
    """Yield the polygons of a geometry; points and lines, which have no metal, are left out."""
    for part in shapely.get_parts(area):
        if part.geom_type == "Polygon":
            if not part.is_empty:
                yield part
        elif part.geom_type in ("MultiPolygon", "GeometryCollection"):
            yield from _polygons(part)
