"""Workpieces: the parts that are cut, each with the shape that it is cut to, in its own frame.

Glossary: a *workpiece* lies on the bench by itself - a plate, the key, the bolt - and can be marked as
made. Its *shape* is its outline less its cuts, in a frame that goes with it and not with the lock,
so that the bolt of a lock whose pivot has moved is still the same bolt. A *feature* is what another part
cuts into a workpiece, such as a post's hole in a plate.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any

from core.geometry.motion import Motion
from core.geometry.path import Path, Point, Segment, polyline
from core.layout.layout import Layout
from core.lock.lock import spec_of
from core.lock.numbers import Length
from core.lock.paths import place_at


@dataclass(frozen=True)
class Size:
    """A size [mm] that the flat shape does not show, such as a thickness.

    `opening` marks the width of a slot or hole, which filing makes larger and not smaller; `over_face` a
    thickness, which is filed over the whole face.
    """

    name: str
    value: float
    opening: bool = False
    over_face: bool = False


@dataclass(frozen=True)
class Cut:
    """What is cut out of a workpiece: a closed path in its own frame [mm], and its name.

    `drilled` marks a round hole, which can be plugged and drilled anew.
    """

    name: str
    path: Path
    drilled: bool = False


@dataclass(frozen=True)
class Scribed:
    """A point that is marked on a workpiece, in its own frame [mm]: it can be marked again."""

    name: str
    at: Point


@dataclass(frozen=True)
class Shape:
    """A workpiece in its own frame [mm].

    `body` is its closed outline, None where nothing would be left of it. `edges` names segments of the
    outline in a maker's words. `references` are the x of the edges by which a workpiece that slides along
    x may be laid on another one; without them it has no freedom. `place` is where it is fixed, in the
    plate frame; None for what moves. `outer` is a second place on one that can be fixed turned.
    """

    body: Path | None
    cuts: tuple[Cut, ...] = ()
    sizes: tuple[Size, ...] = ()
    scribed: tuple[Scribed, ...] = ()
    edges: tuple[tuple[str, Segment], ...] = ()
    references: tuple[float, ...] = ()
    place: Point | None = None
    outer: Point | None = None


@dataclass(frozen=True)
class Suspect:
    """A dimension that may be off on a workpiece, where what is read off at the bench is not as planned.

    `words` name it; `more` and `less` say in place of its number what is wrong where that number is not what
    is measured at the bench, with `{off}` for how far. `sideways` marks a position across the plate, of which more
    is what lies farther from the centreline. `laid` marks a place from which all else is laid out, which can only be
    off once it is made.
    """

    path: str
    words: str
    more: str = ""
    less: str = ""
    sideways: bool = False
    laid: bool = False


def _none(_: Layout) -> Iterable[Any]:
    return ()


@dataclass(frozen=True)
class Feature:
    """What a part cuts into the workpiece called `workpiece`, or scribes on it.

    `shaped_by` are the paths of a lock on which the `cuts` depend, `placed_by` those of what is `scribed`, and
    `measurable` those that can be measured on that workpiece when it is made; `suspects` may be off on it. The name
    of a table among paths stands for all of its rows, as many as there are. `taken_at` has pairs of a path and of what
    to put the calliper on for it, where that is otherwise on this workpiece than on the part that it is named after.
    Of what can be measured a file makes larger what `grows`, such as a hole, and does not change what is `unfiled`,
    such as a place.
    """

    workpiece: str
    shaped_by: tuple[str, ...] = ()
    cuts: Callable[[Layout], Iterable[Cut]] = _none
    placed_by: tuple[str, ...] = ()
    scribed: Callable[[Layout], Iterable[Scribed]] = _none
    measurable: tuple[str, ...] = ()
    suspects: tuple[Suspect, ...] = ()
    taken_at: tuple[tuple[str, str], ...] = ()
    grows: tuple[str, ...] = ()
    unfiled: tuple[str, ...] = ()


@dataclass(frozen=True)
class Workpiece:
    """One workpiece: its name, its place in the mock-up order, and its shape as a function of the layout.

    `shaped_by` are the paths of a lock on which body, cuts and sizes depend: what is marked as made
    remembers their values. `placed_by` are those on which only its scribed marks and its place depend,
    `measurable` those that can be measured on it when it is made. `sketched` are values by path with which
    its shape takes much less time and moves in the same way: for a search, never for a verdict. `suspects` are the
    dimensions that may be off on it. `carries` marks a plate, from which everything else is measured. `lies` is the
    motion from its own frame to the plate frame, None for one that the drawing does not show as it is made.
    `tried` marks one of which `core.made.working` can tell whether the lock works with it as it is; any other is
    judged by its shape alone. As in a feature, the name of a table stands for all of its rows, and `taken_at` says what
    to put the calliper on, `grows` and `unfiled` what a file does.
    """

    name: str
    order: int
    shaped_by: tuple[str, ...]
    shape: Callable[[Layout], Shape]
    placed_by: tuple[str, ...] = ()
    measurable: tuple[str, ...] = ()
    sketched: tuple[tuple[str, object], ...] = ()
    suspects: tuple[Suspect, ...] = ()
    carries: bool = False
    lies: Callable[[Layout], Motion] | None = None
    tried: bool = False
    taken_at: tuple[tuple[str, str], ...] = ()
    grows: tuple[str, ...] = ()
    unfiled: tuple[str, ...] = ()

    def how_at(self, path: str) -> str:
        """Return what to put the calliper on to measure a path on this workpiece."""
        return dict(self.taken_at).get(path) or spec_of(path).measure

    def filed_way(self, path: str) -> int:
        """Return 1 for a measure that filing makes larger, -1 for one that it makes smaller, 0 for neither."""
        place = place_at(path)
        if place.kind is not None:
            return 1 if place.key == place.kind.hole else 0
        if path in self.unfiled or not isinstance(spec_of(path).kind, Length):
            return 0
        return 1 if path in self.grows else -1

    @property
    def key(self) -> str:
        """Its name in the project file."""
        return self.name.replace(" ", "_")

    @property
    def paths(self) -> tuple[str, ...]:
        """Every path, and every table of rows, on which its shape depends, each once."""
        return tuple(dict.fromkeys((*self.shaped_by, *self.placed_by)))

    def with_features(self, features: Iterable[Feature]) -> "Workpiece":
        """Return the workpiece with everything that other parts cut into it or scribe on it."""
        mine = [feature for feature in features if feature.workpiece == self.name]
        if not mine:
            return self

        def shape(layout: Layout) -> Shape:
            plain = self.shape(layout)
            cuts = (cut for feature in mine for cut in feature.cuts(layout))
            scribed = (mark for feature in mine for mark in feature.scribed(layout))
            return replace(plain, cuts=(*plain.cuts, *cuts), scribed=(*plain.scribed, *scribed))

        def all_of(name: str) -> tuple[Any, ...]:
            others = (one for feature in mine for one in getattr(feature, name))
            return tuple(dict.fromkeys((*getattr(self, name), *others)))

        return replace(
            self, shape=shape, shaped_by=all_of("shaped_by"), placed_by=all_of("placed_by"),
            measurable=all_of("measurable"), suspects=all_of("suspects"), taken_at=all_of("taken_at"),
            grows=all_of("grows"), unfiled=all_of("unfiled"),
        )  # fmt: skip


def named_edges(name: str, path: Path) -> tuple[tuple[str, Segment], ...]:
    """Return all segments of an outline under one name."""
    return tuple((name, segment) for segment in path.segments)


def box(x0: float, y0: float, x1: float, y1: float) -> Path:
    """Return the rectangle between two corners [mm]: foot, right, top, left."""
    return polyline(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True)
