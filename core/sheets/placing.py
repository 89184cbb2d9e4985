"""Texts set so that none stands on a line or on another text.

A text that is free where it was put stays there. One that is not goes to the nearest place that is, with a thin line
from it to where it was to stand if that is out of reach for the eye. Room is looked for, never made: strokes stay.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.geometry.motion import shift
from core.geometry.path import Point
from core.geometry.polygons import polygon
from core.layout.drawing import Inked, Label, Stroke
from core.sheets.lettering import ABOVE, BELOW, weight_of, width
from core.sheets.record import Loose
from core.sheets.strokes import line, moved

GAP = 0.5
"""Least distance [mm] between a text and a line, of which half the width of the line is taken up."""
AT_HAND = 2.5
"""Distance [mm] from its place at which a text is still seen to belong there."""
FLAT = 0.02
"""How far [mm] the chords that stand in for arcs may lie beside them here."""
RINGS = ((10.0, 0.5), (40.0, 1.25), (120.0, 4.0))
"""How far round a place room is looked for, and in which steps [mm]."""
FIRST = 100
"""Steps that are looked at before all others."""
NEAREST, SPREAD = 60, 240
"""Free places of which the first whose line crosses no text is taken: so many nearest, then so many all over."""


def text_box(label: Label, margin: float = 0.0) -> BaseGeometry:
    """Return the box that a text takes up on paper, as an area [mm], grown by `margin` [mm]."""
    high = label.height
    long = width(label.text, high, weight_of(label.part, high))
    near = -long * {"left": 0.0, "middle": 0.5, "right": 1.0}[label.anchor]
    box = shapely.box(
        near - margin,
        -high * (0.5 + BELOW) - margin,
        near + long + margin,
        high * (0.5 + ABOVE) + margin,
    )
    turn = math.radians(label.lean)
    cos, sin = math.cos(turn), math.sin(turn)
    matrix = np.array([[cos, sin], [-sin, cos]])
    return shapely.transform(box, lambda q: q @ matrix + np.array(label.at))


def traced(stroke: Stroke) -> BaseGeometry:
    """Return a stroke as a chain of chords [mm]."""
    points = stroke.path.points(FLAT)
    if stroke.path.closed:
        points = np.vstack([points, points[:1]])
    return shapely.linestrings(points)


def _pieces(stroke: Stroke) -> list[BaseGeometry]:
    """Return the chords of a stroke, each by itself."""
    if not stroke.path.segments:
        return []
    ends = shapely.get_coordinates(traced(stroke))
    return list(shapely.linestrings(np.stack([ends[:-1], ends[1:]], axis=1)))


class Field:
    """What is drawn so far: whether there is room for something else."""

    def __init__(self, shown: Iterable[tuple[Iterable[Inked], BaseGeometry | None]]) -> None:
        """Begin with marks, each lot as far as a window shows it."""
        pieces: list[BaseGeometry] = []
        for marks, window in shown:
            for mark in marks:
                own = [text_box(mark)] if isinstance(mark, Label) else _pieces(mark)
                pieces += own if window is None else list(shapely.intersection(own, window))
        self._tree = shapely.STRtree([piece for piece in pieces if not piece.is_empty])
        self._more: list[BaseGeometry] = []
        self.texts: list[BaseGeometry] = []
        self.bounds = shapely.total_bounds(pieces) if pieces else np.zeros(4)

    def free(self, areas: Sequence[BaseGeometry] | NDArray[Any]) -> NDArray[np.bool_]:
        """Say which of the areas meet nothing that is drawn, shape (n,)."""
        areas = np.asarray(areas)
        room = np.ones(len(areas), dtype=bool)
        room[self._tree.query(areas, predicate="intersects")[0]] = False
        for thing in (*self._more, *self.texts):
            left = np.flatnonzero(room)
            room[left[shapely.intersects(areas[left], thing)]] = False
        return room

    def crosses_text(self, way: BaseGeometry) -> bool:
        """Say whether a line runs over a text, or nearer past it than its own width lets be seen."""
        return any(way.distance(text) < GAP / 2 for text in self.texts)

    def beside_texts(self, place: Point, end: Point) -> Point:
        """Return where a line from `end` comes nearest to a place without running over the texts that stand on it."""
        on_it = [text for text in self.texts if text.distance(shapely.Point(place)) < GAP / 2]
        if not on_it:
            return place
        way = shapely.LineString([end, place])
        left = way.difference(shapely.union_all(on_it).buffer(GAP / 2 + 1e-6))
        parts = [part for part in shapely.get_parts(left) if part.length > 0]
        first = min(parts, key=lambda part: part.distance(shapely.Point(end)), default=way)
        x, y = shapely.get_coordinates(first)[-1]
        return (float(x), float(y))

    def add(self, marks: Iterable[Inked]) -> None:
        """Take in what has been drawn since."""
        for mark in marks:
            if isinstance(mark, Label):
                self.texts.append(text_box(mark))
            elif mark.path.segments:
                self._more.append(traced(mark))


def settled(marks: Iterable[Inked | Loose]) -> tuple[Inked, ...]:
    """Return strokes and texts with every text clear of all lines and of the other texts."""
    marks = list(marks)
    strokes = [mark for mark in marks if isinstance(mark, Stroke) and mark.path.segments]
    field = Field([(strokes, None)])
    done: list[Inked] = list(strokes)
    waiting = []
    for label in (mark for mark in marks if isinstance(mark, Label)):
        if field.free([text_box(label, GAP)])[0]:
            field.add([label])
            done.append(label)
        else:
            waiting.append(label)
    for loose in (mark for mark in marks if isinstance(mark, Loose)):
        put = _put_loose(field, loose)
        field.add(put)
        done += put
    for label in waiting:
        put = _put_label(field, label)
        field.add(put)
        done += put
    return tuple(done)


def _put_label(field: Field, label: Label) -> list[Inked]:
    turn = math.radians(label.lean)
    cos, sin = math.cos(turn), math.sin(turn)
    box = text_box(label, GAP)
    for reach, step in RINGS:
        steps = _steps(reach, step) @ np.array([[cos, sin], [-sin, cos]])
        for index in _places(field, box, steps):
            put = _with_leader(field, label, (float(steps[index, 0]), float(steps[index, 1])))
            leads = [mark for mark in put if isinstance(mark, Stroke)]
            if not any(field.crosses_text(traced(lead)) for lead in leads):
                return put
    # beside everything there is always room
    x = float(max(field.bounds[2], *(text.bounds[2] for text in field.texts), label.at[0]))
    left = float(box.bounds[0])
    return [moved(label, shift(x + 2 * GAP - left, 0.0))]


def _places(field: Field, box: BaseGeometry, steps: NDArray[np.float64]) -> Iterator[int]:
    """Yield those of the steps that lead a box to a free place and are tried, nearest first."""
    # one of the first nearly always does: the rest is looked at where none did
    near = np.flatnonzero(field.free(_shifted(box, steps[:FIRST])))[:NEAREST]
    yield from near.tolist()
    yield from _some(np.flatnonzero(field.free(_shifted(box, steps))))[len(near) :].tolist()


def _some(free: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return those of the free places, nearest first, that are tried; the nearest may all lie behind one text."""
    rest = free[NEAREST:]
    return np.concatenate([free[:NEAREST], rest[:: max(len(rest) // SPREAD, 1)]])


def _with_leader(field: Field, label: Label, by: Point) -> list[Inked]:
    """Return a text moved `by` [mm], after the line that leads to it where it needs one.

    Where another text stands on its place the line ends beside that.
    """
    there = moved(label, shift(*by))
    box, target = text_box(there, GAP / 2), shapely.Point(label.at)
    if box.distance(target) <= AT_HAND:
        return [there]
    end = shapely.get_coordinates(shapely.shortest_line(target, box))[1]
    start = field.beside_texts(label.at, (float(end[0]), float(end[1])))
    return [line(start, (float(end[0]), float(end[1])), "note", label.part), there]


def _put_loose(field: Field, loose: Loose) -> list[Inked]:
    boxes = [text_box(m) if isinstance(m, Label) else traced(m) for m in loose.marks]
    box = shapely.box(*shapely.union_all(boxes).buffer(2 * GAP).bounds)
    box = shapely.transform(box, lambda q: q + np.array(loose.near))
    inside = polygon(loose.within, FLAT) if loose.within is not None else None
    for area in (inside, None) if inside is not None else (None,):
        for reach, step in RINGS:
            steps = _steps(reach, step)
            shifted = _shifted(box, steps)
            good = field.free(shifted)
            if area is not None:
                shapely.prepare(area)
                good &= shapely.covers(area, shifted)
            if good.any():
                dx, dy = steps[int(np.argmax(good))]
                place = shift(loose.near[0] + float(dx), loose.near[1] + float(dy))
                return [moved(mark, place) for mark in loose.marks]
    x = float(field.bounds[2]) + 4 * GAP - box.bounds[0]
    return [moved(mark, shift(loose.near[0] + x, loose.near[1])) for mark in loose.marks]


def _shifted(box: BaseGeometry, steps: NDArray[np.float64]) -> NDArray[Any]:
    """Return a box moved by each of the steps [mm], shape (n,)."""
    left, low, right, high = box.bounds
    if abs(box.area - (right - left) * (high - low)) < 1e-6:  # upright: these are made quicker
        dx, dy = steps.T
        return np.asarray(shapely.box(left + dx, low + dy, right + dx, high + dy))
    corners = shapely.get_coordinates(box)
    return np.asarray(shapely.polygons(corners[None] + steps[:, None]))


@cache
def _steps(reach: float, step: float) -> NDArray[np.float64]:
    """Return steps [mm] away from a place, nearest first, shape (n, 2)."""
    count = math.floor(reach / step)
    along = np.arange(-count, count + 1) * step
    steps = np.stack(np.meshgrid(along, along), axis=-1).reshape(-1, 2)
    far = np.hypot(*steps.T)
    steps = steps[far <= reach]
    # of places as near as each other the one that lies to the right, then the higher one, so that the order is fixed
    order = np.lexsort((-steps[:, 1], -steps[:, 0], np.hypot(*steps.T).round(9)))
    return np.asarray(steps[order])
