"""Guides that are raised, tilted or filed too shallow: how the bolt lies in them, what play does, where the key has it.

Each number is that of the report with `guides off: ` before it, since what it says in guides that are in line other
judges hold.
"""

import math
from collections.abc import Iterator

import numpy as np

from core.lock.lock import Lock
from core.mechanism.law import STROKES
from tests.config_space import follow
from tests.designs import seeded
from tests.evidence.cases import Case, Found, Judge
from tests.guide_metal import rig_of
from tests.slots_bench import Slots, middle, most_room, slots_of
from tests.test_play_in_slots import Pushed, guides_off, lines_inside, steepest

OFF = "guides off: "
CLEAR = math.radians(1.0)
"""How far [rad] from a jump of the bolt its travel is looked at."""


def astray(count: int) -> Iterator[Lock]:
    """Return `count` locks with guides that stand too high, too low or tilted, some filed too shallow, legs thinner."""
    found = 0
    for seed in range(100, 1000):
        slots = guides_off(seed)
        low = seeded(f"shallow {seed}").choice((0.0, 0.05))
        slots = Slots(
            slots.plan, slots.floors, tuple(round(f - low, 3) for f in slots.floors), slots.thinner
        )
        if found < count and slots.works() and not slots.grazes():
            found += 1
            yield slots.measured
        if found == count:
            return


def is_astray(lock: Lock) -> bool:
    """Say whether a lock has guides that were measured to be off."""
    return any(path.startswith("as_fixed.") for one in lock.made for path, _ in one.measured)


def _laid(case: Case) -> Found:
    slots, said = slots_of(case.lock), case.said
    flank, room = Pushed(slots), most_room(slots.places())
    tilts = [math.atan(steepest(slots, way)) - flank.tilt for way in (1, -1)]
    raised = flank.carried - flank.at((flank.up + room, flank.slope), 1)
    rng = seeded("evidence of play")
    least = min(flank.at(line, way) for line in lines_inside(slots, rng) for way in (1, -1))
    budget = said["home_budget"]
    loose = max(case.lock.pivot.hole - case.lock.key.shank, 0.0) / 2
    yield f"{OFF}play.slide", said["play"]["slide"], room
    yield f"{OFF}play.tilt", said["play"]["tilt"], math.degrees(max(map(abs, tilts)))
    yield f"{OFF}home_budget.laid_out", budget["laid_out"], case.throw - flank.carried
    yield f"{OFF}home_budget.raised", budget["raised"], raised
    yield f"{OFF}home_budget.both", budget["both"], flank.carried - least
    yield (
        f"{OFF}home_budget.most", budget["most"], case.throw - least + loose,
    )  # fmt: skip


def _swept(case: Case) -> Found:
    slots = slots_of(case.lock)
    rig = rig_of(case.lock, *middle(slots.places()))
    angles = np.radians(np.arange(-180, 181))
    for stroke in STROKES:
        seen = follow(rig, stroke, capture=case.lock.fit.detent_capture, at=angles)
        jumps = seen.angles[1:][np.abs(np.diff(seen.travel)) > 0.2]
        for at, travel in zip(angles, case.said["motion"][stroke]["travel"], strict=True):
            if np.abs(jumps - at).min(initial=math.inf) > CLEAR:
                yield f"{OFF}motion.{stroke}.travel[]", travel, float(seen.at(np.array([at]))[0])


JUDGES = (
    Judge(
        "laid", "the line with most room, and lines as far as they go, inside the slots; a fine turn past the foot",
        "linear programs (HiGHS), complex numbers; `tests/slots_bench.py`",
        tuple(
            OFF + key
            for key in ("play.slide", "play.tilt", "home_budget.laid_out", "home_budget.raised", "home_budget.both",
                        "home_budget.most")
        ), _laid,
    ),
    Judge(
        "laid and swept", "the outline so laid swept over key angle and travel, as the detent draws it",
        "`tests/config_space.py`", (f"{OFF}motion.*.travel[]",), _swept,
    ),
)  # fmt: skip
