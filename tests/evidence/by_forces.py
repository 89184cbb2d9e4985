"""Torque, push and reactions from every force written out anew, and the edge of jamming by linear programs."""

import math
import tomllib
from dataclasses import dataclass
from functools import cache
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.lock.lock import Lock
from core.mechanism.law import STROKES, Stroke
from core.turning.effort import FAINT
from tests.designs import Numbers
from tests.evidence.cases import Case, Found, Judge
from tests.test_jamming import by_programs

Floats = NDArray[np.float64]
FINE = math.radians(0.02)


@dataclass(frozen=True)
class Forces:
    """At each angle, shape (n,): the key's push and the guides' reactions [N], and the torque [N mm]; NaN: jammed."""

    push: Floats
    front: Floats
    rear: Floats
    torque: Floats
    cocking: Floats


def forces(lock: Lock, n: Numbers, stroke: Stroke, angles: Floats, mu: float) -> Forces:
    """Solve three equations for each choice of the guides' sides; the one that holds together is the balance."""
    way = 1 if stroke == "unlocking" else -1
    angles = np.asarray(angles)
    turn, half, r = way * angles, lock.key.bit_thickness / 2, lock.key.radius
    driven = (turn >= -math.radians(lock.tooth.pickup_angle)) & (turn < n.release)
    phi, foot = turn + math.asin(half / r), turn < 0
    with np.errstate(all="ignore"):
        gone = (
            np.where(foot, n.foot * np.tan(turn) + half / np.cos(turn), r * np.sin(phi)) - n.offset
        )
    throw = lock.shackle.engagement + lock.shackle.gap
    gone = np.where(driven, gone, np.where(turn < 0, 0.0, throw))
    s = gone if way > 0 else throw - gone
    x, y = n.offset + gone, np.where(foot, n.foot, r * np.cos(phi))
    nx, ny = np.where(foot, np.cos(turn), 1.0), np.where(foot, -np.sin(turn), 0.0)
    out = np.sign(n.foot * np.sin(turn) + half)
    fx = nx + mu * np.where(foot, -out * np.sin(turn), 0.0)
    fy = ny + mu * np.where(foot, -out * np.cos(turn), -1.0)
    line, hand, spring = (
        lock.bolt_line.height,
        1 if lock.unlocks == "right" else -1,
        lock.spring.force,
    )
    tip = lock.shackle.diameter / 2 - abs(lock.shackle.across) - lock.shackle.engagement + s
    front, rear, nose, tail = (
        lock.front_guide,
        lock.rear_guide,
        lock.bolt.nose_height,
        lock.bolt.tail_height,
    )
    at_front = np.maximum(-(front.from_centreline + front.width / 2), tip)
    at_rear = rear.from_centreline + rear.width / 2
    middle, drag = line - (nose + tail) / 4, lock.friction.drag + FAINT
    at_spring = hand * lock.spring.tip_across
    zero, one = np.zeros(len(angles)), np.ones(len(angles))
    # columns: what one newton of push, of front and of rear reaction adds to force along, force up, and moment
    push = np.stack([way * fx, fy, way * x * fy - y * way * fx])
    given = np.stack([
        -way * (mu * spring + drag) * one, -spring * one,
        (-at_spring * spring + line * way * mu * spring + middle * way * drag) * one,
    ])  # fmt: skip
    found = np.full((3, len(angles)), np.nan)
    for a, b in product((1, -1), repeat=2):
        columns = [push]
        for side, at, height in (
            (a, at_front, line - nose / 2),
            (b, at_rear * one, line - tail / 2),
        ):
            columns.append(np.stack([-way * mu * side * one, one, at + height * way * mu * side]))
        matrix = np.stack(columns, axis=-1).transpose(1, 0, 2).copy()
        matrix[~driven] = np.eye(3)
        solved = np.linalg.solve(matrix, -given.T[:, :, None])[:, :, 0].T
        good = (solved[0] >= 0) & (a * solved[1] >= 0) & (b * solved[2] >= 0)
        found = np.where(good & np.isnan(found[0]), solved, found)
    # at rest there is nothing but the spring on two supports
    at_rest = spring * (at_spring - at_front) / (at_rear - at_front)
    found = np.where(driven, found, np.stack([zero, spring - at_rest, at_rest]))
    torque = found[0] * (y * fx - x * fy)
    span, deep = at_rear - at_front, (line - (nose + tail) / 4) - y
    with np.errstate(all="ignore"):
        cocking = np.where(driven, span / (2 * mu * deep), np.nan)
    return Forces(found[0], found[1], found[2], np.where(driven, torque, 0.0), cocking)


