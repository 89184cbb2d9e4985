"""Helpers that pieces draw with: dimensions, crosses, arrows, and labels that keep off each other."""

import math
from collections.abc import Iterable, Sequence
from typing import overload

from core.geometry.motion import Motion
from core.geometry.path import Arc, Path, Point, Segment, circle, polyline
from core.layout.drawing import Anchor, Inked, Label, Layer, Mark, Measure, Stroke

ARROW = 1.8
"""Length of a dimension's arrow head [mm]."""
TEXT = 2.2
"""Height of the capitals in dimensions [mm]."""
APART = 4.0
"""From line to line [mm] of texts that stand under each other."""
LETTER = 0.78
"""Mean width of a letter over the height of the capitals, on the safe side for a plain sans-serif."""


def width_of(text: str, height: float) -> float:
    """Return about how wide [mm] a text of capitals `height` [mm] runs."""
    return len(text) * LETTER * height


def line(start: Point, end: Point, layer: Layer, part: str, *, ghost: bool = False) -> Stroke:
    """Return a straight stroke between two points [mm]."""
    return Stroke(polyline([start, end]), layer, part, ghost)


def cross(at: Point, part: str, arm: float = 2.0, layer: Layer = "punch") -> Iterable[Stroke]:
    """Return the two strokes of a centre mark at `at`, each reaching `arm` [mm]."""
    x, y = at
    yield line((x - arm, y), (x + arm, y), layer, part)
    yield line((x, y - arm), (x, y + arm), layer, part)


def hole(at: Point, diameter: float, part: str, *, chained: bool = False) -> Iterable[Stroke]:
    """Return a hole to drill [mm]: its centre mark reaches a little beyond it, or stays inside in a row of holes."""
    yield Stroke(circle(at, diameter / 2), "drill", part)
    yield from cross(at, part, diameter / 4 if chained else diameter / 2 + 0.8)


def dimension(
    start: Point, end: Point, text: str, part: str, *, off: float = 0.0, spill: Anchor = "middle"
) -> Iterable[Inked]:
    """Return a dimension between two points [mm], its line standing `off` [mm] to the left of start-to-end.

    A line too short for its text has the arrows outside, and the text beyond the end that `spill` names.
    """
    run = math.dist(start, end)
    if run < 1e-6:
        return
    ux, uy = (end[0] - start[0]) / run, (end[1] - start[1]) / run
    nx, ny = -uy, ux

    def at(along: float, aside: float) -> Point:
        return (start[0] + ux * along + nx * aside, start[1] + uy * along + ny * aside)

    if abs(off) > 0.5:
        over = off + math.copysign(1.0, off)
        for along in (0.0, run):
            yield line(at(along, math.copysign(0.5, off)), at(along, over), "note", part)
    inside = run >= 2 * ARROW + 1.0
    reach = 0.0 if inside else ARROW + 1.5
    yield line(at(-reach, off), at(run + reach, off), "note", part)
    for along, way in ((0.0, 1.0), (run, -1.0)):
        toward = way if inside else -way
        for aside in (-0.3, 0.3):
            yield line(at(along, off), at(along + toward * ARROW, off + aside), "note", part)
    lean = math.degrees(math.atan2(uy, ux))
    upside_down = not -90.0 < lean <= 90.0
    if upside_down:
        lean -= math.copysign(180.0, lean)
    above = -1.0 if upside_down else 1.0
    long = width_of(text, TEXT)
    if (inside and long <= run - 1.0) or spill == "middle":
        yield Label(
            at(run / 2, off + above * (TEXT / 2 + 0.7)), text, "note", part, TEXT, "middle", lean
        )
        return
    beyond = run + reach + 0.8 if spill == "right" else -reach - 0.8
    # the end of the text that faces the dimension stands there
    outward = (spill == "right") is not upside_down
    yield Label(at(beyond, off), text, "note", part, TEXT, "left" if outward else "right", lean)


def measured(measure: Measure) -> Iterable[Inked]:
    """Return the strokes and the text of a dimension of the neutral record."""
    return dimension(measure.start, measure.end, measure.text, measure.part)


