"""A layout: one lock and everything that follows from it, each worked out once, when asked for.

What follows from a lock is a plain function of the layout, marked `derived`: the first call works it
out, later calls return the same object. A new part adds its functions in its own module and
nothing here changes. A layout belongs to one lock value; a changed lock gets a new layout.
"""

from collections.abc import Callable, Mapping
from functools import wraps
from types import MappingProxyType
from typing import Any, TypeVar

from core.lock.facts import as_made
from core.lock.lock import Lock
from core.systems import show_area, show_force, show_torque
from core.units import show_length

T = TypeVar("T")


class Layout:
    """One lock with the store of what has been worked out for it.

    `plan` is the lock as its file has it. Everything is worked out for `lock`, which is the plan with what
    was measured on parts that are made: the same lock where nothing was measured. `bolt_as` is the lock that the
    bolt was made to, where that is another one and the bolt is to be taken as it lies on the bench; None where it is
    cut to `lock`. `metal` are the keys of the workpieces that are taken as they lie there, for which touching nothing
    is enough; none in a lock as it is wanted, which keeps its clearances (see `core.whole.as_built`). `slots_as` are
    the locks that made guides and shackle were made to, by their key, where these have slots for other legs than
    `lock` has.
    """

    def __init__(
        self,
        lock: Lock,
        bolt_as: Lock | None = None,
        metal: frozenset[str] = frozenset(),
        slots_as: Mapping[str, Lock] = MappingProxyType({}),
    ) -> None:
        """Start with nothing worked out."""
        self.plan = lock
        self.metal = metal
        self.slots_as = slots_as
        self.lock = as_made(lock)
        self.bolt_as = bolt_as
        self._known: dict[Callable[..., Any], Any] = {}

    def show(self, length: float) -> str:
        """Write a `length` [mm] in the lock's own units, for a text that a person reads."""
        return show_length(length, self.lock.units)

    def show_force(self, force: float) -> str:
        """Write a `force` [N] in the lock's own units."""
        return show_force(force, self.lock.units)

    def show_area(self, area: float, places: int = 2) -> str:
        """Write an `area` [mm2] in the lock's own units, to `places` decimals of a mm2."""
        return show_area(area, self.lock.units, places)

    def show_torque(self, torque: float) -> str:
        """Write a `torque` [N mm] in the lock's own units."""
        return show_torque(torque, self.lock.units)


def derived(compute: Callable[[Layout], T]) -> Callable[[Layout], T]:
    """Mark a function of a layout whose result is kept with the layout."""

    @wraps(compute)
    def look_up(layout: Layout) -> T:
        known = layout._known
        if compute not in known:
            known[compute] = compute(layout)
        result: T = known[compute]
        return result

    return look_up
