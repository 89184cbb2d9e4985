"""What a proposal begins with: a lock, which of its values stay, what its maker will make, and which sizes are tried.

The sizes are tried from ample to tight, and the nose as far into the shackle as it goes, then less far.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from core.lock.lock import Lock
from core.mechanism.maths import Array
from core.units import INCH

SIZES = (
    # common practice, no source; the lobe in thicknesses of the bolt
    {"leg": 6.0, "lobe": 2.0, "width": 4.0, "floor": 2.0, "gap": 1.5, "spring": 8.0},
    {"leg": 5.0, "lobe": 1.5, "width": 4.0, "floor": 2.0, "gap": 1.5, "spring": 8.0},
    {"leg": 4.0, "lobe": 1.0, "width": 3.0, "floor": 1.5, "gap": 1.0, "spring": 6.0},
)
"""Sizes [mm] that are tried, ample ones first: the bolt's legs, lobes, guides, the nose's gap, the spring's room."""
THROUGH = 1.0
"""How far [mm] a nose looks out of the eye that it goes through; common practice, no source."""
IN_EYE = (1.0, 0.875, 0.75, 0.625, 0.5)
"""Shares of the end's thickness that the nose reaches into an eye, after right through; common practice, no source."""
IN_NOTCH = (0.4, 0.35, 0.3, 0.25, 0.2)
"""Shares of it that it reaches into a notch, of which more wants a look; common practice, no source."""
PROPOSED = (
    "pivot.below", "bolt_line.height", "bolt_line.spring_room", "key.radius", "bolt.depth", "bolt.nose_height",
    "bolt.tail_height", "bolt.lobe_width", "shackle.drop", "shackle.engagement", "shackle.gap",
    "front_guide.from_centreline", "front_guide.width", "front_guide.floor", "rear_guide.from_centreline",
    "rear_guide.width", "rear_guide.floor",
)  # fmt: skip
"""The paths that a proposal settles, where they are not kept, in the order of the layout."""
AT_HAND = ("plate.thickness", "bolt.thickness", "shackle.diameter")
"""What a maker has rather than chooses; a proposal takes it from stock only where nobody has said what there is."""
FITTED = ("key.shank", "pivot.hole")
"""What a proposal takes from stock, a bar and the drill for it, where they are not kept."""
SETTLED = (*PROPOSED, *FITTED)
"""The paths that a proposal settles in a lock that there is, where they are not kept."""
FILED = (
    "bolt.nose_height", "bolt.tail_height", "bolt.lobe_width", "front_guide.width", "front_guide.floor",
    "rear_guide.width", "rear_guide.floor",
)  # fmt: skip
"""Of these the sizes that are filed, no thinner than the lock's maker files."""
Range = tuple[float, float]


@dataclass(frozen=True)
class Given:
    """A `lock`, of which the paths in `kept` stay as they are; `ranges` [mm] by path are what its maker will make."""

    lock: Lock
    kept: frozenset[str] = frozenset()
    ranges: Mapping[str, Range] = field(default_factory=dict)

    @property
    def steps(self) -> tuple[float, ...]:
        """What a size may be a whole number of [mm], the roundest first."""
        inch = float(INCH)
        return (
            (inch / 16, inch / 32, inch / 64) if self.lock.units == "in" else (1.0, 0.5, 0.1, 0.05)
        )

    def clipped(self, path: str, values: Array) -> Array:
        """Return values [mm] at a path, shape (n,), as near as the maker's own limits let them; kept ones as kept."""
        if path in self.kept:
            return np.full_like(values, float(self.lock.value(path)))
        low, high = self.ranges.get(path, (-np.inf, np.inf))
        if path in FILED:
            low = max(low, self.lock.fit.metal_min)
        if path == "key.radius" and self.lock.fit.key_max > 0:
            high = min(high, self.lock.fit.key_max)
        return np.clip(values, low, high)

    @cached_property
    def sizes(self) -> Mapping[str, Array]:
        """The sizes that are tried, by path, shape (n,): ample ones first, and of each the longest engagement first."""
        rows = list(self._sizes())
        found = {path: np.array([row[path] for row in rows]) for path in rows[0]}
        fit = {path: self.clipped(path, values) for path, values in found.items()}
        # what is kept or limited makes many of them alike
        every = np.stack(list(fit.values()))
        _, first = np.unique(every, axis=1, return_index=True)
        return {path: values[np.sort(first)] for path, values in fit.items()}

    def _sizes(self) -> Iterator[dict[str, float]]:
        lock, wide = self.lock, self.lock.shackle.diameter
        shares = IN_EYE if lock.shackle.catch == "eye" else IN_NOTCH
        reaches = [share * wide for share in shares]
        if lock.shackle.catch == "eye":
            reaches = [wide + THROUGH, *reaches]
        for size in SIZES:
            for reach in reaches:
                leg, lobe = size["leg"], size["lobe"] * lock.bolt.thickness
                yield {
                    "bolt.nose_height": self._round(leg), "bolt.tail_height": self._round(leg),
                    "bolt.lobe_width": self._round(lobe), "front_guide.width": self._round(size["width"]),
                    "rear_guide.width": self._round(size["width"]), "front_guide.floor": self._round(size["floor"]),
                    "rear_guide.floor": self._round(size["floor"]), "shackle.gap": self._round(size["gap"]),
                    "bolt_line.spring_room": self._round(size["spring"]), "shackle.engagement": self._down(reach),
                }  # fmt: skip

    def _round(self, value: float) -> float:
        step = self.steps[1]
        return round(max(round(value / step), 1) * step, 9)

    def _down(self, value: float) -> float:
        step = self.steps[1] if value > 2 * self.steps[1] else self.steps[2]
        return round(max(int(value / step + 1e-9), 1) * step, 9)
