"""The worst case: every size at that end of what it is held to which is worst for one outcome."""

import numpy as np
from numpy.typing import NDArray

from core.mechanism.filed_parts import FiledParts, come_to
from core.mechanism.maths import Array
from core.spread.filed_sizes import Limit, Plan

_ROUNDS = 40


def worst(plan: Plan, limit: Limit) -> float:
    """Return the outcome [mm] of the worst lock that the sizes let be made, for one limit.

    An outcome grows or falls with each size all the way, but which of the two may hang on the others: so ends are
    turned over, one or two at a time, as long as that makes it worse. Held against all corners in the tests.
    """
    plan_of, off = (
        np.array([getattr(size, name) for size in plan.sizes]) for name in ("plan", "plus_minus")
    )
    loose = np.flatnonzero(off > 0)

    def left(ends: Array) -> Array:
        """Return what is left to the limit at ends of shape (n, sizes), each -1 or 1."""
        parts = FiledParts(*(plan_of + off * ends).T)
        return np.asarray(limit.spare(come_to(parts, plan.drawn)) + 0.0 * parts.bit)

    turns = _turns(len(plan.sizes), loose)
    ends = np.zeros(len(plan.sizes))
    for k in loose:  # begin with each by itself
        both = np.zeros((2, len(ends)))
        both[:, k] = (-1.0, 1.0)
        ends[k] = both[int(left(both).argmin()), k]
    least = float(left(ends[None])[0])
    for _ in range(_ROUNDS):
        tried = ends * turns
        found = left(tried)
        best = int(found.argmin())
        if found[best] >= least - 1e-12:
            break
        ends, least = tried[best], float(found[best])
    return limit.value + limit.way * least


def _turns(sizes: int, loose: NDArray[np.int_]) -> Array:
    """Return the ways to turn one or two ends over, as factors of shape (n, sizes)."""
    turns = [np.ones(sizes)]
    for n, first in enumerate(loose):
        for second in loose[n:]:
            turned = np.ones(sizes)
            turned[[first, second]] = -1.0
            turns.append(turned)
    return np.array(turns)
