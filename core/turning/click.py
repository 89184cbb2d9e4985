"""What the hand feels of a detent: the click as the tip leaves its notch, the drive over the land, the snap home.

All at the high end of the lock's own friction. Angles [rad] are the key's, positive the way this lock unlocks.

Keys of the report
------------------
`felt`: for each stroke of a lock with notches, empty for another: the most torque over the `click` out of the notch and
in the `drive` after it, `torque` [N mm] and `at` [degrees], null where it jams, and the angle from which on the bolt
`snaps` home [degrees], null where it does not.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from core.layout.layout import Layout, derived
from core.layout.part import BenchTable, Check
from core.mechanism.law import STROKES, Stroke, side
from core.mechanism.maths import Array, distinct
from core.parts.notches import detent
from core.parts.tooth import course, tooth, tooth_seen
from core.turning.binding import Worst
from core.turning.driven import angle_at
from core.turning.effort import drive
from core.turning.friction_table import case_of, friction_cases
from core.turning.hands import hands
from core.whole import assembly

_STEPS = 400
"""Places between two corners of a stroke at which the torque is worked out: the click is over in a degree or two."""


@dataclass(frozen=True)
class Felt:
    """One stroke as the hand feels it, of a lock with notches.

    The most torque [N mm] over the `click` and in the `drive` after it, None where the bolt jams or there is none; and
    the key angle at which the bolt leaves the key and `snaps` home, None for one that is not drawn home.
    """

    click: Worst | None
    drive: Worst | None
    snaps: float | None


@derived
def felt(layout: Layout) -> dict[Stroke, Felt]:
    """Return both strokes as the hand feels them; nothing without notches, or where the key drives nothing."""
    held, cut = detent(layout), tooth(layout)
    if held is None or not cut.drives:
        return {}
    return {
        stroke: _felt(layout, stroke) for stroke in STROKES if tooth_seen(layout, stroke).drives
    }


def click_corners(layout: Layout, stroke: Stroke) -> Array:
    """Return the angles [rad] of a stroke, seen as unlocking, shape (k,), between which the click is drawn, if any."""
    if stroke not in felt(layout):
        return np.zeros(0)
    stages = _stages(layout, stroke)
    return np.concatenate([stage[:: _STEPS // 20] for stage in stages if len(stage)])


def _stages(layout: Layout, stroke: Stroke) -> tuple[Array, Array]:
    """Return the angles of a stroke, seen as unlocking, over the click and over the drive, from first to last."""
    held, way, cut = detent(layout), course(layout).seen(stroke), tooth_seen(layout, stroke)
    if held is None:
        raise AssertionError("without notches there is no click")
    begin, end = -cut.pickup_angle, min(cut.release_angle, way.caught_angle)
    out = angle_at(cut, held.notch.half_width, begin, end)
    # from the release on nothing is driven, and on a corner the tip may be on either side of it
    end = float(np.nextafter(end, -np.inf))
    over = min(out, end)
    # most is needed where floor or ramp ends, which steps would miss by a little
    corners = [angle_at(cut, off, begin, over) for off in (held.notch.play, held.notch.slope_end)]
    click = distinct(np.concatenate([np.linspace(begin, over, _STEPS + 1), corners]))
    return click, np.linspace(out, end, _STEPS + 1) if out < end else np.zeros(0)


def _felt(layout: Layout, stroke: Stroke) -> Felt:
    click, driven = _stages(layout, stroke)
    caught, cut = course(layout).seen(stroke).caught_angle, tooth_seen(layout, stroke)
    leaves = min(float(caught), cut.release_angle) if math.isfinite(caught) else None
    return Felt(
        _most(layout, stroke, click),
        _most(layout, stroke, driven),
        None if leaves is None else side(stroke) * leaves,
    )


def _most(layout: Layout, stroke: Stroke, angles: Array) -> Worst | None:
    if not len(angles):
        return None
    turned = side(stroke) * angles
    row = case_of(layout.lock.friction.condition, "high")
    mu = friction_cases(layout)[row : row + 1]
    torque = drive(layout, turned, stroke).balance(mu, assembly.loads(layout)).torque[0]
    if np.isnan(torque).any():
        return None
    top = int(torque.argmax())
    return Worst(float(torque[top]), stroke, float(turned[top]))


def _report(layout: Layout) -> Mapping[str, Any]:
    return {"felt": {stroke: _as_data(one) for stroke, one in felt(layout).items()}}


def _as_data(found: Felt) -> dict[str, Any]:
    def most(worst: Worst | None) -> dict[str, float] | None:
        return None if worst is None else {"torque": worst.value, "at": math.degrees(worst.at)}

    snaps = None if found.snaps is None else math.degrees(found.snaps)
    return {"click": most(found.click), "drive": most(found.drive), "snaps": snaps}


def _bench(layout: Layout) -> Iterable[BenchTable]:
    rows = []
    for stroke, one in felt(layout).items():
        rows += [
            (f"{stroke}, the click takes", _told(layout, one.click)),
            (f"{stroke}, the drive after it", _told(layout, one.drive)),
            (
                f"{stroke}, snaps home",
                "no" if one.snaps is None else f"at {math.degrees(one.snaps):.1f}°",
            ),
        ]
    if rows:
        rows.append(("easy for a hand, as published", layout.show_torque(hands().easy)))
        yield BenchTable("What the hand feels of the detent", 42, tuple(rows))


def _told(layout: Layout, worst: Worst | None) -> str:
    return (
        "none, or the bolt jams"
        if worst is None
        else f"{layout.show_torque(worst.value)} at {math.degrees(worst.at):.1f}°"
    )


CHECK = Check("felt", 96, report=_report, bench=_bench)
