"""Which sizes cost most, how closely to hold them and how loosely the rest, and where the plan lies best.

All by trial on the same draws: a size held to nothing, closer or farther, or put elsewhere, and the locks worked out
anew. So what is said of a share is what a study of those locks finds.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from core.mechanism.filed_parts import FiledParts, come_to
from core.mechanism.maths import Array
from core.mechanism.tooth_numbers import SLACK
from core.spread.filed_sizes import Plan, Size
from core.spread.study import SEED, Study, study

TRIALS = 20_000
"""Locks of a trial: a share of 99 % is then known to 0.2 % (two deviations of a count, any text on statistics)."""
WANTED = 0.99
"""Share of locks that is to work, of a size that is advised; common practice, no source."""
STEPS = (2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 80)
"""What a size is advised to be held to, in hundredths of a mm, or fifths of that many thousandths of an inch."""
FINEST = {"mm": 0.01, "in": 0.0002 * 25.4}
"""By units, the length [mm] of which advice is a whole multiple."""
_MOST_HELD = 6
_PLACES, _ROUNDS, _ROUGH = 13, 2, 8_000
"""Places that are tried in each round of looking for the best, each about the last one's, and locks for each."""
_FARTHEST = 3.0
"""How far a plan is moved at most, in what the size is held to."""


@dataclass(frozen=True)
class Cost:
    """What a size costs: how much larger the share that works would be, were it just as planned.

    `part` is its share in the variance of what is left to the tightest limit, by which sizes are told apart
    that cost nothing.
    """

    size: Size
    share: float
    part: float


@dataclass(frozen=True)
class Hold:
    """Advice: hold these sizes `to` [mm], and the rest may be `rest` [mm]; then so large a `share` works."""

    held: tuple[Size, ...]
    to: float
    rest: float
    share: float


@dataclass(frozen=True)
class Place:
    """Advice: plan `what`, the `sizes` of these names, `by` so much [mm] otherwise; then so large a `share` works."""

    what: str
    sizes: tuple[str, ...]
    by: float
    share: float


MOVES = (
    ("key radius", ("radius",)), ("bit thickness", ("bit",)), ("both reliefs", ("unlocking_relief", "locking_relief")),
    ("bolt's lower edge", ("lower_edge",)), ("roof of the gap", ("roof",)), ("length of the nose", ("nose",)),
    ("pivot, towards the bolt line", ("pivot_up",)), ("pivot, along the bolt line", ("pivot_along",)),
)  # fmt: skip
"""What can be put elsewhere by itself."""


def trial(plan: Plan, sizes: Sequence[Size], law: str, locks: int = TRIALS) -> Study:
    """Return the study of a trial: a plan with other sizes."""
    return study(replace(plan, sizes=tuple(sizes)), law, locks, SEED)


def costs(now: Study) -> tuple[Cost, ...]:
    """Return what each size costs, the dearest first; those that are just as planned are left out."""
    plan = now.plan
    base = trial(plan, plan.sizes, now.law)
    parts = _variances(now)
    found = []
    for k, size in enumerate(plan.sizes):
        if size.plus_minus > 0:
            exact = _with(plan.sizes, {size.name: 0.0})
            gained = trial(plan, exact, now.law).share - base.share
            found.append(Cost(size, gained, float(parts[k])))
    return tuple(sorted(found, key=lambda cost: (-cost.share, -cost.part)))


def _variances(now: Study) -> Array:
    """Return each size's part in the variance of what is left to the tightest limit, first order, shape (sizes,)."""
    plan, count = now.plan, len(now.plan.sizes)
    middle = np.array([size.plan for size in plan.sizes])
    off = np.diag([size.plus_minus for size in plan.sizes])
    both = np.concatenate([middle + off, middle - off]).T
    left = now.tightest.spare(come_to(FiledParts(*both), plan.drawn)) + 0.0 * both[0]
    squares = np.asarray((left[:count] - left[count:]) ** 2)
    total = float(squares.sum())
    return squares / total if total > 0 else squares


def holds(now: Study, dearest: Sequence[Cost], units: str) -> Iterator[Hold]:
    """Yield advice on how closely to hold the dearest sizes, none of them, one, two, ... and how loosely the rest.

    Each with the loosest rest by which the share wanted works, in round numbers of the lock's `units`; only what lets
    the rest be looser than before.
    """
    steps = [FINEST[units] * step for step in STEPS]
    free = [cost.size for cost in dearest if cost.size.free]
    before = 0.0
    for many in range(min(_MOST_HELD, len(free)) + 1):
        looser = [step for step in steps if step > before + SLACK]
        best = _hold(now, free[:many], [size.name for size in free[many:]], steps, looser)
        if best is not None:
            before = best.rest
            yield best


