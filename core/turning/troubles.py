"""What stops the key on its way round: a part that it fouls, or the bolt that jams."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from core.layout.layout import Layout, derived
from core.lock.row_kinds import the
from core.mechanism.law import STROKES, Stroke, side
from core.turning.follow import charts
from core.turning.turn_check import fouls_by_stroke


@dataclass(frozen=True)
class Trouble:
    """Something that stops the key on its way.

    `angle` [rad] is where it begins in the direction of its stroke; `sure` is False for a bolt that jams only at
    the high end of its friction.
    """

    kind: Literal["foul", "jam"]
    part: str
    stroke: Stroke
    angle: float
    sure: bool = True

    @property
    def text(self) -> str:
        """What happens, in a word or two."""
        if self.kind == "foul":
            return f"fouls {the(self.part)}"
        return "the bolt jams" if self.sure else "the bolt may jam"


def troubles(layout: Layout, kept: str) -> tuple[Trouble, ...]:
    """Return all that stops the key in either stroke, in a friction condition; in the order of each stroke."""
    found = [*_fouls(layout), *_jams(layout, kept)]
    return tuple(sorted(found, key=lambda t: (STROKES.index(t.stroke), side(t.stroke) * t.angle)))


@derived
def _fouls(layout: Layout) -> tuple[Trouble, ...]:
    found = fouls_by_stroke(layout)
    return tuple(Trouble("foul", f.part, s, f.first) for s in STROKES for f in found[s])


def _jams(layout: Layout, kept: str) -> list[Trouble]:
    found = []
    for stroke, chart in charts(layout).items():
        sure, maybe = (np.isnan(torque) for torque in chart.takes.ends("torque", kept))
        if maybe.any() or sure.any():
            met = chart.takes.angles[maybe | sure]
            first = float(met[0] if stroke == "unlocking" else met[-1])
            found.append(Trouble("jam", "bolt", stroke, first, bool(sure.any())))
    return found
