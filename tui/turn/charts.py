"""The charts of the turn view: travel and torque against the key angle."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from core.layout.layout import Layout, derived
from core.mechanism.maths import Array
from core.parts.tooth import course, tooth
from core.systems import torque_scale
from core.turning.binding import binding
from core.turning.click import felt
from core.turning.follow import charts
from core.units import INCH
from tui.plot.chart import Curve, Sign, round_up
from tui.turn.state import Turn

_BESIDE = 20.0
"""How far the charts reach beyond pick-up and release [degrees], at the least."""
_WHOLE = 30.0
"""The charts end at a multiple of this [degrees] on both sides."""
_STEEP = 1.5
"""Where the bolt jams the torque grows without bound: so many times its usual highest is shown."""


@dataclass(frozen=True)
class Plan:
    """What one chart shows: its title, the ranges of its axes with their numbers, curves and signs.

    x is the key angle [degrees].
    """

    title: str
    xs: tuple[float, float]
    ys: tuple[float, float]
    y_numbers: tuple[str, str]
    curves: tuple[Curve, ...]
    signs: tuple[Sign, ...]


@derived
def reach(layout: Layout) -> float:
    """Return how far the charts reach to either side of top dead centre [degrees]."""
    corners = course(layout).corners
    if not len(corners):
        return 180.0
    far = math.degrees(float(abs(corners).max())) + _BESIDE
    return min(math.ceil(far / _WHOLE) * _WHOLE, 180.0)


def travel_plan(turn: Turn) -> Plan:
    """Return the chart of the bolt's travel, in the lock's units."""
    layout = turn.layout
    seen = charts(layout)[turn.stroke].seen
    unit = 1.0 if layout.lock.units == "mm" else float(INCH)
    throw = tooth(layout).throw / unit
    curve = Curve(np.degrees(seen.angles), seen.travel / unit, "bolt-wanted")
    top = f"{throw:.4g}" if layout.lock.units == "mm" else f"{throw:.3f}"
    return Plan(
        f"travel, {layout.lock.units}",
        _xs(layout), (0.0, max(throw, 1e-6)), ("0", top), (curve,), _signs(turn),
    )  # fmt: skip


def torque_plan(turn: Turn) -> Plan:
    """Return the chart of the torque on the key, from the low to the high end of the friction."""
    layout, kept = turn.layout, turn.kept
    highest = [
        _usual_highest(chart.takes.ends("torque", kept)) for chart in charts(layout).values()
    ]
    unit, name = torque_scale(layout.lock.units)
    top = round_up(max(*highest, *_most_felt(layout, kept)) / unit)
    takes = charts(layout)[turn.stroke].takes
    curves = tuple(
        Curve(np.degrees(takes.angles), _within(torque / unit, top), "key-wanted")
        for torque in takes.ends("torque", kept)
    )
    signs = (*_felt_signs(turn), *_signs(turn))
    return Plan(
        f"torque, {name}, kept {kept}", _xs(layout), (0.0, top), ("0", f"{top:.3g}"), curves, signs
    )  # fmt: skip


def _most_felt(layout: Layout, kept: str) -> list[float]:
    """Return the most torque [N mm] that a click takes, which may be between two whole degrees; nothing at a jam."""
    if not felt(layout):
        return []
    peak = binding(layout).conditions[kept].peak_high
    return [] if peak is None else [peak.value]


def _felt_signs(turn: Turn) -> Iterator[Sign]:
    """Give what a hand feels of the detent: where it clicks out of its notch, and where it snaps home."""
    found = felt(turn.layout).get(turn.stroke)
    if found is None:
        return
    if found.click is not None:
        yield Sign(math.degrees(found.click.at), "click", "measure-wanted")
    if found.snaps is not None:
        yield Sign(math.degrees(found.snaps), "snap", "measure-wanted")


def _within(values: Array, top: float) -> Array:
    """Return the values with a gap where they leave the chart, as near a jam they do."""
    return np.where(values > top, np.nan, values)


def _usual_highest(ends: tuple[Array, Array]) -> float:
    """Return the torque [N mm] up to which a chart goes."""
    every = np.concatenate(ends)
    finite = every[np.isfinite(every)]
    if not len(finite) or finite.max() <= 0:
        return 0.0
    if len(finite) == len(every):
        return float(finite.max())
    return float(np.percentile(finite[finite > 0], 80)) * _STEEP


def _xs(layout: Layout) -> tuple[float, float]:
    return (-reach(layout), reach(layout))


def _signs(turn: Turn) -> tuple[Sign, ...]:
    return tuple(
        Sign(math.degrees(t.angle), f"x {'fouls' if t.kind == 'foul' else 'jams'}", "foul")
        for t in turn.troubles
        if t.stroke == turn.stroke
    )
