"""From the marks of a lock to a picture: lines, dimensions, words and a legend."""

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from core.geometry.path import Path, Point
from core.layout.drawing import Label, Mark, Measure, Stroke
from tui.plot import canvas
from tui.plot.guard import drawable, runs, visible
from tui.plot.labels import Wish, leader, placed
from tui.plot.legend import Entry, legend
from tui.plot.lines import Run, cells, inked
from tui.plot.scale import ACROSS, DOWN, Bounds, Dots, Scale
from tui.plot.tones import Ink, family, ink

TICK = 1.5
"""Half the length of the tick at a dimension's end [dots]."""
NAME_ABOVE = 4.0
"""How far above its part a name would stand [dots]."""
NAME_REACH = 4.0
"""How far the name of a part that is not asked for may stand from its part [cells]."""
DATUM = "datum mark"
"""The part whose label stands in every picture: all is measured from it."""
NAMES_FROM = 56
"""Columns from which every part has its name in the picture, not only the wanted ones."""


@dataclass(frozen=True)
class Wanted:
    """What is asked for: `parts` stand out, `paths` have dimensions, `path` the boldest; `named` keep labels."""

    parts: Collection[str] = ()
    paths: Collection[str] = ()
    path: str = ""
    named: Collection[str] = ()

    def part(self, name: str) -> bool:
        """Say whether a part stands out."""
        return name in self.parts

    def labels(self, name: str) -> bool:
        """Say whether the labels of a part stand also where there is little room."""
        return name == DATUM or name in self.named or self.part(name)


@dataclass(frozen=True)
class Picture:
    """A drawn picture: its rows, the scale they are in, and the legend."""

    rows: list[list[canvas.Piece]]
    scale: Scale
    legend: tuple[Entry, ...]


def bounds(marks: Iterable[Mark], parts: Collection[str] | None = None) -> Bounds | None:
    """Return the region [mm] of the strokes of `parts`, None for all; None without any."""
    boxes = [
        mark.path.bounds()
        for mark in marks
        if isinstance(mark, Stroke)
        and (parts is None or mark.part in parts)
        and drawable(mark.path)
    ]
    if not boxes:
        return None
    left, bottom, right, top = zip(*boxes, strict=True)
    return (min(left), min(bottom), max(right), max(top))


def draw(
    marks: Iterable[Mark], scale: Scale, wanted: Wanted, avoid: Iterable[Path] = ()
) -> Picture:
    """Draw `marks` [mm] at the given scale; wanted parts lie on top and stand out.

    Words keep clear of lines where they can, and of the paths to `avoid` [mm] in any case.
    """
    marks = tuple(marks)
    strokes = [mark for mark in marks if isinstance(mark, Stroke)]
    # wanted parts last, on top; quiet ones by colour, so that fewer signals draw them
    strokes.sort(key=lambda mark: (wanted.part(mark.part), not mark.ghost, family(mark.part)))
    ink_runs: list[Run] = []
    lines: list[Dots] = []
    seen: list[tuple[Stroke, Ink]] = []
    tops: dict[str, Point] = {}
    for stroke in strokes:
        chosen = ink(stroke.part, stroke.layer, ghost=stroke.ghost, wanted=wanted.part(stroke.part))
        found, drawn = _drawn(stroke.path, scale, chosen)
        if found:
            ink_runs += drawn
            lines += found
            seen.append((stroke, chosen))
            if not stroke.ghost:
                tops.setdefault(stroke.part, _top(found))
    wishes: list[Wish] = []
    for mark in marks:
        if isinstance(mark, Measure) and mark.path in wanted.paths:
            bold = mark.path == wanted.path
            tone = "measure-wanted" if bold else "measure"
            line = _dimension(mark, scale)
            ink_runs += inked(line, Ink(tone, "solid"), scale)
            lines += [] if _breaks(line, mark.text) else line
            middle = ((mark.start[0] + mark.end[0]) / 2, (mark.start[1] + mark.end[1]) / 2)
            wishes.append(_wish(mark.text, middle, scale, "value" if bold else tone, 4 + bold))
        elif isinstance(mark, Label) and (scale.columns >= NAMES_FROM or wanted.labels(mark.part)):
            wishes.append(_wish(mark.text, mark.at, scale, family(mark.part), 1))
    wishes += _names(tops, dict(reversed([(mark.part, ink) for mark, ink in seen])), scale, wanted)
    barred = cells([line for path in avoid for line in runs(path, scale)], scale)
    words = placed(wishes, scale, cells(lines, scale), barred)
    for word in words:
        led = leader(word, scale)
        if led is not None:
            ink_runs += inked(
                visible(led, scale),
                Ink("measure" if word.tone == "value" else word.tone, "solid"),
                scale,
            )
    return Picture(canvas.rows(ink_runs, words, scale), scale, legend(seen, wanted))


@lru_cache(maxsize=256)
def _drawn(path: Path, scale: Scale, chosen: Ink) -> tuple[Sequence[Dots], Sequence[Run]]:
    """Return the visible runs of a path and what draws them: kept, for at a nudge most strokes stand as they stood."""
    found = runs(path, scale)
    return tuple(found), tuple(inked(found, chosen, scale))


def _names(
    tops: Mapping[str, Point], inks: Mapping[str, Ink], scale: Scale, wanted: Wanted
) -> list[Wish]:
    """Return the names of wanted parts, in a large picture of all, above their tops [dots]."""
    found = []
    for name, (x, y) in tops.items():
        chosen = inks[name]
        large = scale.columns >= NAMES_FROM and chosen.style != "dotted"
        if wanted.part(name) or large:
            weight = 3 if wanted.part(name) else 0
            reach = math.inf if weight else NAME_REACH
            found.append(Wish(name, (x, y + NAME_ABOVE), chosen.tone, weight, reach))
    return found


def _top(lines: Sequence[Dots]) -> Point:
    """Return the middle of the highest stretch of the lines [dots]."""
    every = np.concatenate(lines)
    high = every[every[:, 1] > every[:, 1].max() - 1.0]
    return (float(high[:, 0].min() + high[:, 0].max()) / 2, float(high[:, 1].max()))


def _dimension(mark: Measure, scale: Scale) -> list[Dots]:
    """Return a dimension's line and the ticks across its ends."""
    ends = scale.dots(np.array([mark.start, mark.end]))
    if not np.isfinite(ends).all():
        return []
    along = ends[1] - ends[0]
    span = math.hypot(*along)
    # what has no length to be seen still has its place: a tick by itself
    across = np.array([-along[1], along[0]]) / span * TICK if span >= 1 else np.array([0.0, TICK])
    found = visible(ends, scale)
    for end in ends:
        found += visible(np.stack([end - across, end + across]), scale)
    return found


def _breaks(line: list[Dots], text: str) -> bool:
    """Say whether a dimension's line is long enough for its value to stand in a gap of it."""
    if not line:
        return False
    wide, high = np.ptp(line[0], axis=0)
    return bool(wide > ACROSS * (len(text) + 4) or high > 4 * DOWN)


def _wish(text: str, at: tuple[float, float], scale: Scale, tone: str, weight: int) -> Wish:
    x, y = scale.dots(np.array([at]))[0]
    return Wish(text, (float(x), float(y)), tone, weight)
