"""A moving picture of the key's turn: one SVG file that plays by itself in a browser, for showing to others.

It moves by the animation elements of the standard (W3C, Scalable Vector Graphics 1.1, chapter 19); it holds no
script and fetches nothing. Where a viewer plays nothing it shows the lock locked, the key just put in.
It is not to scale, and no template.
"""

import math
from collections.abc import Iterable
from xml.sax.saxutils import escape

import numpy as np

from core.geometry.path import Path
from core.layout.drawing import Stroke
from core.layout.frames import hand, to_plate
from core.layout.layout import Layout
from core.mechanism.contact import PHASES
from core.mechanism.maths import Array
from core.parts.tooth import tooth
from core.sheets.compose import bounds_of
from core.sheets.strokes import moved
from core.sheets.styles import STYLES
from core.sheets.svg import number, path_data
from core.text import plain
from core.turning.film import film
from core.turning.stage import still, swept
from core.turning.troubles import Trouble
from core.whole import assembly

MADE_BY = "<!-- a moving picture of a lock, written by boltwright turn -->"
"""The second line of every picture, by which one may be told from other files."""
_WIDE = 540
"""Width of the picture where nothing says otherwise [px]."""
_FILLS = {"bolt": "#dbe2e6", "key": "#37474f"}
"""Light and dark, so that they are told apart without colour."""
_BLANK, _CHART = 0.04, 0.26
"""Blank round the drawing, and the chart's height, as shares of the drawing's width."""
_DASHES = {"unlocking": "", "locking": ' stroke-dasharray="1.5 1"'}
_STILL = 1e-6
"""How far [mm or degrees] a value may be off the line between its neighbours and still be left out."""
_BENT = 0.01
"""The same [mm] for what bends, of which each place is a whole path."""


def moving_picture(layout: Layout) -> str:
    """Return the picture of both strokes of `layout` as the text of an SVG file."""
    return _Picture(layout).text()


def written_here(data: bytes) -> bool:
    """Say whether a file's content is a moving picture that this program wrote."""
    return MADE_BY.encode() in data[:400]


