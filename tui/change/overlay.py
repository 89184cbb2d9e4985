"""What the change view draws: the lock before and after over each other, in the plate frame [mm].

What does not move is drawn once. A *place* is where the two differ most, or where a made part is to be filed or
lacks metal.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

import numpy as np

from core.geometry.path import Path, Point, Points
from core.layout.drawing import Label, Mark, Stroke
from core.layout.layout import Layout
from core.made.fitting import KEPT
from core.made.verdicts import Verdict
from core.whole import assembly
from core.whole.dimensions import dimension
from tui.plot import views
from tui.plot.frame import Spot
from tui.plot.scale import Bounds, Sight
from tui.steps import walk

View = Literal["whole", "tooth", "close"]
VIEWS: tuple[View, ...] = ("whole", "tooth", "close")
"""All of it, the tooth, or close to where before and after differ most."""
_CLOSE = 12.0
"""Least width [mm] of the close view."""
_TIMES = 16.0
"""How many times the move the close view is wide."""
_SEEN = 2.0
"""Dots that a move takes at least to be seen."""
_NAMED = 2
"""Parts that have their name in the drawing."""
_MOST = 400
"""Points that are looked at along one path."""


@dataclass(frozen=True)
class Scene:
    """Strokes that stay, that were so before, and that are so after; `moved` is by how far at most [mm].

    `place` is where they differ most.
    """

    still: tuple[Stroke, ...]
    before: tuple[Stroke, ...]
    after: tuple[Stroke, ...]
    moved: float = 0.0
    place: Point = (0.0, 0.0)


@lru_cache(maxsize=4)
def scene(old: Layout, new: Layout) -> Scene:
    """Return two layouts over each other."""
    left, right = _strokes(old), _strokes(new)
    kept = set(left) & set(right)
    before = tuple(replace(s, ghost=True) for s in left if s not in kept)
    after = tuple(s for s in right if s not in kept)
    moved, place = _farthest(before, after)
    return Scene(tuple(s for s in right if s in kept), before, after, moved, place)


def _strokes(layout: Layout) -> tuple[Stroke, ...]:
    """Return what is drawn of a lock, without parts at their other seat."""
    return tuple(m for m in views.upright(layout) if isinstance(m, Stroke) and not m.ghost)


def told(found: Scene, new: Layout, path: str, shown: Bounds) -> tuple[Mark, ...]:
    """Return the dimension at `path`, and the names of the parts that it moves, or else of the part that it is of.

    A name stands at the place of its part that is nearest to the middle of what is `shown`.
    """
    place = walk.place_of(path)
    own = walk.all_steps()[place[0]].parts if place is not None else ()
    middle = np.array([(shown[0] + shown[2]) / 2, (shown[1] + shown[3]) / 2])
    spots: dict[str, Point] = {}
    for stroke in (*found.after, *(s for s in found.still if s.part in own[:1])):
        if not stroke.ghost and stroke.layer != "note":
            along = _along(stroke.path)
            x, y = along[np.hypot(*(along - middle).T).argmin()]
            spots.setdefault(stroke.part, (float(x), float(y)))
    named = sorted(spots, key=lambda part: part not in own)[:_NAMED]
    return (
        *(Label(spots[part], part, "note", part) for part in named),
        *dimension(new, path),
    )


def _farthest(before: Iterable[Stroke], after: Iterable[Stroke]) -> tuple[float, Point]:
    """Return how far a stroke's points moved at most, and where; the bolt's go first where all move alike."""
    pairs: dict[tuple[str, str], list[Path]] = {}
    for stroke in before:
        pairs.setdefault((stroke.part, stroke.layer), []).append(stroke.path)
    best, place = 0.0, (0.0, 0.0)
    for stroke in sorted(after, key=lambda s: s.part != "bolt"):
        mates = pairs.get((stroke.part, stroke.layer))
        if not mates:
            continue
        far, at = _apart(mates.pop(0), stroke.path)
        if far > best + 1e-6:
            best, place = far, at
    return best, place


def _apart(old: Path, new: Path) -> tuple[float, Point]:
    """Return the greatest distance from a point of `new` to the nearest of `old`, by points along both."""
    one, two = (_along(path) for path in (old, new))
    apart = np.hypot(*(two[:, None, :] - one[None, :, :]).transpose(2, 0, 1)).min(axis=1)
    if not np.isfinite(apart).all():
        return 0.0, (0.0, 0.0)
    worst = int(apart.argmax())
    return float(apart[worst]), (float(two[worst][0]), float(two[worst][1]))


def _along(path: Path) -> Points:
    """Return points along a path, a fifth of a millimetre apart or the corners of its chords."""
    corners = path.points(0.05)
    if len(corners) < 2:
        return corners
    steps = np.hypot(*np.diff(corners, axis=0).T)
    length = np.concatenate([[0.0], np.cumsum(steps)])
    at = np.union1d(length, np.linspace(0.0, length[-1], min(int(length[-1] / 0.2) + 2, _MOST)))
    return np.stack([np.interp(at, length, corners[:, side]) for side in (0, 1)], axis=-1)


def first_view(old: Layout, new: Layout, found: Scene, path: str, size: tuple[int, int]) -> View:
    """Return the view that shows as much as can be with the move still in sight, `size` in cells.

    Before anything has moved it is that of the step which asks for `path`.
    """
    if not found.moved:
        place = walk.place_of(path)
        plates = place is not None and walk.all_steps()[place[0]].view == "plate"
        best = views.best_view(new, path, "whole" if plates else "tooth")
        return "whole" if best == "plate" else best
    columns, rows = (max(side, 8) for side in size)
    tooth_region = region(old, new, found, "tooth", found.place)
    per_dot = Sight().scale(tooth_region, columns, rows).mm_per_dot
    return "close" if found.moved < _SEEN * per_dot else "tooth"


def region(
    old: Layout, new: Layout, found: Scene, view: View, place: Point, path: str = ""
) -> Bounds:
    """Return the region that a view shows; the close one lies about `place`, before any move about a dimension."""
    if view == "close" and not found.moved:
        return views.region(new, "close", path)
    if view == "close" and found.moved > 0:
        half = max(_CLOSE, _TIMES * found.moved) / 2
        x, y = place
        return (x - half, y - half, x + half, y + half)
    kind: views.View = "whole" if view == "whole" else "tooth"
    boxes = [views.region(layout, kind, path) for layout in (old, new)]
    (a, b), (c, d), (e, f), (g, h) = zip(*boxes, strict=True)
    return (min(a, b), min(c, d), max(e, f), max(g, h))


def spots(layout: Layout, verdicts: Iterable[Verdict]) -> tuple[Spot, ...]:
    """Return where made parts are to be filed and where they lack metal, as signs."""
    found = []
    for verdict in verdicts:
        lies = assembly.workpieces()[verdict.part].lies
        if lies is None or verdict.word in KEPT:
            continue
        frame = lies(layout)
        for sign, tone, patches in (
            ("x", "foul", verdict.apart.missing),
            ("o", "value", verdict.apart.spare),
        ):
            # a size that the flat shape does not show has no place in it
            found += [Spot(frame.point(p.at), sign, tone) for p in patches if p.area > 0]
    return tuple(found)
