"""The lock as it lies on the bench: key, bolt, plates and shackle, each made to its own numbers.

The checks know one radius, one bit, one throw for the whole lock. At the bench the key may be short while
the bolt is right, so here each workpiece brings its own, and what can be read off at the bench follows
from the four together, by contact of bit and gap (`core.mechanism.gap_contact`). The bolt is taken to rest where its
seats hold it: they were laid out from the pivot as it was planned. Lengths in mm, angles in radians unless
said otherwise.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from core.layout.frames import centreline_frame
from core.layout.layout import Layout
from core.lock.facts import made_to, record_of
from core.lock.lock import Lock
from core.made.holding import LINE, PIVOT
from core.mechanism.bit_shape import BitShape
from core.mechanism.gap_contact import TOUCH, GapSides, limits
from core.mechanism.law import STROKES, Stroke
from core.mechanism.maths import Array
from core.parts.bolt_contour import nose_face
from core.parts.made_bolt import seen_by
from core.parts.notches import reach
from core.parts.tooth import bit_shape, gap_sides
from core.whole import assembly

STEP = math.radians(1.0)
"""Step [rad] at which bit and gap are put together; between two the push is taken as straight."""
QUARTER = math.radians(90.0)
"""How far [rad] from top dead centre the bit may be in the gap."""


@dataclass(frozen=True)
class Stroked:
    """What one stroke is at the bench.

    The key `starts` the bolt at an angle [rad] past top dead centre, and with the detent on it snaps home at the angle
    `snaps` [rad]; NaN where it does not. With the detent held off the key carries it by `carried` [mm].
    """

    starts: float
    snaps: float
    carried: float


@dataclass(frozen=True)
class Bench:
    """What the parts come to [mm].

    `throw` is the way from seat to seat, `capture` the detent's reach; `engagement` is how far the nose stands in the
    shackle at the locked seat, `stands_out` how far beyond its guide, `room` what is between the bolt's lower edge and
    the key's shank. `strokes` are both ways.
    """

    throw: float
    capture: float
    engagement: float
    stands_out: float
    room: float
    strokes: Mapping[Stroke, Stroked]

    @property
    def gap(self) -> float:
        """How far the nose stands clear of the shackle at the unlocked seat [mm]."""
        return self.throw - self.engagement

    @property
    def snap(self) -> float:
        """Travel [mm] at which the detent draws the bolt home: where its reach begins, if the key brings it there."""
        snaps = [stroked.snaps for stroked in self.strokes.values()]
        return math.nan if all(map(math.isnan, snaps)) else self.throw - self.capture


def parts_of(lock: Lock) -> dict[str, Lock]:
    """Return for each of the four workpieces the lock that it is made to, or is going to be made to.

    That of the back plate has the bolt line as high above the pivot as it is, wherever that came out.
    """
    # of others none of the numbers decides what is read off
    known = assembly.workpieces().items()
    found = {part: made_to(lock, part) for part, workpiece in known if workpiece.suspects}
    record = record_of(lock, "back_plate")
    if record is not None and LINE not in dict(record.measured):
        plate = found["back_plate"]
        height = plate.bolt_line.height - _moved(lock)[1]
        found["back_plate"] = plate.with_value(LINE, height)
    return found


def laid_at(lock: Lock) -> float:
    """Return how far right of the datum mark [mm] the pivot should stand for what was laid out from it."""
    return float(made_to(lock, "back_plate").pivot.across) - _moved(lock)[0]


def _moved(lock: Lock) -> tuple[float, float]:
    """Return how far right and up [mm] the pivot stands of where it was planned when the plate was laid out."""
    record = record_of(lock, "back_plate")
    planned = dict(record.planned) if record is not None else {}
    if not set(PIVOT) <= planned.keys():
        return 0.0, 0.0
    now = made_to(lock, "back_plate").pivot
    right, up = centreline_frame(*(planned[path] for path in PIVOT)).point((now.across, -now.below))
    return right, up


def bench_of(parts: Mapping[str, Lock], laid: float | None = None) -> Bench:
    """Return what the four workpieces made to the locks in `parts` come to at the bench.

    Guides and seats were `laid` out from a pivot so far right of the datum mark [mm], None: from where it is.
    """
    key, plate, metal, shackle = (parts[part] for part in ("key", "back_plate", "bolt", "shackle"))
    right = 0.0 if laid is None else plate.pivot.across - laid
    along = -right if metal.unlocks == "left" else right
    throw = metal.shackle.engagement + metal.shackle.gap
    tip = nose_face(Layout(metal)) + metal.shackle.engagement + metal.as_cut.nose
    guide = metal.front_guide
    capture = reach(Layout(metal))
    play = (plate.pivot.hole - key.key.shank) / 2
    up = plate.bolt_line.height - metal.bolt_line.height
    return Bench(
        throw=throw,
        capture=capture,
        engagement=tip - nose_face(Layout(shackle)),
        stands_out=tip - guide.from_centreline - guide.width,
        room=plate.bolt_line.height - metal.bolt.depth - key.key.shank / 2,
        strokes={
            stroke: _stroked(
                _seen(_sides(metal), stroke, throw, along, up, max(play, 0.0)),
                seen_by(bit_shape(Layout(key)), stroke), throw - capture,
            )
            for stroke in STROKES
        },
    )  # fmt: skip


def planned_bench(lock: Lock) -> Bench:
    """Return what the parts of a lock come to at the bench, as they are made or are going to be."""
    return bench_of(parts_of(lock), laid_at(lock))


@lru_cache(maxsize=64)
def _sides(metal: Lock) -> GapSides:
    return gap_sides(Layout(metal))


def _seen(
    sides: GapSides, stroke: Stroke, throw: float, along: float, up: float, play: float
) -> GapSides:
    """Return the gap as the key's shank sees it in a stroke, which the push drives back through its `play`."""
    by = np.array([-along, up])
    seen = GapSides(sides.left + by, sides.right + by, sides.roof + up)
    seen = seen if stroke == "unlocking" else seen.mirrored(throw)
    away = np.array([play, 0.0])
    return GapSides(seen.left + away, seen.right + away, seen.roof)


def _stroked(sides: GapSides, bit: BitShape, reached: float) -> Stroked:
    """Return one stroke of a bolt that the detent has from `reached` [mm] on."""
    angles = np.linspace(-QUARTER, QUARTER, 2 * round(QUARTER / STEP) + 1)
    least, greatest = limits(sides, bit, angles)
    stopped = np.flatnonzero(least > greatest + TOUCH)
    if len(stopped):
        angles, least = angles[: stopped[0]], least[: stopped[0]]
    pushed = np.maximum.accumulate(np.maximum(least, 0.0)) if len(least) else np.zeros(1)
    return Stroked(
        starts=_crossing(angles, least, 0.0),
        snaps=_crossing(angles, least, reached),
        carried=float(pushed[-1]),
    )


def _crossing(angles: Array, least: Array, height: float) -> float:
    """Return the angle [rad] at which the push first comes to a `height` [mm], NaN where it never does."""
    over = np.flatnonzero(least > height)
    if not len(over):
        return math.nan
    k = int(over[0])
    if k == 0 or not math.isfinite(least[k - 1]):
        return float(angles[k])
    share = (height - least[k - 1]) / (least[k] - least[k - 1])
    return float(angles[k - 1] + share * (angles[k] - angles[k - 1]))