class _Picture:
    """One picture: the drawing, words below it, and the chart of the bolt's travel; y down, in mm."""

    def __init__(self, layout: Layout) -> None:
        self.layout, self.acts = layout, film(layout)
        self.long = self.acts[-1].end
        begins = (0.0, *(act.end for act in self.acts))
        # with the pauses before and after each act, in which it stands at its first place and its last
        self.times = np.concatenate(
            [[begin, *act.seconds, act.end] for begin, act in zip(begins, self.acts, strict=False)]
        )
        self.angle = np.concatenate([np.pad(act.angle, 1, "edge") for act in self.acts])
        self.travel = np.concatenate([np.pad(act.travel, 1, "edge") for act in self.acts])
        move, way = to_plate(layout), swept(layout)
        shown = (*still(layout), *(Stroke(path, "cut", "bolt") for path in way))
        left, bottom, right, top = bounds_of(moved(stroke, move) for stroke in shown)
        blank = _BLANK * (right - left)
        self.left, self.wide = left - blank, right - left + 2 * blank
        self.top, self.below = -top - blank, -bottom + blank
        self.letter = self.wide / 34

    def text(self) -> str:
        chart_top = self.below + 4.2 * self.letter
        chart = self.wide * _CHART
        high = chart_top + chart + 2.6 * self.letter - self.top
        title = f"{self.layout.lock.title or 'a lock'}: a turn of the key"
        lines = [
            '<?xml version="1.0" encoding="UTF-8"?>',
            MADE_BY,
            (
                f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{_WIDE}" '
                f'height="{_n(_WIDE * high / self.wide)}" '
                f'viewBox="{_n(self.left)} {_n(self.top)} {_n(self.wide)} {_n(high)}" '
                f'font-family="sans-serif" font-size="{_n(self.letter)}">'
            ),
            f"<title>{escape(plain(title))}</title>",
            (
                f'<rect x="{_n(self.left)}" y="{_n(self.top)}" width="{_n(self.wide)}" height="{_n(high)}" '
                'fill="#fff"/>'
            ),
            *self._still(),
            *self._moving(),
            *self._words(),
            *self._chart(chart_top, chart),
            "</svg>",
        ]
        return "\n".join(lines) + "\n"

    # the drawing

    def _still(self) -> Iterable[str]:
        move = to_plate(self.layout)
        for stroke in still(self.layout):
            style = STYLES[stroke.layer]
            dash = "" if stroke.layer in ("cut", "drill") else ' stroke-dasharray="1.2 0.8"'
            yield (
                f'<path d="{path_data(move.path(stroke.path))}" fill="none" stroke="{style.colour}" '
                f'stroke-width="{_n(2 * style.width)}"{dash}/>'
            )

    def _moving(self) -> Iterable[str]:
        """Yield bolt, spring and key, drawn at the locked seat with the bit up, each with its motion."""
        move = to_plate(self.layout)
        at_rest = assembly.moving(self.layout, 0.0, 0.0)
        slid = assembly.moving(self.layout, 0.0, 1.0)
        for which, (stroke, other) in enumerate(zip(at_rest, slid, strict=True)):
            # a change of the path itself stands in it, a motion of the group beside it
            inside, beside = "", ""
            if stroke.path == other.path:
                beside = self._turn()
            elif _slides(stroke, other):
                beside = self._slide()
            else:
                inside = self._bend(which)
            yield (
                f'<g fill="{_FILLS.get(stroke.part, "#fff")}" fill-opacity="0.85" stroke="#000" stroke-width="0.4">'
                f'<path d="{path_data(move.path(stroke.path))}">{inside}</path>{beside}</g>'
            )

    def _slide(self) -> str:
        way = hand(self.layout).then(to_plate(self.layout))
        (x0, y0), (x1, y1) = way.point((0.0, 0.0)), way.point((1.0, 0.0))
        return self._animated("translate", np.outer(self.travel, [x1 - x0, y0 - y1]))

    def _turn(self) -> str:
        way = hand(self.layout).then(to_plate(self.layout))
        x, y = way.point((0.0, 0.0))
        # with y down a positive angle is clockwise, and so is the key's but for a mirrored lock
        angle = np.degrees(self.angle)
        turned = -angle if way.mirrors else angle
        return self._animated("rotate", turned[:, None], f" {_n(x)} {_n(-y)}")

    def _bend(self, which: int) -> str:
        """Return what a stroke that bends does as the bolt goes: its path at each place.

        By the standard each has the same commands, of which only the numbers change (8.3.1).
        """
        move, known = to_plate(self.layout), dict[float, Path]()
        at = np.round(self.travel, 3)
        for travel in np.unique(at):
            strokes = tuple(assembly.moving(self.layout, 0.0, float(travel)))
            known[float(travel)] = move.path(strokes[which].path)
        ends = {
            travel: np.ravel([segment.end for segment in path.segments])
            for travel, path in known.items()
        }
        keep = self._bends(np.array([ends[float(travel)] for travel in at]), _BENT)
        paths = ";".join(path_data(known[float(travel)]) for travel in at[keep])
        return (
            f'<animate attributeName="d" {self._clock} '
            f'keyTimes="{self._shares(self.times[keep])}" values="{paths}"/>'
        )

    # time

    def _animated(self, kind: str, values: Array, rest: str = "") -> str:
        """Return a motion through `values`, shape (n, k), at `times`, without those that lie on a line."""
        times, keep = self.times, self._bends(values, _STILL)
        written = (" ".join(_n(v) for v in values[i]) + rest for i in keep)
        return (
            f'<animateTransform attributeName="transform" type="{kind}" {self._clock} '
            f'keyTimes="{self._shares(times[keep])}" values="{";".join(written)}"/>'
        )

    def _bends(self, values: Array, least: float) -> list[int]:
        """Return which of `values`, shape (n, k), at `times` are to be told, so that none is off by `least`."""
        times, keep = self.times, [0]
        for i in range(1, len(times) - 1):
            before, after = keep[-1], i + 1
            long = max(times[after] - times[before], 1e-12)
            share = ((times[before + 1 : after] - times[before]) / long)[:, None]
            on_line = values[before] + share * (values[after] - values[before])
            if np.abs(on_line - values[before + 1 : after]).max() > least:
                keep.append(i)
        keep.append(len(times) - 1)
        return keep

    @property
    def _clock(self) -> str:
        return f'dur="{_n(self.long)}s" repeatCount="indefinite"'

    def _shares(self, times: Iterable[float]) -> str:
        return ";".join(f"{time / self.long:.7f}" for time in times)

    # words

    def _words(self) -> Iterable[str]:
        """Yield what happens, each word only while it does."""
        begin = 0.0
        for act in self.acts:
            edges = [0, *(np.flatnonzero(np.diff(act.phase)) + 1)]
            starts = [begin, *act.seconds[edges[1:]], act.end]
            for at, since, until in zip(edges, starts, starts[1:], strict=False):
                text = f"{act.stroke}: {PHASES[act.phase[at]]}"
                yield self._said(1.2, text, since, until)
            if act.stopped is not None:
                yield self._said(2.5, _why(act.stopped), float(act.seconds[-1]), act.end, "#b00000")
            begin = act.end

    def _said(self, row: float, text: str, since: float, until: float, colour: str = "#000") -> str:
        """Return a text that is shown from one time [s] until another."""
        steps = [(0.0, 0), (since, 1), (until, 0)]
        # a later step at the same time counts, and there is none at the very end
        shown = {time: value for time, value in steps if time < self.long - 1e-9}
        values = ";".join(str(value) for value in shown.values())
        return (
            f'<text x="{_n(self.left + self.letter)}" y="{_n(self.below + row * self.letter)}" '
            f'fill="{colour}" opacity="{shown[0.0]}">{escape(text)}<animate attributeName="opacity" '
            f'calcMode="discrete" {self._clock} keyTimes="{self._shares(shown)}" values="{values}"/></text>'
        )

    # the chart

    def _chart(self, top: float, high: float) -> Iterable[str]:
        """Yield the bolt's travel over the key's angle, with a dot that goes along."""
        throw = max(tooth(self.layout).throw, max(float(act.travel.max()) for act in self.acts))
        left, right = self.left + 6 * self.letter, self.left + self.wide - 2 * self.letter
        bottom = top + high

        def at(angle: Array, travel: Array) -> Array:
            x = left + (angle + math.pi) / (2 * math.pi) * (right - left)
            return np.column_stack([x, bottom - travel / throw * high])

        yield f'<g fill="none" stroke="#000" stroke-width="{_n(self.wide / 500)}">'
        yield f'<path d="M{_n(left)} {_n(top)} V{_n(bottom)} H{_n(right)}"/>'
        for act in self.acts:
            points = " ".join(f"{_n(x)},{_n(y)}" for x, y in at(act.angle, act.travel))
            yield f'<polyline points="{points}"{_DASHES[act.stroke]}/>'
        yield "</g>"
        small = f'font-size="{_n(0.8 * self.letter)}"'
        for y, word in (
            (bottom, "locked"),
            (bottom - tooth(self.layout).throw / throw * high, "unlocked"),
        ):
            yield f'<text x="{_n(left - self.letter / 2)}" y="{_n(y)}" text-anchor="end" {small}>{word}</text>'
        for degrees in (-180, -90, 0, 90, 180):
            x = float(at(np.radians([degrees]), np.zeros(1))[0, 0])
            yield (
                f'<text x="{_n(x)}" y="{_n(bottom + 1.1 * self.letter)}" text-anchor="middle" {small}>{degrees}°</text>'
            )
        yield (
            f'<text x="{_n(left)}" y="{_n(bottom + 2.2 * self.letter)}" {small}>travel of the bolt over the '
            "key's angle; full line unlocking, broken line locking</text>"
        )
        along = at(self.angle, self.travel)
        yield f'<circle r="{_n(self.letter / 3)}" fill="#b00000">{self._animated("translate", along)}</circle>'


def _slides(stroke: Stroke, other: Stroke) -> bool:
    """Say whether a stroke goes along as a whole when the bolt goes 1 mm."""
    (left, low, right, _), (to_left, to_low, to_right, _) = (
        stroke.path.bounds(),
        other.path.bounds(),
    )
    goes = abs(abs(to_left - left) - 1), abs(to_right - to_left - right + left), abs(to_low - low)
    return max(goes) < _STILL


def _why(met: Trouble) -> str:
    return (
        f"stopped here: the key {met.text}" if met.kind == "foul" else f"stopped here: {met.text}"
    )


def _n(value: float) -> str:
    return number(value, 4)
