"""All that the map looks at: the limits by which locks are proposed, sizes too small, spring, notches and posts.

A size at the least that its maker asks for is as good as a larger one: such a demand leaves no room, it is kept or not.
"""

from collections.abc import Iterator

import numpy as np

from core.mechanism.maths import Array
from core.mechanism.tooth_numbers import SLACK
from core.parts import catch, least_sizes, pivot
from core.propose.above_bolt import above_bolt, shut_out_by_detent
from core.propose.limits import Limit, every_limit
from core.propose.locks import Locks
from core.propose.round_discs import round_discs

_THIN = (
    ("front_guide.width", least_sizes.THIN.of("front guide"), "the front guide's least width"),
    ("front_guide.floor", least_sizes.THIN.of("front guide"), "the front guide's least floor"),
    ("rear_guide.width", least_sizes.THIN.of("rear guide"), "the rear guide's least width"),
    ("rear_guide.floor", least_sizes.THIN.of("rear guide"), "the rear guide's least floor"),
    ("bolt.lobe_width", least_sizes.OF_BOLT.of("lobe"), "the least width of a lobe"),
    ("bolt.nose_height", least_sizes.OF_BOLT.of("nose"), "the least height of the nose"),
    ("bolt.tail_height", least_sizes.OF_BOLT.of("tail"), "the least height of the tail"),
)
"""By path what is held against the thinnest that is filed."""


def map_limits(locks: Locks) -> tuple[Limit, ...]:
    """Return everything that the map looks at."""
    demands = (Limit(d.code, d.by, _kept(d.spare)) for d in _demands(locks))
    every = (*every_limit(locks), *above_bolt(locks), *round_discs(locks), *demands)
    return tuple(
        Limit(one.code, one.by, np.where(np.isnan(one.spare), np.inf, one.spare)) for one in every
    )


def _kept(spare: Array) -> Array:
    """Return what is lacking [mm] to demands, infinite room where they are kept; shape (n,)."""
    return np.where(spare >= -SLACK, np.inf, spare)


def _demands(locks: Locks) -> Iterator[Limit]:
    yield from shut_out_by_detent(locks)
    least, slide = locks.at("fit.metal_min"), locks.at("fit.slide_clearance")
    for path, code, by in _THIN:
        yield Limit(code, by, locks.at(path) - least)
    free = np.maximum(slide, least_sizes.LEAST_PLAY)
    yield Limit(
        least_sizes.KEY_CLEARANCE_SMALL, "the bolt's play in its guides",
        locks.at("fit.key_clearance") - free,
    )  # fmt: skip
    yield Limit(
        least_sizes.SLIDE_CLEARANCE_NONE, "the least that slides", slide - least_sizes.LEAST_PLAY
    )
    hole = locks.at("pivot.hole") - locks.at("key.shank")
    yield Limit(pivot.PIVOT_HOLE_SMALL, "the shank in its hole", hole)
    if locks.lock.shackle.catch == "eye":
        eye = locks.at("bolt.thickness") + 2 * slide
        cheek = (locks.at("shackle.diameter") - eye) / 2
        yield Limit(catch.CHEEKS_THIN, "the cheeks of the eye", cheek - least)
    lip = locks.at("shackle.drop") - locks.at("bolt.nose_height") - slide
    yield Limit(catch.LIP_NONE, "the least metal below the nose", lip - least)
    yield Limit(catch.NOSE_GAP_SMALL, "nose and shackle clear", locks.at("shackle.gap") - slide)
