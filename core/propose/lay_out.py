"""Whole locks from a few choices, many at a time: which sizes, where the pivot, how large the key, how high the line.

The rest follows: the bolt as deep as its relief, the shackle down to a full lip, each guide amid its window.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from core.mechanism.corner import least_relief
from core.mechanism.maths import Array
from core.parts import guides
from core.propose.given import Given
from core.propose.limits import Limit, least_drop, limits, nearest, of_guides, wants_a_look
from core.propose.locks import Locks

FARTHEST = 3.0
"""How far [mm] past the nearest place for it a guide is put where there is room; common practice, no source."""
DEEPER, SPARE_DEPTH = 1.0, 0.25
"""How much deeper than its relief needs the bolt is [mm], at most that share of the room down to the shank."""
LOOK = 10.0
"""How much [mm] of room is given up rather than that 1 mm of a size wants a look."""
_LESS = 1e-6


@dataclass(frozen=True)
class Choice:
    """What is chosen of many locks, shape (n,) each: the number of the `size`, where the `pivot` stands below the mark,
    the key's `radius` and the bolt `line` above the pivot [mm].
    """

    size: Any
    pivot: Array
    radius: Array
    line: Array

    def some(self, which: Any) -> "Choice":
        """Return some of them, by number or by truth."""
        rows = (self.size, self.pivot, self.radius, self.line)
        return Choice(*(row[which] for row in rows))


def chosen(given: Given, size: Any, pivot: Array, radius: Array, line: Array) -> Choice:
    """Return choices of which `radius` and `line` take such shares of the room for them, shape (n,) each.

    `size` numbers the sizes, and `pivot` stands so far [mm] below the mark.
    """
    sizes = {path: values[size] for path, values in given.sizes.items()}
    pivot = given.clipped("pivot.below", pivot)
    locks = Locks(given.lock, {**sizes, "pivot.below": pivot})
    clear = locks.at("fit.key_clearance")
    early = np.radians(locks.at("tooth.pickup_angle"))
    across = locks.throw * np.cos(early) + locks.at("key.bit_thickness") / 2
    least = least_relief(across, locks.at("key.shank") / 2 + clear, early) - clear
    most = locks.wall_distance - clear
    circle = given.clipped("key.radius", np.maximum(least + radius * (most - least), 1.0))
    low = circle + clear + locks.at("fit.bridge_min")
    values = {
        "pivot.below": pivot,
        "key.radius": circle,
        "bolt_line.height": low,
        "bolt.depth": low,
    }
    cut = Locks(given.lock, {**sizes, **values})
    left, right = cut.body
    above = np.nan_to_num(cut.walls.up(left, right + cut.throw, low), nan=0.0, neginf=0.0)
    high = above - locks.at("bolt_line.spring_room")
    up = given.clipped("bolt_line.height", low + line * (high - low))
    return Choice(size, pivot, circle, up)


class Laid:
    """Locks laid out by a `choice`; what follows is whole numbers of a `step` [mm], with 0 just as it follows."""

    def __init__(self, given: Given, choice: Choice, step: float = 0.0) -> None:
        """Lay them out."""
        self.choice = choice
        sizes = {path: values[choice.size] for path, values in given.sizes.items()}
        values = {
            **sizes, "pivot.below": choice.pivot, "key.radius": choice.radius, "bolt_line.height": choice.line,
            "bolt.depth": choice.line,
        }  # fmt: skip
        draft = Locks(given.lock, values)
        legs = np.maximum(draft.at("bolt.nose_height"), draft.at("bolt.tail_height"))
        foot = np.nan_to_num(draft.teeth.relief_foot, nan=0.0)
        least = np.maximum(choice.line - foot, legs)
        most = choice.line - draft.at("key.shank") / 2 - draft.at("fit.key_clearance")
        deep = _up(least + np.clip(SPARE_DEPTH * (most - least), 0.0, DEEPER), step)
        values["bolt.depth"] = given.clipped("bolt.depth", np.maximum(deep, 1.0))
        values["shackle.drop"] = given.clipped("shackle.drop", _up(least_drop(draft), step))
        (left, right), far = draft.body, draft.throw
        nears = {"front guide": np.nan_to_num(-left), "rear guide": np.nan_to_num(right + far)}
        for name, near in nears.items():
            values[_place(name)] = near
        rooms = tuple(of_guides(Locks(given.lock, values)))
        for name, tried in nears.items():
            path = _place(name)
            low, high = (tried + way for way in _window(rooms, name))
            near = low + np.minimum((high - low) / 2, FARTHEST)
            near = np.round(near / step) * step if step else near
            values[path] = given.clipped(
                path, np.maximum(np.nan_to_num(near, nan=1.0, neginf=1.0), 1.0)
            )
        self.locks = Locks(given.lock, values)

    @cached_property
    def limits(self) -> tuple[Limit, ...]:
        """What limits them."""
        return limits(self.locks)

    @cached_property
    def margin(self) -> Array:
        """The least room [mm] that each has left to a limit, shape (n,)."""
        return nearest(self.limits)[0]

    @cached_property
    def look(self) -> Array:
        """The least room [mm] to what wants a look, shape (n,)."""
        return wants_a_look(self.locks)

    @cached_property
    def worth(self) -> Array:
        """The margin [mm], less something where a size wants a look, shape (n,)."""
        found: Array = np.maximum(self.margin, -1e3) + LOOK * np.clip(self.look + _LESS, -5.0, 0.0)
        return found

    @cached_property
    def taken(self) -> Array:
        """The area [mm2] that key and bolt take in the plate, both seats, shape (n,)."""
        locks, cut = self.locks, self.locks.teeth
        (left, right), (tip, tail) = locks.body, locks.legs
        circle, low = locks.relief, np.clip(cut.lower_edge, -locks.relief, locks.relief)
        under = circle**2 * (np.pi - np.arccos(low / circle)) + low * np.sqrt(circle**2 - low**2)
        body = (right - left + locks.throw) * locks.at("bolt.depth")
        nose = (left - tip) * locks.at("bolt.nose_height")
        legs = nose + (tail - right) * locks.at("bolt.tail_height")
        found: Array = under + body + legs
        return found


def _place(name: str) -> str:
    return f"{name.replace(' ', '_')}.from_centreline"


def _window(rooms: tuple[Limit, ...], name: str) -> tuple[Array, Array]:
    """Return how far [mm] a guide may be moved out, from least to most, by the room it has, shape (n,) each."""
    low = {guides.AT_BODY.of(name).name, guides.IN_KEY_CIRCLE.of(name).name}
    mine = [room for room in rooms if room.code.step == name]
    lows = np.maximum.reduce([-room.spare for room in mine if room.code.name in low])
    highs = np.minimum.reduce([room.spare for room in mine if room.code.name not in low])
    return lows, highs


def _up(values: Array, step: float) -> Array:
    return np.ceil(values / step - 1e-6) * step if step else values
