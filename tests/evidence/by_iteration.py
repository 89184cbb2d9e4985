"""The tooth, the travel and what follows from both, by the design page's iteration and by a sweep without a law."""

import math

import numpy as np

from core.parts.end_stops import SEATS
from tests.config_space import follow, rig_of, shut_out
from tests.evidence.cases import Case, Found, Judge
from tests.met_ends import narrowest_room
from tests.stopped_locks import face_met
from tests.test_end_stops import met, metal

CLEAR = math.radians(0.02)
"""Where the bolt jumps, both places are right; so near to a jump [rad] nothing is compared."""


def _tooth(case: Case) -> Found:
    lock, n, said = case.lock, case.tooth, case.said["tooth"]
    relief = lock.key.radius + lock.fit.key_clearance
    wanted = {
        "throw": case.throw, "pickup_offset": n.offset, "flank_foot": n.foot,
        "lower_edge": lock.bolt_line.height - lock.bolt.depth, "gap_width": n.flank + n.offset,
        "relief_radius": relief, "bridge": lock.bolt_line.height - relief, "driven_travel": n.driven,
        "home_travel": case.throw - n.driven, "pickup_angle": lock.tooth.pickup_angle,
        "release_angle": math.degrees(n.release),
    }  # fmt: skip
    yield from ((f"tooth.{key}", said[key], found) for key, found in wanted.items())
    yield (
        "statics.drive_arc",
        case.said["statics"]["drive_arc"],
        wanted["pickup_angle"] + wanted["release_angle"],
    )


def _swept(case: Case) -> Found:
    """Follow the bolt through both strokes, with the lock's detent and without."""
    rig, said, reach = rig_of(case.layout), case.said, case.lock.fit.detent_capture
    if any(found["code"] == "key-fouls-bolt" for found in said["findings"]):
        return
    angles = np.radians(np.arange(-180, 181))
    yield from (
        ("motion.angles[]", at, a)
        for at, a in zip(said["motion"]["angles"], np.degrees(angles), strict=True)
    )
    for stroke in ("unlocking", "locking"):
        # up to the release the report has what the key enforces, after it what the detent does too
        free, drawn = follow(rig, stroke, at=angles), follow(rig, stroke, capture=reach, at=angles)
        way = 1 if stroke == "unlocking" else -1
        found = np.where(way * angles < case.tooth.release, free.at(angles), drawn.at(angles))
        jumps = drawn.angles[1:][np.abs(np.diff(drawn.travel)) > 0.02]
        for at, travel, here in zip(angles, said["motion"][stroke]["travel"], found, strict=True):
            if np.abs(jumps - at).min(initial=math.inf) > CLEAR:
                yield f"motion.{stroke}.travel[]", travel, float(here)
        left = abs((case.throw if stroke == "unlocking" else 0.0) - free.rests)
        yield "tooth.rests_off", said["tooth"]["rests_off"], left
    yield "tooth.shut_out", said["tooth"]["shut_out"], shut_out(rig, "unlocking", 8.0)


def _gap(case: Case) -> Found:
    """Take the lock to the earliest pick-up that fits: there the sweep must leave the bolt no room at all."""
    window = case.said["windows"]["tooth.pickup_angle"]
    if window["high_by"] != "the gap, in which the bit has to turn":
        return
    edge = Case(case.lock.with_value("tooth.pickup_angle", window["high"]))
    gap = edge.tooth.flank + edge.tooth.offset
    yield "tooth.gap_needed", edge.said["tooth"]["gap_needed"], gap - narrowest_room(edge.lock)


def _turned_on(case: Case) -> Found:
    """Turn the key on with the bolt on either seat; the sweep knows no end stop and no friction."""
    rig = rig_of(case.layout)
    for seat, stroke, way, start in (
        ("unlocked", "unlocking", 1, case.throw), ("locked", "locking", -1, 0.0),
    ):  # fmt: skip
        stop = case.said["stops"][seat]
        turn = stop["second_turn"]
        if turn is None or turn["touches_at"] is None:
            continue
        told = [
            way * math.radians(turn[key])
            for key in ("touches_at", "stops_at")
            if turn[key] is not None
        ]
        about = [x + np.linspace(-wide, wide, 41) for x in told for wide in (0.02, 5e-4)]
        at = way * np.unique(np.concatenate([[0.0], *about]))
        run = follow(rig, stroke, start=start, at=at)  # type: ignore[arg-type]
        pushed, along = way * (run.travel - start), way * run.angles
        blocked = math.inf if run.blocked is None else way * run.blocked
        key = f"stops.{seat}.second_turn"
        touches = min([*along[pushed > 1e-6][:1], blocked])
        yield f"{key}.touches_at", turn["touches_at"], way * math.degrees(touches)
        # where the bit leans too far to push, or the sweep calls it a stub, there is nothing to compare
        if turn["pushes"] > 0 and blocked > touches + 0.01:
            ends = min([*along[pushed > stop["distance"] + 1e-6][:1], blocked])
            if turn["stops_at"] is not None:
                yield f"{key}.stops_at", turn["stops_at"], way * math.degrees(ends)
            yield f"{key}.pushes", turn["pushes"], min(float(pushed.max()), stop["distance"])


def _end_stops(case: Case) -> Found:
    for seat in SEATS:
        said, (name, away) = case.said["stops"][seat], met(case.lock, seat)
        if said["by"] == name and said["distance"] > 0:
            yield f"stops.{seat}.distance", said["distance"], away
            if said["area"] is not None:
                found = face_met(case.lock, seat, metal(case.lock)[name], away)
                yield f"stops.{seat}.area", said["area"], found


PAGE = "the design's page of the mechanism"
JUDGES = (
    Judge(
        "iteration", "the pick-up offset and the foot iterated until they stand still, the rest by the half chord",
        f"{PAGE}, formulas and table; half chords as in handbooks' segments of circles",
        ("tooth.throw", "tooth.pickup_offset", "tooth.flank_foot", "tooth.lower_edge", "tooth.gap_width",
         "tooth.relief_radius", "tooth.bridge", "tooth.driven_travel", "tooth.home_travel", "tooth.pickup_angle",
         "tooth.release_angle", "statics.drive_arc"), _tooth,
    ),
    Judge(
        "sweep", "both outlines swept over key angle and travel, without any law of motion",
        "`tests/config_space.py`; the engine pymunk agrees",
        ("motion.angles[]", "motion.*.travel[]", "tooth.rests_off", "tooth.shut_out"), _swept,
    ),
    Judge(
        "room",
        "at the earliest pick-up that fits, the room that the sweep leaves the bolt while the bit is in the gap",
        "`tests/config_space.py`",
        ("tooth.gap_needed",), _gap,
    ),
    Judge(
        "turned on", "the key turned on from either seat, in the sweep", "`tests/config_space.py`",
        ("stops.*.second_turn.touches_at", "stops.*.second_turn.pushes", "stops.*.second_turn.stops_at"), _turned_on,
    ),
    Judge(
        "met first", "the bolt slid past each seat until shapely finds an overlap; how that grows from there",
        "shapely; areas drawn without the program",
        ("stops.*.distance", "stops.*.area"), _end_stops,
    ),
)  # fmt: skip