def _hold(
    now: Study, held: Sequence[Size], rest: Sequence[str], steps: Sequence[float], looser: Sequence[float]
) -> Hold | None:  # fmt: skip
    """Return the advice that lets the rest be loosest, and of those the one that holds least closely."""
    found = None
    for to in steps if held else (0.0,):
        closer = {size.name: to for size in held}

        def share(loose: float, closer: dict[str, float] = closer) -> float:
            sizes = _with(now.plan.sizes, {**closer, **dict.fromkeys(rest, loose)})
            return trial(now.plan, sizes, now.law).share

        # of the same draws, looser ones work no more often: but for chance, so the last that does is looked for
        best = None
        for loose in (loose for loose in looser if loose > to + SLACK):
            got = share(loose)
            if got < WANTED:
                break
            best = Hold(tuple(held), to, loose, got)
        if best is None:
            break
        if found is None or best.rest >= found.rest:
            found = best
    return found


def places(now: Study, units: str) -> tuple[Place, ...]:
    """Return where the plan of each thing lies best by itself, the best first; only what lets more locks work.

    Of places at which as many work, that where the nearest limit is farthest: the middle of what works, not its edge.
    In round numbers of the lock's `units`.
    """
    base = trial(now.plan, now.plan.sizes, now.law).share
    tried = (_place(now, what, names, FINEST[units]) for what, names in MOVES)
    found = [place for place in tried if place is not None]
    better = [place for place in found if place.share > base + SLACK]
    return tuple(sorted(better, key=lambda place: -place.share))


def _place(now: Study, what: str, names: tuple[str, ...], finest: float) -> Place | None:
    own = [size for size in now.plan.sizes if size.name in names]
    if any(not size.free for size in own):
        return None
    widest = _FARTHEST * max(size.plus_minus for size in own)

    def share(by: float, locks: int) -> float:
        return trial(now.plan, moved(now.plan.sizes, names, by), now.law, locks).share

    best, reach = 0.0, widest
    for _ in range(_ROUNDS):
        by = np.linspace(best - reach, best + reach, _PLACES)
        shares = np.array([share(each, _ROUGH) for each in by.tolist()])
        # of those that are as good, as far as so many locks tell, the one farthest from every limit
        good = shares >= shares.max() - 2 * math.sqrt(shares.max() * (1 - shares.max()) / _ROUGH)
        best = float(by[int(np.where(good, _nearest(now, names, by), -np.inf).argmax())])
        reach *= 2 / _PLACES
    best = finest * round(best / finest)
    return Place(what, names, best, share(best, TRIALS))


def _nearest(now: Study, names: tuple[str, ...], by: Array) -> Array:
    """Return how many deviations the nearest limit is away, with the plan of these sizes `by` [mm] elsewhere, (n,)."""
    plan = now.plan
    rows = np.array([[size.plan] for size in plan.sizes]) + np.zeros(len(by))
    for k, size in enumerate(plan.sizes):
        if size.name in names:
            rows[k] += by
    found = come_to(FiledParts(*rows), plan.drawn)
    middle = come_to(FiledParts(*(size.plan for size in plan.sizes)), plan.drawn)
    nearest = np.full(len(by), np.inf)
    for limit in plan.limits:
        left = limit.spare(now.found)
        deviation = float(left.std())
        if deviation > SLACK:
            # chance moves the mean off the middle by as much wherever that is, to first order
            off = float(left.mean()) - float(limit.spare(middle))
            nearest = np.minimum(nearest, (limit.spare(found) + off) / deviation)
    return nearest


def moved(sizes: Iterable[Size], names: Iterable[str], by: float) -> tuple[Size, ...]:
    """Return sizes of which those with these names are planned elsewhere, `by` so much [mm]."""
    wanted = set(names)
    return tuple(
        replace(size, plan=size.plan + by) if size.name in wanted else size for size in sizes
    )


def _with(sizes: Iterable[Size], held: dict[str, float]) -> tuple[Size, ...]:
    return tuple(replace(size, plus_minus=held.get(size.name, size.plus_minus)) for size in sizes)
