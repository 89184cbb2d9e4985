"""Bit and bolt by contact alone: how far metal lets the bolt go at every key angle, whatever its outline.

The gap between the lobes is taken as it was filed: at each height a left and a right edge, as chains of corners. At a
key angle the bit is at each height as wide as it is there, so the bolt's travel has a least and a greatest value: what
the right edge must give way to, and what the left edge lets it. The bolt is followed from angle to angle,
infinitely slowly: it stays where friction leaves it, goes where metal pushes it, and a detent draws it
to a seat within its reach as far as metal lets it. There is no law of motion in it.

Told of unlocking; locking is its mirror image (`mirrored`). Lengths in mm, x and y from the pivot in the drive frame,
the bolt at the locked seat; angles in radians, clockwise from top dead centre.
"""

import math
from dataclasses import dataclass

import numpy as np

from core.mechanism.bit_shape import BitShape
from core.mechanism.maths import Array, Truths, distinct

TOUCH = 1e-3
"""Overlap [mm] that passes for touching: what chords and the rounding of numbers may add."""
STUB = 0.05
"""Push [mm] of a bit that has just come up beside a lobe, beyond which it stops flat on it instead of slipping by."""
STEP = math.radians(0.1)
"""Step [rad] at which a bolt is followed; the push is so nearly straight between two that nothing is lost."""


@dataclass(frozen=True)
class GapSides:
    """The gap of a bolt: its edges `left` and `right` [mm], x and y, shapes (m, 2) and (n, 2), rising.

    Each runs from the lobe's lower edge up to the `roof` [mm], a height.

    Source: plane geometry of the design's contour.
    Valid: for edges that rise all the way, as those of a gap that a file can reach.

    Example, a gap 15 wide with no relief, for the bit of 20 x 3 at top dead centre:
    >>> sides = GapSides(np.array([[-13.5, 15.0], [-13.5, 20.2]]), np.array([[1.5, 15.0], [1.5, 20.2]]), roof=20.2)
    >>> sides.mirrored(12.0).left.tolist()
    [[-13.5, 15.0], [-13.5, 20.2]]
    """

    left: Array
    right: Array
    roof: float

    def mirrored(self, throw: float) -> "GapSides":
        """Return the gap [none] as the locking stroke sees it from the unlocked seat, a `throw` [mm] farther."""
        flip, shift = np.array([-1.0, 1.0]), np.array([throw, 0.0])
        return GapSides((self.right + shift) * flip, (self.left + shift) * flip, self.roof)


@dataclass(frozen=True)
class Way:
    """A bolt's way through one stroke: its `travel` [mm], shape (n,), at `angles` [rad], shape (n,), rising.

    Both as seen in unlocking. The detent has it from the angle `caught` [rad] on, infinite for never; the bit can go
    no farther from `blocked` [rad] on, infinite for never; it pushed the bolt `past` [mm] the seat that it came from.

    Source: as `followed`.
    Valid: as `followed`.

    Example, of a bolt that a key carries from 0 to 2 in half a turn:
    >>> Way(np.array([0.0, np.pi]), np.array([0.0, 2.0]), np.inf, np.inf, 0.0).at(np.array([np.pi / 2])).tolist()
    [1.0]
    """

    angles: Array
    travel: Array
    caught: float
    blocked: float
    past: float

    def at(self, angles: Array) -> Array:
        """Return the travel [mm], any shape, at `angles` [rad], any shape; straight between two that were followed."""
        found: Array = np.interp(angles, self.angles, self.travel)
        return found


