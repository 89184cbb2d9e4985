"""What play does in guides that are raised, tilted or filed otherwise, counted from how the bolt lies in them.

How far it leans and rises say linear programs (scipy, HiGHS); how far a key then drives it, a fine turn of the bit's
corner past the foot of its flank, laid so by complex numbers. Feet by the design page's iteration (`tests/designs.py`).
"""

import cmath
import math
from functools import cache
from random import Random

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import linprog

from core.layout.layout import Layout
from core.lock.lock import Lock
from core.parts.play import budget, play
from core.whole.as_built import as_built
from tests.bit_sweeps import made
from tests.counts import seeds
from tests.designs import numbers, plausible, seeded
from tests.guide_metal import faces
from tests.slots_bench import Line, Slots, middle, most_room


def guides_off(seed: int) -> Slots:
    """Return guides of which each stands too high or too low, and tilted, by chance; legs filed thinner."""
    rng = seeded(f"play in slots {seed}")
    plan = made(plausible(seed, roof="flat", outline="rectangle"))
    if rng.choice((True, False)):
        up, slope = rng.uniform(-0.25, 0.25), rng.uniform(-0.35, 0.35) / 25
        floors = tuple(round(up + slope * x, 3) for x, _ in faces(plan))
    else:
        own = [rng.uniform(-0.2, 0.2) for _ in range(2)]
        floors = tuple(round(own[n // 2] + rng.uniform(-0.05, 0.05), 3) for n in range(4))
    return Slots(plan, floors, floors, (rng.choice((0.0, 0.15)), rng.choice((0.0, 0.1))))


def farthest(slots: Slots, aim: tuple[float, float]) -> Line:
    """Return the line inside the slots for which `aim` times height and slope is least."""
    rows, most = [], []
    for x, low, high in slots.places():
        rows += [[1.0, x], [-1.0, -x]]
        most += [high, -low]
    up, slope = linprog(aim, A_ub=rows, b_ub=most, bounds=[(None, None)] * 2).x
    return float(up), float(slope)


def steepest(slots: Slots, way: int) -> float:
    """Return the slope of the line that rises most to the right (`way` 1), or falls most (-1), inside the slots."""
    return farthest(slots, (0.0, -way))[1]


def lines_inside(slots: Slots, rng: Random) -> list[Line]:
    """Return lines through the slots: as far as they go in many directions of height and slope."""
    found = []
    for _ in range(60):
        turn = rng.uniform(0, 2 * math.pi)
        found.append(farthest(slots, (math.cos(turn), 20 * math.sin(turn))))
    return found


@cache
def _half_a_turn() -> NDArray[np.complex128]:
    """Return the way round of a corner at 1 mm, as places."""
    around: NDArray[np.complex128] = np.exp(1j * np.linspace(0.0, math.pi, 400001))
    return around


class Pushed:
    """The flank of the worse stroke of a bolt that lies so in its guides, and what a key does with it moved further."""

    def __init__(self, slots: Slots) -> None:
        lock, n = slots.plan, numbers(slots.plan)
        self.radius, self.half = lock.key.radius, lock.key.bit_thickness / 2
        self.up, self.slope = middle(slots.places())
        self.tilt, line = math.atan(self.slope), lock.bolt_line.height
        self.leg = sum(slots.leg_heights[::2]) / 2
        square = cmath.exp(-1j * self.tilt)
        feet = []
        for way in (1, -1):
            # turned about the place of the top edge on the centreline, raised, and seen square to it
            foot = complex(way * n.offset, n.foot - line) * cmath.exp(1j * self.tilt)
            seen = (foot + complex(0, line + self.up)) * square
            feet.append(complex(way * seen.real, seen.imag))
        self.foot = min(feet, key=lambda foot: self.driven(foot))
        self.high = ((complex(0, line + self.up)) * square).imag - self.leg / 2
        self.carried = self.driven(self.foot)

    def driven(self, foot: complex) -> float:
        """Return how far a corner pushes that turns past a foot."""
        corner = self.radius * _half_a_turn()
        return float(corner.real[corner.imag >= foot.imag].max()) - foot.real

    def at(self, line: Line, way: int) -> float:
        """Return how far it is driven once the bolt has been moved on to another line."""
        lean = way * (math.atan(line[1]) - self.tilt)
        rise, slope = line[0] - self.up, way * (line[1] - self.slope)
        # where the foot is when the key lets go, from the middle of the legs' height on the centreline
        there = self.foot + self.carried - complex(0, self.high)
        seen_at = (there + complex(0, self.high)) * cmath.exp(1j * self.tilt * way)
        lifted = rise + slope * seen_at.real - (slope * there.real)
        moved = there * cmath.exp(1j * lean) + complex(0, self.high + lifted)
        return self.carried + self.driven(moved)


@pytest.mark.parametrize("seed", seeds(2, 40))
def test_play_is_counted_from_how_the_bolt_lies(seed: int) -> None:
    slots = guides_off(seed)
    built = as_built(Layout(slots.measured))
    found, left = play(built), budget(built)
    room = most_room(slots.places())
    if room < 0.005 or found is None or left is None:
        return
    assert found.slide == pytest.approx(room, abs=1e-6)
    tilts = [
        abs(math.atan(steepest(slots, way)) - math.atan(middle(slots.places())[1]))
        for way in (1, -1)
    ]
    assert found.tilt == pytest.approx(max(tilts), abs=1e-4)
    flank = Pushed(slots)
    up, slope = flank.up, flank.slope
    assert left.raised == pytest.approx(flank.carried - flank.at((up + room, slope), 1), abs=5e-3)
    rng = seeded(f"lines {seed}")
    least = min(flank.at(line, way) for line in lines_inside(slots, rng) for way in (1, -1))
    assert left.guides == pytest.approx(flank.carried - least, abs=1e-2)


def test_in_line_raised_and_tilted_at_once_is_no_more_than_either() -> None:
    built = as_built(Layout(made(plausible(3, roof="flat"))))
    left = budget(built)
    assert left is not None
    assert left.both == max(left.raised, left.tilted)


@pytest.mark.parametrize("depth", [24.0, 24.001])
@pytest.mark.parametrize("lobe", [3.0, 6.5, 12.0])
def test_level_with_the_pivot_the_bit_comes_in_however_high_the_bolt_lies(
    depth: float, lobe: float
) -> None:
    # the lower edge as low as the pivot, or below it: the key's circle is upright there, and a tenth of play up or down
    # leaves between it and the relief what it was, the key's clearance of 0.2
    lock = Lock().with_value("bolt.depth", depth).with_value("bolt.lobe_width", lobe)
    found = play(Layout(lock))
    assert found is not None
    assert found.slide == pytest.approx(0.1)
    assert found.shut_out == pytest.approx(
        dict.fromkeys(("shank", "raised", "dropped"), 0.2), abs=1e-3
    )
