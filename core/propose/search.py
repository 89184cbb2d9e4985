"""The search for locks: a coarse grid over all that is chosen, then better ones near the best, all in arrays.

What is looked for grows smoothly only between edges, since now one limit rules and now another. So round each of the
best so far others are tried in directions drawn from a seed, ever nearer.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.mechanism.maths import Array
from core.propose.given import Given
from core.propose.lay_out import Choice, Laid, chosen

_PIVOTS, _RADII, _LINES = 14, 6, 4
"""How many places of the pivot, and shares of the room for key and line, the coarse grid has."""
_ROUNDS = 14
_DRAWN = 44
_NEARER = 0.65
"""Share of the distance at which is looked on, where nothing nearer was better."""
_SEED = 14
_FIRST = np.array([2.0, 0.1, 0.15])
"""How far is looked at first: the pivot [mm], and shares of the rooms."""
Worth = Callable[[Laid], Array]
"""What is looked for the most of, shape (n,)."""


@dataclass(frozen=True)
class Grid:
    """Places that were looked at: the number of the `size` and where, shape (n,) and (n, 3), and how they are laid."""

    size: NDArray[np.intp]
    at: Array
    laid: Laid


def coarse(given: Given) -> Grid:
    """Return a coarse grid over everything that is not kept."""
    plate, sizes = given.lock.plate, given.sizes
    count = len(next(iter(sizes.values())))
    high = plate.width if plate.outline == "round" else plate.height
    if plate.outline == "traced" and plate.points:
        high = -min(point[1] for point in plate.points)
    places = np.linspace(0.12, 0.88, _PIVOTS) * high
    lines, radii = np.linspace(0.05, 0.95, _LINES), np.linspace(0.0, 1.0, _RADII + 1)[:-1]
    if "pivot.below" in given.kept:
        places = places[:1]
    if "key.radius" in given.kept:
        radii = radii[:1]
    if "bolt_line.height" in given.kept:
        lines = lines[:1]
    grid = np.meshgrid(np.arange(count), places, radii, lines, indexing="ij")
    size = grid[0].reshape(-1).astype(np.intp)
    at = np.stack([one.reshape(-1).astype(np.float64) for one in grid[1:]], axis=1)
    return Grid(size, at, Laid(given, chosen(given, size, *at.T)))


def refined(given: Given, size: NDArray[np.intp], at: Array, worth: Worth) -> tuple[Array, Array]:
    """Return better places near those `at`, shape (n, 3), of sizes by number, shape (n,), and their worth, shape (n,).

    `worth` is asked of n blocks of locks, one for each place, in one row.
    """
    rng = np.random.default_rng(_SEED)
    many, here = len(size), at.copy()
    best = np.full(many, -np.inf)
    far, rows = np.ones(many), np.arange(many)
    block = np.repeat(size, _DRAWN + 1)
    for _ in range(_ROUNDS):
        ways = np.concatenate([np.zeros((1, 3)), rng.normal(size=(_DRAWN, 3))])
        # half of them along one or two of the ways alone
        ways[1 : _DRAWN // 2] *= rng.random((_DRAWN // 2 - 1, 3)) < 0.4
        tried = here[:, None, :] + ways[None, :, :] * far[:, None, None] * _FIRST
        found = worth(Laid(given, chosen(given, block, *tried.reshape(-1, 3).T)))
        found = found.reshape(many, -1)
        first = np.argmax(found, axis=1)
        better = found[rows, first] > best + 1e-9
        grown = better & (first > 0)
        here = np.where(better[:, None], tried[rows, first], here)
        best = np.where(better, found[rows, first], best)
        far = np.where(grown, far, far * _NEARER)
    return here, best


def rounded(given: Given, choice: Choice, worth: Worth, enough: float) -> Laid | None:
    """Return one lock near a single choice, its sizes as round as they can be and still worth `enough`.

    Of those with the same step the best; None where none has any room left.
    """
    last = None
    for step in given.steps:
        middle = np.array([choice.pivot[0], choice.radius[0], choice.line[0]])
        around = np.stack(np.meshgrid(*[np.arange(-1, 3)] * 3, indexing="ij"), -1).reshape(-1, 3)
        tried: Array = ((np.floor(middle / step) + around) * step).astype(np.float64)
        paths = ("pivot.below", "key.radius", "bolt_line.height")
        exact = (given.clipped(path, tried[:, k]) for k, path in enumerate(paths))
        size = np.full(len(tried), choice.size[0])
        laid = Laid(given, Choice(size, *exact), step)
        found = worth(laid)
        first = np.array([int(np.argmax(found))])
        one = Laid(given, laid.choice.some(first), step)
        if found[first[0]] >= enough:
            return one
        if last is None or one.worth[0] > last.worth[0]:
            last = one
    return last if last is not None and last.margin[0] >= 0 else None
