"""Many locks by chance: each size somewhere within what it is held to, and what comes of it in both strokes.

The draws are seeded: the same seed gives the same locks. They are worked out some thousands at a time, which keeps
every array where the processor reads it fastest; the result is that of one pass.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from core.mechanism.filed_parts import FiledParts, Outcomes, come_to
from core.mechanism.maths import Array
from core.mechanism.tooth_numbers import SLACK
from core.spread.filed_sizes import Limit, Plan, Size

LOCKS = 100_000
SEED = 1
_AT_ONCE = 10_000
BINS = 24
Truths = NDArray[np.bool_]


def draw(rng: np.random.Generator, law: str, sizes: int, locks: int) -> Array:
    """Return where each size lies within what it is held to, from -1 to 1, shape (sizes, locks).

    By the `law` anywhere alike, or most often in the middle: a triangle, which is the mean of two draws.
    """
    if law == "anywhere":
        drawn = rng.random((sizes, locks))
        drawn *= 2.0
        drawn -= 1.0
        return drawn
    drawn = rng.random((sizes, locks))
    drawn -= rng.random((sizes, locks))
    return drawn


def made(sizes: Sequence[Size], drawn: Array) -> FiledParts[Array]:
    """Return the parts of locks drawn, shape (n,), from draws of shape (sizes, n), which are used up."""
    drawn *= np.array([[size.plus_minus] for size in sizes])
    drawn += np.array([[size.plan] for size in sizes])
    return FiledParts(**{size.name: row for size, row in zip(sizes, drawn, strict=True)})


def spare(limit: Limit, found: Outcomes[Array]) -> Array:
    """Return what each lock has left [mm] to a limit, shape (n,); below 0 it is passed."""
    return np.asarray(limit.spare(found))


def working(plan: Plan, found: Outcomes[Array]) -> Truths:
    """Return which locks keep all limits, shape (n,)."""
    works = np.ones(len(found.bridge), dtype=bool)
    for limit in plan.limits:
        works &= spare(limit, found) >= -SLACK
    return works


@dataclass(frozen=True)
class Study:
    """Locks by chance of a `plan`: their outcomes, shape (n,) each, and which of them work."""

    plan: Plan
    law: str
    seed: int
    found: Outcomes[Array]
    works: Truths

    @property
    def share(self) -> float:
        """The share of locks that work."""
        return float(self.works.mean())

    @cached_property
    def fails(self) -> Mapping[str, float]:
        """The share of locks that pass each limit, by outcome."""
        return {
            limit.outcome: float((spare(limit, self.found) < -SLACK).mean())
            for limit in self.plan.limits
        }

    @cached_property
    def tightest(self) -> Limit:
        """The limit that most locks pass, or where none is passed the one that lies the fewest deviations away."""

        def rank(limit: Limit) -> tuple[float, float]:
            left = spare(limit, self.found)
            deviation = float(left.std())
            away = float(left.mean()) / deviation if deviation > SLACK else float("inf")
            return -self.fails[limit.outcome], away

        return min(self.plan.limits, key=rank)

    def histogram(self, outcome: str) -> tuple[Array, NDArray[np.int64]]:
        """Return the edges [mm], shape (bins + 1,), and how many locks lie between them, shape (bins,)."""
        values = getattr(self.found, outcome)
        low, high = float(values.min()), float(values.max())
        if high - low < SLACK:  # nothing of it is off
            low, high = low - 0.5, high + 0.5
        counts, edges = np.histogram(values, bins=BINS, range=(low, high))
        return edges, counts


def study(plan: Plan, law: str, locks: int = LOCKS, seed: int = SEED) -> Study:
    """Return the study of a plan, of so many `locks` drawn by a `law` from a `seed`."""
    rng = np.random.default_rng(seed)
    found = np.empty((len(fields(Outcomes)), locks))
    works = np.empty(locks, dtype=bool)
    for start in range(0, locks, _AT_ONCE):
        some = slice(start, min(start + _AT_ONCE, locks))
        drawn = draw(rng, law, len(plan.sizes), some.stop - some.start)
        outcomes = come_to(made(plan.sizes, drawn), plan.drawn)
        for row, field in zip(found, fields(Outcomes), strict=True):
            row[some] = getattr(outcomes, field.name)
        works[some] = working(plan, outcomes)
    return Study(plan, law, seed, Outcomes(*found), works)