@cache
def friction() -> dict[tuple[str, str], tuple[float, float]]:
    """Return the shipped ranges of friction, read by the standard library alone."""
    table: dict[str, Any] = tomllib.loads(
        (Path(__file__).parents[2] / "shared" / "friction.toml").read_text("utf-8")
    )
    return {
        (row["metals"], row["condition"]): (row["low"], row["high"])
        for rows in table.values() if isinstance(rows, list) for row in rows
    }  # fmt: skip


CONDITIONS = ("greased", "clean", "dry")


def _ends(case: Case, condition: str) -> dict[str, float]:
    low, high = friction()[case.lock.friction.metals, condition]
    return {"low": low, "high": high}


def drive(case: Case, stroke: Stroke) -> Floats:
    """Return fine angles [rad] over the drive, its ends included."""
    begin, end = -math.radians(case.lock.tooth.pickup_angle), case.tooth.release - 1e-9
    way = 1 if stroke == "unlocking" else -1
    angles = np.concatenate([np.arange(begin, end, FINE), [-1e-12, 0.0, end]])
    return way * np.unique(angles[angles >= begin])


def _turned(case: Case) -> Found:
    """The arrays of `motion` at every degree, put beside the balance solved anew."""
    angles = np.radians(np.arange(-180, 181))
    own = case.lock.friction.condition
    for stroke in STROKES:
        said = case.said["motion"][stroke]
        for condition in CONDITIONS:
            for end, mu in _ends(case, condition).items():
                takes = forces(case.lock, case.tooth, stroke, angles, mu)
                pairs = [("torque[]", said["torque"][condition][end], takes.torque)]
                if condition == own:
                    pairs += [
                        ("flank_force[]", said["flank_force"][end], takes.push),
                        ("front_reaction[]", said["front_reaction"][end], takes.front),
                        ("rear_reaction[]", said["rear_reaction"][end], takes.rear),
                    ]
                for key, values, found in pairs:
                    for value, here in zip(values, found, strict=True):
                        if value is not None or not math.isnan(here):
                            yield (
                                f"motion.{stroke}.{key}",
                                math.nan if value is None else value,
                                float(here),
                            )


def _statics(case: Case) -> Found:
    said, lock = case.said["statics"], case.lock
    own = _ends(case, lock.friction.condition)
    yield "statics.spring_force", said["spring_force"], lock.spring.force
    yield "statics.drag", said["drag"], lock.friction.drag
    yield "statics.friction", said["friction"], own["high"]
    for condition in CONDITIONS:
        for end, mu in _ends(case, condition).items():
            key, there = "statics.conditions", said["conditions"][condition]
            yield f"{key}.{condition}.friction.{end}", there["friction"][end], mu
            peak = max(float(np.max(_over(case, stroke, mu).torque)) for stroke in STROKES)
            if there["peak_torque"][end] is not None or not math.isnan(peak):
                yield (
                    f"{key}.{condition}.peak_torque.{end}",
                    _number(there["peak_torque"][end]),
                    peak,
                )
    if said["peak_torque"] is not None:
        takes = {stroke: _over(case, stroke, own["high"]) for stroke in STROKES}
        yield (
            "statics.peak_torque",
            said["peak_torque"],
            max(float(t.torque.max()) for t in takes.values()),
        )
        at = np.radians([said["peak_torque_at"] + off for off in (-1e-7, 0.0, 1e-7)])
        there = forces(lock, case.tooth, said["peak_torque_stroke"], at, own["high"])
        yield "statics.peak_torque_at", said["peak_torque"], float(there.torque.max())
        yield (
            "statics.cocking_ratio",
            said["cocking_ratio"],
            min(float(np.nanmin(t.cocking)) for t in takes.values()),
        )
    if said["jam_friction"] is not None:
        yield "statics.jamming_margin", said["jamming_margin"], said["jam_friction"] / own["high"]
    yield from _leaving(case, own["high"])