def limits(sides: GapSides, bit: BitShape, angles: Array) -> tuple[Array, Array]:
    """Return the least and the greatest travel [mm], each shape (n,), that metal lets a bolt have.

    Of a bolt with the `sides` [mm] of its gap, at `angles` [rad], shape (n,), and a `bit` [mm]. Minus and plus infinity
    where nothing is beside the bit. A least above the greatest: the bit has no room there; a bit at the roof has none
    at all.

    Source: the bit at a height y reaches from its trailing to its leading side: on a face `x cos t - y sin t = +-b/2`,
    on the tip `x^2 + y^2 = R^2`, on a rounded corner the like about its middle. The push is the most of that less the
    edge over all heights, which is at a corner of one or the other, or on one of the bit's arcs.
    Valid: for bits that are thinner than their circle.

    Example, the design's check values, first row: the corner on the flank, R sin(t + beta) - w0 at 20 degrees, and the
    trailing face at the other foot, (y_f sin t - b/2) / cos t + a:
    >>> sides = GapSides(np.array([[-13.5, 15.0263], [-13.5, 20.2]]), np.array([[1.5, 15.0263], [1.5, 20.2]]), 20.2)
    >>> [bound.round(4).tolist() for bound in limits(sides, BitShape.even(20.0, 1.5), np.radians([-90.0, 20.0]))]
    [[-inf, 6.7307], [inf, 17.3729]]
    """
    least, greatest = np.full(len(angles), -np.inf), np.full(len(angles), np.inf)
    low = min(sides.left[0, 1], sides.right[0, 1])
    radius, (first, last) = bit.radius, bit.tip
    # of a rounded corner the middle takes the corner's place, and the bit goes on as far as its radius
    within, soft = bit.within, bit.rounded
    reach = within * np.cos(np.maximum(np.maximum(-angles - last, angles + first), 0.0)) + soft
    up = np.flatnonzero((reach > low) & (np.cos(angles) > 1e-9))
    if not len(up):
        return least, greatest
    turn = angles[up]
    over = np.cos(np.stack([turn + first, turn + last], axis=1))
    corners, middles = radius * over, within * over
    upright = (turn + first < 0) & (turn + last > 0)
    crown = np.where(upright, radius, middles.max(axis=1) + soft)
    for edge, way in ((sides.right, 1), (sides.left, -1)):
        # where the round tip would lie on a straight piece of the edge
        run = np.diff(edge, axis=0)
        leans = -way * run[:, 0] / np.hypot(run[:, 0], run[:, 1])
        bottom, top = edge[0, 1], max(edge[-1, 1], sides.roof)
        even = np.concatenate([edge[:, 1], (radius * leans)[_on_own(edge, radius * leans)]])
        # heights that are the same at every angle are one row
        looked = [even[(even >= bottom) & (even <= top)][None, :], corners]
        if soft > 0:
            # and where a rounded corner would
            looked += [(middles[:, :, None] + soft * leans).reshape(len(turn), -1)]
        push = np.full(len(turn), -np.inf)
        for heights in looked:
            beside = (heights >= bottom) & (heights <= top)
            place = way * np.interp(heights, edge[:, 1], edge[:, 0])
            over = np.where(beside, _side_at(way, turn[:, None], heights, bit) - place, -np.inf)
            push = np.maximum(push, over.max(axis=1))
        push[crown > sides.roof + TOUCH] = np.inf
        if way > 0:
            least[up] = push
        else:
            greatest[up] = -push
    return least, greatest


def _on_own(edge: Array, heights: Array) -> Truths:
    """Say which of the heights [mm], one for each piece of an edge, lie on their own piece, with a hair to spare."""
    low, high = np.minimum(edge[:-1, 1], edge[1:, 1]), np.maximum(edge[:-1, 1], edge[1:, 1])
    on: Truths = (heights >= low - TOUCH) & (heights <= high + TOUCH)
    return on