@overload
def moved(mark: Stroke, by: Motion) -> Stroke: ...
@overload
def moved(mark: Label, by: Motion) -> Label: ...
@overload
def moved(mark: Measure, by: Motion) -> Measure: ...
def moved(mark: Mark, by: Motion) -> Mark:
    """Return a mark where `by` takes it; texts stay readable through a mirror."""
    match mark:
        case Stroke():
            return Stroke(by.path(mark.path), mark.layer, mark.part, mark.ghost)
        case Measure():
            return Measure(
                by.point(mark.start), by.point(mark.end), mark.text, mark.path, mark.part
            )
        case Label():
            along = math.radians(mark.lean)
            x, y = mark.at
            ahead = by.point((x + math.cos(along), y + math.sin(along)))
            here = by.point(mark.at)
            lean = math.degrees(math.atan2(ahead[1] - here[1], ahead[0] - here[0]))
            anchor = mark.anchor
            if not -90.001 < lean <= 90.001:
                lean -= math.copysign(180.0, lean)
                anchor = _FLIPPED[anchor]
            return Label(here, mark.text, mark.layer, mark.part, mark.height, anchor, lean + 0.0)


_FLIPPED: dict[Anchor, Anchor] = {"left": "right", "middle": "middle", "right": "left"}


def spread(places: Sequence[float], gap: float) -> list[float]:
    """Return `places` moved as little as needed so that no two lie closer than `gap`; order kept.

    Neighbours that are too close form a block about their middle, and blocks that meet merge.
    """
    order = sorted(range(len(places)), key=lambda i: places[i])
    blocks: list[list[int]] = []
    for index in order:
        blocks.append([index])
        while (
            len(blocks) > 1 and _low(blocks[-1], places, gap) < _high(blocks[-2], places, gap) + gap
        ):
            last = blocks.pop()
            blocks[-1] += last
    done = [0.0] * len(places)
    for block in blocks:
        for number, index in enumerate(block):
            done[index] = _low(block, places, gap) + number * gap
    return done


def _low(block: list[int], places: Sequence[float], gap: float) -> float:
    middle = sum(places[i] for i in block) / len(block)
    return middle - gap * (len(block) - 1) / 2


def _high(block: list[int], places: Sequence[float], gap: float) -> float:
    return _low(block, places, gap) + gap * (len(block) - 1)


def levels(
    heights: Sequence[tuple[float, str]], edge: float, out: float, part: str
) -> Iterable[Inked]:
    """Return texts at `heights` [mm], led out from x = `edge` [mm] to `out` [mm] beyond it, to the right or left.

    Heights that lie close are fanned apart.
    """
    side = math.copysign(1.0, out)
    for (y, text), stands in zip(heights, spread([y for y, _ in heights], APART), strict=True):
        bend, end = edge + side * (abs(out) - 2.0), edge + out
        yield Stroke(
            polyline([(edge, y), (edge + side, y), (bend, stands), (end, stands)]), "note", part
        )
        yield Label(
            (end + side * 0.8, stands), text, "note", part, TEXT, "left" if side > 0 else "right"
        )


def arrow_up(foot: Point, length: float, part: str) -> Iterable[Stroke]:
    """Return a plain outlined arrow that points up from `foot`, `length` [mm] long."""
    (x, y), half, head = foot, length * 0.11, length * 0.4
    corners = (
        (x - half, y), (x - half, y + length - head), (x - 2.4 * half, y + length - head), (x, y + length),
        (x + 2.4 * half, y + length - head), (x + half, y + length - head), (x + half, y),
    )  # fmt: skip
    yield Stroke(polyline(corners, closed=True), "note", part)


def outward(segment: Segment, *, at_end: bool) -> Point:
    """Return the direction to the left of a segment at its start or end, of length 1: outwards on a clockwise path."""
    if isinstance(segment, Arc):
        x, y = segment.end if at_end else segment.start
        side = 1.0 if segment.turn == "cw" else -1.0
        away = (side * (x - segment.centre[0]), side * (y - segment.centre[1]))
    else:
        away = (segment.start[1] - segment.end[1], segment.end[0] - segment.start[0])
    long = math.hypot(*away) or 1.0
    return (away[0] / long, away[1] / long)


def bow(centre: Point, radius: float, half_angle: float) -> Path:
    """Return the arc about `centre` [mm] that reaches `half_angle` [rad] to either side of straight up."""
    x, y = centre
    dx, dy = radius * math.sin(half_angle), radius * math.cos(half_angle)
    return Path((Arc(centre, radius, (x - dx, y + dy), (x + dx, y + dy), "cw"),))
