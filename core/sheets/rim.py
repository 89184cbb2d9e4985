"""The rim: the strip that is bent round inside the plates' edge, its length along the neutral line, and its bends.

The outer face follows the plates' outline. In an arc the strip keeps its length on its neutral line, which lies
`k t / 2` from the inner face of the bend, `k = 0.65 + 0.5 lg(r / t)` up to 1, r the inner radius and t the thickness
(DIN 6935, memory). At a corner without a radius the strip is nicked on its inner side and folded, and keeps its length
on its outer face (common practice, no source).
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from core.geometry.path import JOIN, Arc, Path, Point, Segment
from core.layout.layout import Layout, derived
from core.parts.plate import plate_outline
from core.sheets.sizes import size
from core.sheets.strokes import outward
from core.sheets.table import Table

LEAST_BEND = math.radians(1.0)
"""Turn [rad] below which two edges run on into each other."""
ON = 1e-6
"""Distance [mm] within which a place lies on the outline."""
LEAST_RATIO = 0.05
"""Share of the thickness that the inner radius is counted as at least, for the rule of the neutral line."""


@dataclass(frozen=True)
class Stretch:
    """A stretch of the strip: where it begins along the strip and how long it is [mm], and how it is bent.

    `turn` [rad] is positive round the plate, negative for a bend the other way; `radius` [mm] is that of the bend's
    inner face, None for a straight stretch; a fold has no length.
    """

    begin: float
    length: float
    turn: float = 0.0
    radius: float | None = None


@dataclass(frozen=True)
class Rim:
    """The strip laid flat: its stretches in order, clockwise round the plate as seen from inside the back plate."""

    stretches: tuple[Stretch, ...]
    at_mark: bool

    @property
    def length(self) -> float:
        """Length along the neutral line [mm], end to end."""
        return math.fsum(stretch.length for stretch in self.stretches)


def neutral_share(radius: float, thickness: float) -> float:
    """Return how far from a bend's inner face the neutral line lies, as a share of the thickness [mm, mm]."""
    ratio = max(radius / thickness, LEAST_RATIO)
    return min(max(0.65 + 0.5 * math.log10(ratio), 0.0), 1.0) / 2


def bent_length(arc: Arc, thickness: float, *, outwards: bool) -> tuple[float, float]:
    """Return the length [mm] of the strip in an arc of the outline, and the inner radius [mm] of the bend.

    `outwards` is an arc that the plate bulges out in, as most do.
    """
    inner = max(arc.radius - thickness, 0.0) if outwards else arc.radius
    return abs(arc.sweep) * (inner + neutral_share(inner, thickness) * thickness), inner


@derived
def rim(layout: Layout) -> Rim:
    """Return the strip, from the datum mark on where that lies on the outline."""
    thickness = layout.lock.plate.rim
    path = plate_outline(layout).path
    clockwise = path.reversed() if path.signed_area() > 0 else path
    segments, at_mark = _from(clockwise, (0.0, 0.0))
    if thickness <= 0:
        return Rim((), at_mark)
    found: list[Stretch] = []
    at = 0.0
    for before, segment in zip((segments[-1], *segments), segments, strict=False):
        fold = _turn(before, segment)
        if abs(fold) > LEAST_BEND:
            found.append(Stretch(at, 0.0, fold, 0.0))
        if isinstance(segment, Arc):
            outwards = segment.turn == "cw"
            length, inner = bent_length(segment, thickness, outwards=outwards)
            found.append(Stretch(at, length, abs(segment.sweep) * (1 if outwards else -1), inner))
        else:
            length = segment.length
            found.append(Stretch(at, length))
        at += length
    return Rim(tuple(_run_together(found)), at_mark)


def _run_together(stretches: Iterable[Stretch]) -> Iterator[Stretch]:
    """Yield stretches, those that follow each other with one bend as one."""
    last: Stretch | None = None
    for stretch in stretches:
        if last is not None and _alike(last, stretch):
            last = replace(last, length=last.length + stretch.length, turn=last.turn + stretch.turn)
            continue
        if last is not None:
            yield last
        last = stretch
    if last is not None:
        yield last


def _alike(one: Stretch, other: Stretch) -> bool:
    if one.radius is None or other.radius is None:
        return one.radius is other.radius
    same_way = one.turn * other.turn > 0 and one.length > 0 and other.length > 0
    return same_way and abs(one.radius - other.radius) < ON


def _turn(before: Segment, after: Segment) -> float:
    """Return the turn [rad] from one edge of a clockwise outline to the next, positive to the right."""
    (ax, ay), (bx, by) = outward(before, at_end=True), outward(after, at_end=False)
    return -math.atan2(ax * by - ay * bx, ax * bx + ay * by)


def _from(path: Path, place: Point) -> tuple[tuple[Segment, ...], bool]:
    """Return the segments of a closed path from a place on it on, cut there; from its own start for a place off it."""
    for number, segment in enumerate(path.segments):
        if not _holds(segment, place):
            continue
        before, after = replace(segment, end=place), replace(segment, start=place)
        around = (*path.segments[number + 1 :], *path.segments[:number])
        ends = [s for s in (after, *around, before) if math.dist(s.start, s.end) > JOIN]
        return tuple(ends), True
    return path.segments, False


def _holds(segment: Segment, place: Point) -> bool:
    if isinstance(segment, Arc) and math.dist(segment.start, segment.end) < JOIN:
        return False  # a whole circle has no ends to cut it between
    if math.dist(segment.start, place) < JOIN:
        return True
    return bool(segment.distance(np.array([place]))[0] < ON)


def rim_table(layout: Layout) -> Table:
    """Return the strip's stretches as a table, to mark out on the flat bar."""

    def show(mm: float) -> str:
        return size(layout, mm)

    made = rim(layout)
    rows = [
        (show(s.begin), show(s.length) if s.length else "", _how(layout, s)) for s in made.stretches
    ]
    begins = "the datum mark" if made.at_mark else "the outline's first corner"
    return Table(
        "Rim strip", ("from its end", "long", "bend"), tuple(rows),
        (
            (
                f"Laid flat it is {show(made.length)} long, {show(layout.lock.plate.rim)} thick, and as wide as the "
                f"lock is deep inside. It begins at {begins} and runs clockwise, seen from inside the back plate; its "
                "outer face is flush with the plates' edge. Cut the shackle's openings when it is bent."
            ),
            (
                "Lengths are along the neutral line (DIN 6935, memory). A fold is nicked three quarters through on its "
                "inner side and closed with solder or braze (common practice, no source). Bend a trial piece first."
            ),
        ),
        widths=(40, 40, 110),
    )  # fmt: skip


def _how(layout: Layout, stretch: Stretch) -> str:
    if stretch.radius is None:
        return "straight"
    degrees = f"{abs(math.degrees(stretch.turn)):.1f} degrees"
    way = "inwards" if stretch.turn > 0 else "outwards"
    if stretch.length == 0.0:
        return f"fold {way} by {degrees}"
    return f"bend {way} by {degrees}, inner radius {size(layout, stretch.radius)}"
