"""The strip of the spring: what it presses with, what it stands, and the room that it takes above the bolt.

Where a spring is known by its sizes all follows from them; of one that is known as it is felt, only what was felt.
The strip is set so that it lies level while its tip rides on the bolt's top edge.
"""

import math
from dataclasses import dataclass
from functools import cache

from core.errors import BadTableError
from core.layout.layout import Layout, derived
from core.lock.lock import Lock
from core.lock.spring import METALS
from core.mechanism.flat_spring import FlatSpring
from core.mechanism.maths import N, maths
from core.mechanism.notch import Notch
from core.mechanism.strip_shape import highest, lowest
from core.tables.metals import Metal, metals_for


@cache
def spring_metals() -> dict[str, Metal]:
    """Return the metals of which a lock can have its spring, by name.

    Raises
    ------
    BadTableError
        For a table that lacks a metal which a lock names.
    """
    found = {metal.name: metal for metal in metals_for("spring")}
    if not found.keys() >= set(METALS):
        lacking = ", ".join(sorted(set(METALS) - found.keys()))
        raise BadTableError(f"The shipped table metals.toml has no spring of {lacking}.")
    return found


def tip_radius(lock: Lock) -> float:
    """Return the radius [mm] of the spring's tip: a rolled one's, or half the strip's thickness."""
    return lock.spring.tip_radius if lock.spring.tip == "rolled" else lock.spring.thickness / 2


def notch_of(lock: Lock) -> Notch[float] | None:
    """Return one notch as it can be cut, None for a lock without."""
    if lock.detent.kind != "notches":
        return None
    return notch_within(lock, lock.shackle.engagement + lock.shackle.gap)


def notch_within(lock: Lock, throw: N) -> Notch[N]:
    """Return one notch of a lock as it can be cut at a `throw` [mm], any shape, and of that shape.

    So wide that they would meet, two are cut only up to the middle between them.
    """
    values, of = lock.detent, maths(throw)
    wide: N = of.smaller(values.half_width, throw / 2)
    same: N = 0 * throw
    return Notch(
        wide, math.radians(values.ramp) + same, values.depth + same, tip_radius(lock) + same
    )


@dataclass(frozen=True)
class Strip:
    """A flat strip as the spring of a lock, over notches whose tip stands `drop` [mm] below the land.

    `hang` [mm] is how far its tip would hang below where it rests; `tip_height` [mm] how far the tip stands out
    below it.
    """

    beam: FlatSpring[float]
    metal: Metal
    hang: float
    drop: float
    tip_height: float

    @property
    def rest(self) -> float:
        """What it presses with [N] at rest on a seat."""
        return self.beam.force(self.hang)

    @property
    def land(self) -> float:
        """What it presses with [N] on the land beside the notches."""
        return self.beam.force(self.hang + self.drop)

    @property
    def stress(self) -> float:
        """The greatest stress [MPa] in it, on the land."""
        return self.beam.stress(self.hang + self.drop)

    @property
    def greatest_hang(self) -> float:
        """The preload [mm] at which it just begins to yield on the land, at the low end of the metal's range."""
        return self.beam.furthest(self.metal.yield_low) - self.drop

    @property
    def bend(self) -> float:
        """The angle [rad] by which it is bent before it is mounted: at its foot, or in the middle on either side."""
        reach = self.beam.length / (2 if self.beam.on_two_ends else 1)
        return math.atan((self.hang + self.drop) / reach)

    @property
    def bent_share(self) -> float:
        """How far it is bent, as a share of its free length."""
        return (self.hang + self.drop) / self.beam.length

    @property
    def room(self) -> float:
        """The height [mm] above the bolt line that it takes at its highest over the whole stroke."""
        whole = self.hang + self.drop
        bow = (
            max(highest(whole, lift) for lift in (whole, self.hang))
            if self.beam.on_two_ends
            else 0.0
        )
        return self.tip_height + self.beam.thickness + bow

    @property
    def clear(self) -> float:
        """The least height [mm] of its underside above the bolt line, beside the tip, below 0 where it rubs."""
        whole = self.hang + self.drop
        if self.beam.on_two_ends:
            return self.tip_height - self.drop
        return self.tip_height + min(lowest(whole, lift) for lift in (whole, self.hang))


@derived
def notch(layout: Layout) -> Notch[float] | None:
    """Return one notch as it can be cut, None for a lock without."""
    return notch_of(layout.lock)


@derived
def strip(layout: Layout) -> Strip | None:
    """Return the strip of a spring that is known by its sizes; None for one that is felt."""
    return _strip(layout.lock, notch(layout))


def strip_of(lock: Lock) -> Strip | None:
    """Return the strip of a lock's spring, None for one that is felt."""
    return _strip(lock, notch_of(lock))


def _strip(lock: Lock, cut: Notch[float] | None) -> Strip | None:
    values = lock.spring
    if values.kind != "flat strip":
        return None
    metal = spring_metals()[values.metal]
    across = values.anchor == "both ends held"
    beam = FlatSpring(
        values.width, values.thickness, values.free_length, metal.modulus_low, on_two_ends=across
    )
    rolled = 2 * values.tip_radius - values.thickness
    height = rolled if values.tip == "rolled" else values.tip_height
    return Strip(beam, metal, values.preload, cut.seat_drop if cut else 0.0, height)
