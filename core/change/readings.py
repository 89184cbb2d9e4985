"""What can be read off at the bench with the parts put together, and how well.

Readings are taken with calliper, feeler and protractor: rounded to 0.1 mm and to a degree, common practice, no source.
"""

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from core.change.bench import Bench, Stroked
from core.mechanism.law import STROKES, Stroke

LENGTH = 0.05
"""What a length [mm] that is rounded to a tenth may be wrong by."""
ANGLE = 0.5
"""What an angle [degrees] that is rounded to a whole degree may be wrong by."""


@dataclass(frozen=True)
class ReadOff:
    """Something that can be read off at the bench.

    `accuracy` [mm or degrees] is what it may be wrong by; what it `is` [mm or degrees] is NaN where there is none.
    """

    name: str
    label: str
    how: str
    of: Callable[[Bench], float]
    angle: bool = False

    @property
    def accuracy(self) -> float:
        """What it may be wrong by [mm or degrees]."""
        return ANGLE if self.angle else LENGTH


def _of_a_stroke(stroke: Stroke) -> Iterator[ReadOff]:
    def of(bench: Bench) -> Stroked:
        return bench.strokes[stroke]

    yield ReadOff(
        f"{stroke}_starts", f"{stroke}: angle where it starts",
        "The lost motion: protractor on the key from top dead centre to where the bolt begins to move, before it less "
        "than 0.", lambda bench: math.degrees(of(bench).starts), angle=True,
    )  # fmt: skip
    yield ReadOff(
        f"{stroke}_snaps", f"{stroke}: angle where it snaps home",
        "Detent on, key turned slowly: protractor from top dead centre to where the bolt jumps to its seat.",
        lambda bench: math.degrees(of(bench).snaps), angle=True,
    )  # fmt: skip
    yield ReadOff(
        f"{stroke}_left", f"{stroke}: left without the detent",
        "Detent held off, key turned right through: calliper on the tail, then push the bolt to its seat and again.",
        lambda bench: bench.throw - of(bench).carried,
    )  # fmt: skip


READ_OFF: Mapping[str, ReadOff] = {
    read.name: read
    for read in (
        ReadOff(
            "throw", "throw, seat to seat",
            "Calliper on the tail, bolt at one seat and then at the other.",
            lambda bench: bench.throw,
        ),
        ReadOff(
            "snap", "travel where it snaps home",
            "Detent on, key turned slowly: calliper on the tail at the seat, and just before the bolt jumps.",
            lambda bench: bench.snap,
        ),
        *(read for stroke in STROKES for read in _of_a_stroke(stroke)),
        ReadOff(
            "engagement", "engagement at the locked seat",
            "Mark the nose at the shackle's face, draw it back, measure mark to tip.",
            lambda bench: bench.engagement,
        ),
        ReadOff(
            "gap", "nose clearance, unlocked",
            "Feeler gauge or drill shank between nose and shackle.",
            lambda bench: bench.gap,
        ),
        ReadOff(
            "stands_out", "nose out of its guide, locked",
            "Calliper's depth rod on the front guide's outer face, from the tip of the nose.",
            lambda bench: bench.stands_out,
        ),
        ReadOff(
            "room", "lower edge to the key's shank",
            "Drill shank that just goes between the bolt's lower edge and the key's shank.",
            lambda bench: bench.room,
        ),
    )
}  # fmt: skip
