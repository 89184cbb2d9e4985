"""Where a margin comes to nothing as one value of the lock is moved, everything else as it stands: ends of windows."""

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from core.geometry.halving import edge_by, edge_of
from core.layout.layout import Layout
from core.layout.margins import Margin
from core.layout.windows import Bound, End
from core.lock.lock import spec_of

_FIRST = 0.02
"""The first step as a share of the value, and at the least [mm, degrees or N]."""
_GROWS = 1.5
_HALVINGS = 40
_HUGE = 1e6
"""What stands for a margin that is not to be had, or has no end, when a place is looked for."""
_LEAP = 1e4
"""A margin from which on there is none to speak of, so that a place is looked for by halving."""


def bounds_by(layout: Layout, path: str, margins: Iterable[Margin]) -> Iterator[Bound]:
    """Yield the ends that `margins` set to the window of a path, the nearest to its value on either side."""
    plain, spec = replace(layout.lock, made=()), spec_of(path)
    here = float(plain.value(path))
    known: dict[float, Layout] = {}

    def at(value: float) -> Layout:
        if value not in known:
            known[value] = Layout(plain.with_value(path, value))
        return known[value]

    def spare_of(margin: Margin) -> Callable[[float], float]:
        found: dict[float, float] = {}

        def spare(value: float) -> float:
            if value not in found:
                own = margin.spare(at(value))
                found[value] = -_HUGE if math.isnan(own) else min(max(own, -_HUGE), _HUGE)
            return found[value]

        return spare

    every = [(margin, spare_of(margin)) for margin in margins]
    for way, end in ((1, spec.high), (-1, spec.low)):
        ends = [_crossing(spare, margin, here, way, end) for margin, spare in every]
        fitting = [not margin.stops(spare(here)) for margin, spare in every]
        nearest = min(
            (found for found, fits in zip(ends, fitting, strict=True) if fits and found is not None),
            key=lambda found: abs(found - here), default=None,
        )  # fmt: skip
        for (margin, spare), found, fits in zip(every, ends, fitting, strict=True):
            value = found
            if fits and nearest is not None and margin.stops(spare(nearest)):
                # it stops the lock in a band that a step went over, beside where another does from there on
                value = _between(spare, margin, here, nearest)
            if value is not None:
                side: End = "high" if fits == (way > 0) else "low"
                yield Bound(path, side, value, margin.by, margin.code)
                # beyond where it begins to fit it may cease to
                over = None if fits else _crossing(spare, margin, value, way, end)
                if over is not None:
                    yield Bound(path, "high" if way > 0 else "low", over, margin.by, margin.code)


def _crossing(
    spare: Callable[[float], float], margin: Margin, here: float, way: int, end: float
) -> float | None:
    """Return the nearest value from `here` at which the verdict turns, on the side that fits; None where none does."""
    step, near = max(_FIRST * abs(here), _FIRST), here
    fits = not margin.stops(spare(here))
    while near != end:
        far = near + way * step
        far = end if (far - end) * way > 0 else far
        if margin.stops(spare(far)) == fits:
            return (
                _between(spare, margin, near, far) if fits else _between(spare, margin, far, near)
            )
        if fits and (spare(near) < _LEAP) != (spare(far) < _LEAP):
            asked = _asked(spare, near, far)
            if margin.stops(spare(asked)):
                return _between(spare, margin, near, asked)
        near, step = far, step * _GROWS
    return None


def _asked(spare: Callable[[float], float], near: float, far: float) -> float:
    """Return the last value at which the question arises that does at one of two, where the margin leaps."""
    inside, outside = (near, far) if spare(near) < _LEAP else (far, near)
    return edge_of(lambda value: spare(value) < _LEAP, inside, outside, _HALVINGS)


def _between(
    spare: Callable[[float], float], margin: Margin, inside: float, outside: float
) -> float:
    """Return the last value that fits between one `inside` and one `outside`, with nothing of the slack taken."""
    return edge_by(spare, inside, outside, strict=margin.strict)
