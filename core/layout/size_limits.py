"""Limits: one size held against another, from which come finding, ends of windows and remedies alike."""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from core.errors import BadValueError
from core.layout.codes import Code
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.remedies import Remedy, any_of, as_told
from core.layout.windows import Bound, End
from core.mechanism.tooth_numbers import SLACK


@dataclass(frozen=True)
class Way:
    """One dimension by which a limit is kept: its `end` at a `value` [mm], and how that is said, {} for the length."""

    path: str
    end: End
    value: float
    words: str


@dataclass(frozen=True)
class Limit:
    """What stops a lock that has less than nothing to `spare`: by a `code`, and `by` in words beside a window's end.

    `spare` is in mm or mm2, infinite where the question does not arise. `said` gives the sentence with the number
    found and the one it is held against, `ways` what to set, each enough by itself.
    """

    code: Code
    by: str
    spare: Callable[[Layout], float]
    said: Callable[[Layout], tuple[str, float, float]]
    ways: Callable[[Layout], Iterable[Way]]

    def stops(self, layout: Layout) -> bool:
        """Say whether a lock is past the limit."""
        return self.spare(layout) < -SLACK

    def findings(self, layout: Layout) -> Iterable[Finding]:
        """Yield what is found of a lock that is past the limit."""
        if self.stops(layout):
            text, value, limit = self.said(layout)
            remedies = tuple(self._remedies(layout))
            mended = any_of(remedies)
            more = f" {mended[0].upper()}{mended[1:]}." if mended else ""
            yield self.code.found(f"{text}{more}", value, limit, remedies)

    def bounds(self, layout: Layout) -> Iterable[Bound]:
        """Yield the ends that it sets to windows."""
        if math.isfinite(self.spare(layout)):
            for way in self.ways(layout):
                yield Bound(way.path, way.end, way.value, self.by, self.code)

    def _remedies(self, layout: Layout) -> Iterable[Remedy]:
        """Yield the ways that can be gone, each tried."""
        for way in self.ways(layout):
            value = as_told(way.value, 1 if way.end == "low" else -1, layout.lock.units)
            more = "or more" if way.end == "low" else "or less"
            told = f"{way.words.format(layout.show(value))} {more}"
            remedy = Remedy(told, ((way.path, value),))
            try:
                there = Layout(remedy.applied(layout.lock))
            except BadValueError:  # no lock can have such a size
                continue
            if not self.stops(there):
                yield remedy
