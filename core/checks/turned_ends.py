"""Ends that no formula gives: the first value on the way to an end at which the whole lock, turned, has a new stop.

The parts state the ends of windows by formulas, in a few milliseconds for all of them. What a turn of the key meets on
its way, and whether the bolt jams somewhere, has no formula but for a few dimensions. So the lock is checked whole at
values between, which takes about a second for one dimension: to be done for the one that is asked for.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace

from core.checks.catalogue import FAULT, declared
from core.checks.gathered import findings
from core.errors import BadValueError
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.windows import Bound, End, Window
from core.lock.lock import spec_of
from core.turning.torque import BOLT_JAMS

LOOKS = 8
"""Values that are looked at on the way to an end; a stop that comes and goes again between two is not seen."""
CLOSE = 1e-4
"""How closely [mm or degrees] the place is found, and how far inside an end that is known the last look is."""
FARTHER = 3.0
"""How far to go where an end is open, as a share of the value and 10 mm."""
_FOULS = "key-fouls-"

Codes = frozenset[str]


def turned_ends(
    layout: Layout, path: str, window: Window,
    found_in: Callable[[Layout], tuple[Finding, ...]] = findings,
) -> Iterator[Window | None]:  # fmt: skip
    """Yield None between two pieces of the work, and at last the window with the ends at which a stop comes first.

    Everything but the dimension at `path` stays as it stands; what stops the lock already counts for nothing. Values
    are in mm, or degrees of an angle. `found_in` returns the findings on a layout.
    """
    lock, now = layout.plan, float(layout.plan.value(path))
    least, most = _way(path, window, now)
    begin = min(max(now, least), most)

    def stops(value: float) -> Codes | None:
        """Return what stops the lock with another value; None where that cannot be."""
        try:
            there = Layout(lock.with_value(path, value))
        except BadValueError:
            return None
        found = (one.code for one in found_in(there) if one.level == "stop")
        return frozenset(found) - {FAULT.name}

    before = None if window.conflict or least > most else stops(begin)
    if before is None:
        yield window
        return
    sides: tuple[tuple[End, float], ...] = (("low", least), ("high", most))
    for end, last in sides:
        inside, new = begin, Codes()
        for k in range(1, LOOKS + 1):
            yield None
            # worked out, the last place may come to lie a hair outside of what may stand
            outside = last if k == LOOKS else begin + (last - begin) * k / LOOKS
            found = stops(outside)
            if found is None:
                break
            new = found - before
            if new:
                break
            inside = outside
        while new and abs(outside - inside) > CLOSE:
            yield None
            middle = (inside + outside) / 2
            found = (stops(middle) or Codes()) - before
            inside, outside, new = (inside, middle, found) if found else (middle, outside, new)
        if new:
            bound = _bound(path, end, inside, new)
            window = replace(window, low=bound) if end == "low" else replace(window, high=bound)
    yield window


def _way(path: str, window: Window, now: float) -> tuple[float, float]:
    """Return the least and the most that is looked at."""
    spec, far = spec_of(path), FARTHER * (abs(now) + 10.0)
    low = max(spec.low, now - far) if window.low is None else window.low.value + CLOSE
    high = min(spec.high, now + far) if window.high is None else window.high.value - CLOSE
    return low, high


def _bound(path: str, end: End, value: float, new: Codes) -> Bound:
    """Return the end at a value, beyond which a lock has new stops; of several the first by name is told."""
    code = declared(min(new))
    if code.name.startswith(_FOULS):
        thing = code.name.removeprefix(_FOULS).replace("-", " ")
        by = f"the key, which on its way round would foul the {thing}"
    elif code.name == BOLT_JAMS.name:
        by = "friction, by which the bolt jams from there on"
    else:
        by = f"a stop from there on ({code.step})"
    return Bound(path, end, value, by, code)