def _number(value: float | None) -> float:
    return math.nan if value is None else value


@cache
def _over(case: Case, stroke: Stroke, mu: float) -> Forces:
    return forces(case.lock, case.tooth, stroke, drive(case, stroke), mu)


def _leaving(case: Case, mu: float) -> Found:
    """The corner on the key's circle where the detent takes over: what is left of the flank, and the push on it."""
    lock, n, said = case.lock, case.tooth, case.said["statics"]
    reached = n.offset + case.throw - lock.fit.detent_capture
    if reached < lock.key.bit_thickness / 2 or n.driven < case.throw - lock.fit.detent_capture:
        return
    left = math.sqrt(lock.key.radius**2 - reached**2) - n.foot
    yield "statics.flank_left", said["flank_left"], left
    angle = math.asin(reached / lock.key.radius) - math.asin(
        lock.key.bit_thickness / 2 / lock.key.radius
    )
    push = float(forces(lock, n, "unlocking", np.array([angle]), mu).push[0])
    if said["flank_pressure"] is not None:
        yield "statics.flank_pressure", said["flank_pressure"], push / (left * lock.bolt.thickness)


def _jam(case: Case) -> Found:
    """Where some pose of the drive holds any push, by halving on linear programs at the poses that jam first."""
    said = case.said["statics"]["jam_friction"]
    if said is None:
        return
    poses = [(stroke, angle) for stroke in STROKES for angle in drive(case, stroke)]
    jammed = [
        pose for stroke in STROKES
        for pose, torque in zip(
            [p for p in poses if p[0] == stroke],
            forces(case.lock, case.tooth, stroke, drive(case, stroke), said + 2e-4).torque, strict=True,
        ) if math.isnan(torque)
    ]  # fmt: skip
    edges = []
    for stroke, angle in jammed[:: max(len(jammed) // 2, 1)] or poses[:1]:
        low, high = 0.02, 2.0
        while high - low > 1e-5:
            mu = (low + high) / 2
            low, high = (
                (low, mu) if math.isinf(by_programs(case.layout, stroke, angle, mu)) else (mu, high)
            )
        edges.append(high)
    yield "statics.jam_friction", said, min(edges)


JUDGES = (
    Judge(
        "balance", "every force written out anew and three equations solved for each choice of the guides' sides",
        "Coulomb's friction and a rigid body's balance; peaks over 0.02 degrees",
        ("motion.*.torque.*", "motion.*.flank_force.*", "motion.*.front_reaction.*", "motion.*.rear_reaction.*"),
        _turned,
    ),
    Judge(
        "peaks", "the same balance over the whole drive; friction read from the shipped table by tomllib",
        "half chords; cocking as plain-bearing makers' two-to-one rule; see Values printed for friction",
        ("statics.conditions.*", "statics.peak_torque", "statics.peak_torque_at", "statics.cocking_ratio",
         "statics.flank_left", "statics.flank_pressure", "statics.spring_force", "statics.drag", "statics.friction",
         "statics.jamming_margin"), _statics,
    ),
    Judge(
        "programs", "the greatest push that friction holds, by linear programs (HiGHS), at poses that jam first",
        "`tests/test_jamming.py`", ("statics.jam_friction",), _jam,
    ),
)  # fmt: skip
