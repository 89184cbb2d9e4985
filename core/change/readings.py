"""The lock as it lies on the bench: key, bolt, plates and shackle, each made to its own numbers.

The checks know one radius, one bit, one throw for the whole lock. At the bench the key may be short while
the bolt is right, so here each workpiece brings its own, and what can be read off at the bench follows
from the four together. The bolt is taken to rest where its seats hold it: at the locked seat
its unlocking flank stands as far from the centreline as the bolt was made for. Lengths in mm, angles in
radians unless said otherwise.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from core.layout.layout import Layout
from core.lock.facts import made_to
from core.lock.lock import Lock
from core.mechanism.corner import half_chord, lets_go_at
from core.parts.bolt_contour import nose_face
from core.parts.tooth import tooth
from core.whole import assembly


@dataclass(frozen=True)
class Bench:
    """The numbers of the four workpieces that decide what is read off [mm].

    `foot` is the depth of the flanks' foot below the bolt's top edge, `flank` the unlocking flank's distance
    from the centreline at the locked seat, `reach` the way from that flank to the tip of the nose; `line` is
    the bolt line's height above the pivot, `face` the distance of the shackle's near face from the centreline.
    """

    radius: float
    bit: float
    foot: float
    flank: float
    throw: float
    reach: float
    line: float
    face: float

    @property
    def driven(self) -> float:
        """Travel at which the bit's corner leaves the flank's foot [mm]: half a chord, less the flank."""
        return half_chord(self.radius, self.line - self.foot) - self.flank

    @property
    def release(self) -> float:
        """Key angle [degrees] past top dead centre at which the corner leaves the foot."""
        return math.degrees(lets_go_at(self.bit / 2, self.radius, self.line - self.foot))

    @property
    def engagement(self) -> float:
        """How far the nose stands in the shackle at the locked seat [mm]."""
        return self.reach - self.flank - self.face

    @property
    def gap(self) -> float:
        """How far the nose stands clear of the shackle at the unlocked seat [mm]."""
        return self.throw - self.engagement


@dataclass(frozen=True)
class ReadOff:
    """Something that can be read off at the bench.

    `accuracy` [mm or degrees] is how well it is read with a calliper, feeler or protractor: common practice,
    no source.
    """

    name: str
    label: str
    how: str
    accuracy: float
    of: Callable[[Bench], float]
    angle: bool = False


READ_OFF: Mapping[str, ReadOff] = {
    read.name: read
    for read in (
        ReadOff(
            "throw", "throw, seat to seat",
            "Calliper on the tail, bolt at one seat and then at the other.", 0.1,
            lambda bench: bench.throw,
        ),
        ReadOff(
            "driven", "driven until the key lets go",
            "Detent held off: calliper on the tail, before and after the key has carried the bolt.", 0.1,
            lambda bench: bench.driven,
        ),
        ReadOff(
            "release", "angle at which the key lets go",
            "Protractor on the key, from top dead centre on.", 1.0,
            lambda bench: bench.release, angle=True,
        ),
        ReadOff(
            "engagement", "engagement at the locked seat",
            "Mark the nose at the shackle's face, draw it back, measure mark to tip.", 0.1,
            lambda bench: bench.engagement,
        ),
        ReadOff(
            "gap", "gap at the unlocked seat",
            "Feeler gauge or drill shank between nose and shackle.", 0.05,
            lambda bench: bench.gap,
        ),
    )
}  # fmt: skip


def parts_of(lock: Lock) -> dict[str, Lock]:
    """Return for each of the four workpieces the lock that it is made to, or is going to be made to."""
    # of the others none of the numbers decides what is read off
    known = assembly.workpieces().items()
    return {part: made_to(lock, part) for part, workpiece in known if workpiece.suspects}


def bench_of(parts: Mapping[str, Lock]) -> Bench:
    """Return the numbers of the four workpieces made to the locks in `parts`."""
    key, plate = parts["key"], parts["back_plate"]
    bolt = Layout(parts["bolt"])
    cut, face = tooth(bolt), nose_face(bolt)
    return Bench(
        radius=key.key.radius,
        bit=key.key.bit_thickness,
        foot=cut.bolt_line - cut.flank_foot,
        flank=cut.pickup_offset,
        throw=cut.throw,
        reach=cut.pickup_offset + face + bolt.lock.shackle.engagement,
        line=plate.bolt_line.height,
        face=nose_face(Layout(parts["shackle"])),
    )