def _side_at(way: int, turn: Array, heights: Array, bit: BitShape) -> Array:
    """Return how far [mm] the bit reaches right (`way` 1) or left (-1), (n, m), at heights, (n, m) or (1, m).

    -inf where it is not.
    """
    cos, sin = np.cos(turn), np.sin(turn)
    best = np.full(np.broadcast_shapes(turn.shape, heights.shape), -np.inf)
    radius = bit.radius
    for face, out in bit.faces:
        x = (face + heights * sin) / cos
        along = x * sin + heights * cos
        here = (along >= -1e-12) & (along <= out + 1e-9)
        np.maximum(best, way * x, out=best, where=here)
    (lead, out), (trail, trail_out) = bit.middles
    first, last = bit.tip
    # of an arc x and y of its middle, its radius, and the x [mm] of the stretch of it that there is, in the bit's frame
    ends = radius * math.sin(first), radius * math.sin(last)
    arcs = [(0.0, 0.0, radius, *ends)]
    if bit.rounded > 0:
        arcs.append((lead, out, bit.rounded, ends[1], bit.lead))
        arcs.append((trail, trail_out, bit.rounded, -bit.trail, ends[0]))
    for mid_x, mid_y, size, low, high in arcs:
        centre, level = mid_x * cos + mid_y * sin, mid_y * cos - mid_x * sin
        off = heights - level
        chord = np.sqrt(np.maximum(size**2 - off**2, 0.0))
        for x in (centre + chord, centre - chord):
            across, along = x * cos - heights * sin, x * sin + heights * cos
            here = (across <= high + 1e-9) & (across >= low - 1e-9)
            here &= (along > mid_y) & (np.abs(off) <= size)
            np.maximum(best, way * x, out=best, where=here)
    return best


def followed(sides: GapSides, bit: BitShape, throw: float, capture: float, corners: Array) -> Way:
    """Return the way [mm] of a bolt through the unlocking stroke, from key-in to key-out, shape (n,) of its angles.

    Of a bolt with the `sides` [mm] of its gap and a `bit` [mm]; the `throw` [mm] from seat to seat, and the
    detent's reach at both seats, `capture` [mm], below 0 for none. The
    angles `corners` [rad], shape (n,), are among those looked at: where the push ends all at once a step is not fine
    enough.

    Source: statics of a bolt moved infinitely slowly; `limits`.
    Valid: while the bit comes up inside the gap: one that stands outside it, or comes up flat under a lobe, is blocked.

    Example, the design's demo lock without a relief, drawn home at the release by 0.3717, left there without a detent:
    >>> sides = GapSides(np.array([[-11.0, 16.9423], [-11.0, 20.2]]), np.array([[1.5, 16.9423], [1.5, 20.2]]), 20.2)
    >>> release = np.array([math.acos(16.9423 / 20) - math.asin(1.5 / 20)])
    >>> bit = BitShape.even(20.0, 1.5)
    >>> ways = [followed(sides, bit, 9.5, capture, release) for capture in (1.0, -1.0)]
    >>> [float(way.travel[-1]) for way in ways], ways[1].blocked
    ([9.5, 9.128], inf)
    """
    even = np.linspace(-math.pi, math.pi, 2 * round(math.pi / STEP) + 1)
    angles = distinct(np.concatenate([even, corners, np.nextafter(corners, -np.inf)]))
    least, greatest = limits(sides, bit, angles)
    here, past, caught, blocked = 0.0, 0.0, math.inf, math.inf
    travel, beside = np.zeros(len(angles)), False
    for k, (low, high) in enumerate(zip(least.tolist(), greatest.tolist(), strict=True)):
        free = math.isinf(low) and low < 0 and math.isinf(high) and high > 0
        push = max(low, -high, 0.0)  # the bit comes up once, and finds the bolt on its seat
        if low > high + TOUCH or (not free and not beside and push > STUB):
            blocked = float(angles[k])
            travel[k:] = here
            break
        beside = not free
        here = min(max(here, low), max(high, low))
        past = max(past, -here)
        seat = 0.0 if abs(here) <= abs(here - throw) else throw
        if abs(here - seat) <= capture:
            drawn = min(max(seat, low), max(high, low))
            if seat == throw and math.isinf(caught):
                caught = float(angles[k])
            here = drawn
        travel[k] = here
    return Way(angles, travel, caught, blocked, past)
