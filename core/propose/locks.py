"""Many locks at a time: one lock, with arrays in the place of some of its values."""

from collections.abc import Mapping
from functools import cached_property

import numpy as np

from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.lobe import Lobe
from core.mechanism.maths import Array
from core.mechanism.tooth_numbers import Teeth, tooth_from
from core.parts.notches import reach
from core.propose.walls import Walls

Values = Mapping[str, Array]
"""Lengths [mm] and angles [degrees] by path, of any shapes that broadcast."""


class Locks:
    """`lock` with `values` in the place of its own; each thing asked of them is worked out once, of shape (n,)."""

    def __init__(self, lock: Lock, values: Values) -> None:
        """Lay the values out in one row."""
        self.lock = lock
        rows = np.broadcast_arrays(*(np.asarray(v, dtype=np.float64) for v in values.values()))
        self.shape = rows[0].shape if rows else (1,)
        self._values = {path: row.reshape(-1) for path, row in zip(values, rows, strict=True)}
        self.count = rows[0].size if rows else 1

    def at(self, path: str) -> Array:
        """Return the values at a path [mm or degrees], shape (n,)."""
        found = self._values.get(path)
        return np.full(self.count, float(self.lock.value(path))) if found is None else found

    def one(self, number: int) -> Lock:
        """Return one of the locks by its number."""
        lock = self.lock
        for path, row in self._values.items():
            lock = lock.with_value(path, float(row[number]))
        return lock

    @cached_property
    def capture(self) -> Array:
        """How far [mm] the detent draws each bolt home, shape (n,)."""
        values = self.lock.detent
        if values.kind == "stop and spring":
            return self.at("shackle.gap")
        if values.kind == "none" or (values.kind == "notches" and values.reach == "worked out"):
            return np.full(self.count, reach(Layout(self.lock)))
        return self.at("fit.detent_capture")

    @cached_property
    def throw(self) -> Array:
        """The way [mm] from seat to seat, shape (n,)."""
        return self.at("shackle.engagement") + self.at("shackle.gap")

    @cached_property
    def teeth(self) -> Teeth:
        """Their teeth."""
        return tooth_from(
            radius=self.at("key.radius"),
            bit=self.at("key.bit_thickness"),
            clearance=self.at("fit.key_clearance"),
            throw=self.throw,
            pickup_angle=np.radians(self.at("tooth.pickup_angle")),
            bolt_line=self.at("bolt_line.height"),
            depth=self.at("bolt.depth"),
        )

    @cached_property
    def lobes(self) -> Lobe[Array]:
        """The lobe beside a flank of each; both are alike."""
        return Lobe(self.teeth, self.at("bolt.lobe_width"), self.at("bolt.lobe_chamfer"))

    @cached_property
    def relief(self) -> Array:
        """The key's circle with its clearance [mm], shape (n,)."""
        return self.at("key.radius") + self.at("fit.key_clearance")

    @cached_property
    def face(self) -> Array:
        """The shackle's near face [mm] from the centreline, on the locking side, shape (n,)."""
        side = -1.0 if self.lock.unlocks == "right" else 1.0
        return side * self.at("shackle.across") - self.at("shackle.diameter") / 2

    @cached_property
    def body(self) -> tuple[Array, Array]:
        """The sides of the bolt's body [mm] at the locked seat, left and right, shape (n,) each."""
        cut, wide = self.teeth, self.at("bolt.lobe_width")
        return -cut.flank - wide, cut.pickup_offset + wide

    @cached_property
    def legs(self) -> tuple[Array, Array]:
        """The tip of the nose and the end of the tail [mm] at the locked seat, shape (n,) each."""
        left, right = self.body
        tail = self.at("rear_guide.from_centreline") + self.at("rear_guide.width")
        return np.minimum(-self.face - self.at("shackle.engagement"), left), np.maximum(tail, right)

    @cached_property
    def line(self) -> Array:
        """The bolt line [mm] above the pivot, shape (n,)."""
        return self.at("bolt_line.height")

    @cached_property
    def walls(self) -> Walls:
        """The inner wall as they see it."""
        return Walls(self.lock, self.at("pivot.across"), self.at("pivot.below"))

    @cached_property
    def wall_distance(self) -> Array:
        """The distance [mm] of each pivot from the inner wall, shape (n,)."""
        return self.walls.distance()
