"""Proposals: the best few locks for what is given, that differ in kind, each seen by every check before it is named."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core.checks.gathered import findings
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.outcomes import Outcome
from core.layout.proposal import Proposal
from core.lock.facts import facts
from core.lock.lock import Lock
from core.mechanism.maths import Array
from core.parts.plate import inner
from core.parts.tooth_limits import HOME_TRAVEL
from core.propose.from_stock import from_stock, in_stock, stock_words
from core.propose.given import PROPOSED, Given, Range
from core.propose.lay_out import Laid, chosen
from core.propose.limits import limits, nearest
from core.propose.locks import Locks
from core.propose.search import Grid, Worth, coarse, refined, rounded
from core.text import listed
from core.turning.detent_proposal import detent_proposal
from core.turning.figures import CHECK as TURN

SOUND = 0.3
"""Room [mm] to every limit that a proposal keeps where the plate lets it; common practice, no source."""
AMPLE = 0.5
"""Room [mm] to every limit that is enough where other things can be made better by less; common practice, no source."""
CLOSE = 0.985
"""Share of the widest margin that is kept while the rest is made better."""
USUAL, WIDEST, ROOM, TORQUE, LONGEST = KINDS = (
    "usual sizes", "widest margins", "most room", "least torque", "longest engagement",
)  # fmt: skip
TOLD = 0.02
"""Room [mm] that stock may cost without a word."""
_SAID = 2.5
"""Room [mm] from which on more does not count."""
_SIZES = 3
"""So many of the sizes with most to spare are made better."""
_MORE = 12
"""Places of the coarse grid that are tried where none of the best came through all checks."""


@dataclass(frozen=True)
class Proposed:
    """A lock that is proposed: what it is best at, its values, and what it comes to.

    `margin` [mm] is the room left to the nearest limit, which is `by`; `free` [mm2] what key and bolt leave inside the
    wall, `torque` [N mm] the most on the key, None where that cannot be told. At the paths `bought` it is of stock;
    with the sizes that stood there it would have `unbought` [mm] of room.
    """

    kinds: tuple[str, ...]
    proposal: Proposal
    lock: Lock
    margin: float
    by: str
    free: float
    torque: float | None
    looks: tuple[Finding, ...]
    bought: tuple[str, ...] = ()
    unbought: float = 0.0


@dataclass(frozen=True)
class Refusal:
    """Why there is no lock: the nearest there is lacks `short` [mm] of what `code` stands for, `by` in a few words.

    Where all limits are kept, but a check of the whole lock stops it all the same, `told` is what that says.
    """

    code: str
    by: str
    short: float
    lock: Lock
    told: str = ""


@dataclass(frozen=True)
class Proposals:
    """What is proposed, in the order of the kinds, or the refusal where there is nothing to propose."""

    found: tuple[Proposed, ...]
    refusal: Refusal | None = None


def proposals(
    lock: Lock, kept: Iterable[str] = (), ranges: Mapping[str, Range] | None = None
) -> Proposals:
    """Return the best few locks for what is given of a lock: its plate, the shackle's end, and all that is in `kept`.

    `ranges` [mm] by path are the least and the most that its maker will make. What is made already stays; sheet, bar
    and drilled holes that are not kept come from stock.
    """
    return next(found for found in proposing(lock, kept, ranges) if found is not None)


def proposing(
    lock: Lock, kept: Iterable[str] = (), ranges: Mapping[str, Range] | None = None
) -> Iterator[Proposals | None]:
    """Yield the same at the end, [mm] as there; None between two pieces of the work."""
    layout, closed = Layout(lock), frozenset({*kept, *facts(lock)})
    found: Proposals | None = None
    for one in in_stock(layout.plan, closed):
        given = Given(Layout(one).lock, closed, ranges or {})
        for found in _of_given(layout, given):
            if found is None:
                yield None
        if found is not None and found.found:
            break
    yield found


def _of_given(layout: Layout, given: Given) -> Iterator[Proposals | None]:
    """Yield the proposals for what is given at the end, None between two pieces of the work."""
    grid = coarse(given)
    yield None
    first = _firsts(grid)
    at, best = refined(given, grid.size[first], grid.at[first], lambda laid: laid.worth)
    yield None
    most = int(np.argmax(best))
    refusal = _refusal(given, grid.size[first], at, best)
    if best[most] < 0:
        yield Proposals((), refusal)
        return
    found: list[Proposed] = []
    for one in _confirmed(layout, given, _starts(grid, first, at, best)):
        found += [] if one is None else [one]
        yield None
    if max((one.margin for one in found), default=-1.0) < CLOSE**2 * best[most]:
        found += _others(layout, given, grid)
    yield Proposals(_by_kind(found)) if found else Proposals((), refusal)


def _firsts(grid: Grid) -> list[int]:
    """Return the places that are made better: of the most ample sizes, of the longest engagement, and the widest."""
    worth, reach = grid.laid.worth, grid.laid.locks.at("shackle.engagement")
    each = list(_best_of_each(grid, worth))
    ample = next((n for n in each if worth[n] >= SOUND), max(each, key=lambda n: worth[n]))
    longest = max(each, key=lambda n: (min(worth[n], SOUND), reach[n], worth[n]))
    return list(dict.fromkeys((ample, longest, *_widest(each, worth))))


def _starts(grid: Grid, first: list[int], at: Array, best: Array) -> Sequence["_Start"]:
    """Return where to go on from: for each kind its sizes, place, the least margin [mm], and what is looked for."""
    worth, most = grid.laid.worth, int(np.argmax(best))
    own = {0: min(AMPLE, CLOSE * best[0]), 1 % len(first): CLOSE * best[1 % len(first)]}
    own[most] = min(own.get(most, np.inf), CLOSE * best[most])
    starts = [(int(grid.size[first[n]]), at[n], float(own[n]), _evenly) for n in own]
    starts.append((int(grid.size[first[most]]), at[most], float(CLOSE * best[most]), _evenly))
    fair = min(SOUND, 0.8 * float(best[most]))
    for gain in (_roomy, _light):
        good = np.flatnonzero(worth >= fair)
        seeds = good if len(good) else np.array([int(np.argmax(worth))])
        n = int(seeds[np.argmax(gain(grid.laid)[seeds])])
        starts.append((int(grid.size[n]), grid.at[n], min(fair, float(worth[n])), gain))
    return starts


def _widest(each: list[int], worth: Array) -> list[int]:
    """Return the best places of the sizes that have most to spare."""
    return sorted(each, key=lambda n: -worth[n])[:_SIZES]


def _best_of_each(grid: Grid, worth: Array) -> Iterator[int]:
    for size in range(int(grid.size.max()) + 1):
        mine = np.flatnonzero(grid.size == size)
        yield int(mine[np.argmax(worth[mine])])


def _evenly(laid: Laid) -> Array:
    """Return the room to every limit but what the detent draws [mm], and a little for what stays free."""
    others = [one.spare for one in laid.limits if one.code is not HOME_TRAVEL]
    room: Array = np.minimum(np.minimum.reduce(others), _SAID)
    return room - laid.taken / 400


def _roomy(laid: Laid) -> Array:
    return -laid.taken / 100


def _light(laid: Laid) -> Array:
    """The torque goes with the radius at which the bit's corner pushes."""
    return -laid.choice.radius - laid.taken / 10000


def _kept_above(floors: Array, gains: list[Callable[[Laid], Array]]) -> Worth:
    """Return a worth by blocks of rows: each its own gain, as long as the margin stays above its floor [mm]."""

    def worth(laid: Laid) -> Array:
        blocks = np.array_split(np.arange(len(laid.margin)), len(gains))
        found, gained = np.empty(len(laid.margin)), {gain: gain(laid) for gain in set(gains)}
        for rows, floor, gain in zip(blocks, floors, gains, strict=True):
            spare = laid.worth[rows]
            found[rows] = np.where(spare >= floor, gained[gain][rows], spare - floor - 1e4)
        return found

    return worth


_Start = tuple[int, Array, float, Callable[[Laid], Array]]


def _confirmed(layout: Layout, given: Given, starts: Sequence[_Start]) -> Iterator[Proposed | None]:
    """Yield what comes of each start, made better and round, that no check stops; None between."""
    size = np.array([int(start[0]) for start in starts])
    floors = np.array([start[2] for start in starts])
    gains = [start[3] for start in starts]
    at, _ = refined(
        given, size, np.stack([start[1] for start in starts]), _kept_above(floors, gains)
    )
    seen: set[Lock] = set()
    for n, gain in enumerate(gains):
        yield None
        choice = chosen(given, size[[n]], *at[[n]].T)
        worth = _kept_above(floors[[n]], [gain])
        one = rounded(given, choice, worth, -1e3)
        if one is not None and one.locks.one(0) not in seen:
            seen.add(one.locks.one(0))
            yield from _checked(layout, given, one)


def _others(layout: Layout, given: Given, grid: Grid) -> Iterator[Proposed]:
    """Yield the first lock of the coarse grid, the best first, that no check stops."""
    worth = grid.laid.worth
    for n in np.argsort(-worth)[:_MORE]:
        one = rounded(given, grid.laid.choice.some([int(n)]), lambda laid: laid.worth, 0.0)
        found = None if one is None else next(_checked(layout, given, one), None)
        if found is not None:
            yield found
            return


def _checked(layout: Layout, given: Given, laid: Laid) -> Iterator[Proposed]:
    """Yield what is proposed where no check stops it; with notches, after these are proposed anew if they must."""
    one = laid.locks.one(0)
    free = [path for path in PROPOSED if path not in given.kept]
    bought = from_stock(layout.plan, given.kept)
    values = tuple((path, round(float(one.value(path)), 9)) for path in (*free, *bought))
    lock = Proposal("", values, ()).taken(layout.plan)
    told = findings(Layout(lock))
    if any(f.level == "stop" for f in told) and lock.detent.kind == "notches":
        more = detent_proposal(Layout(lock))
        values, lock = (*values, *more.values), more.taken(lock)
        told = findings(Layout(lock))
    if any(f.level == "stop" for f in told):
        return
    seen = Layout(lock)
    limited = limits(Locks(seen.lock, {}))
    margin, which = nearest(limited)
    looks = tuple(f for f in told if f.level == "look")
    yield Proposed(
        (), Proposal("", values, ()), lock, float(margin[0]), limited[int(which[0])].by,
        float(inner(seen).area) - float(laid.taken[0]), _torque().of(seen), looks, bought,
        _as_they_stood(layout.plan, lock, bought),
    )  # fmt: skip


def _as_they_stood(plan: Lock, lock: Lock, bought: Iterable[str]) -> float:
    """Return the room [mm] that a lock would have with sizes as they stood in the plan, and not from stock."""
    for path in bought:
        lock = lock.with_value(path, plan.value(path))
    return float(nearest(limits(Locks(Layout(lock).lock, {})))[0][0])


def _torque() -> Outcome:
    return next(outcome for outcome in TURN.outcomes if outcome.name == "peak_torque")


def _by_kind(found: list[Proposed]) -> tuple[Proposed, ...]:
    """Return those that are best of their kind, each with what it is best at."""
    torques = [np.inf if one.torque is None else one.torque for one in found]
    best = {
        USUAL: max(range(len(found)), key=lambda n: _ampleness(found[n])),
        WIDEST: max(range(len(found)), key=lambda n: found[n].margin),
        ROOM: max(range(len(found)), key=lambda n: found[n].free),
        TORQUE: int(np.argmin(torques)),
        LONGEST: max(range(len(found)), key=lambda n: (_reach(found[n]), found[n].margin)),
    }
    kinds: dict[int, list[str]] = {}
    for kind, n in best.items():
        kinds.setdefault(n, []).append(kind)
    return tuple(_told(found[n], tuple(words)) for n, words in kinds.items())


def _told(one: Proposed, kinds: tuple[str, ...]) -> Proposed:
    values = one.proposal.values
    return replace(one, kinds=kinds, proposal=Proposal(listed(kinds), values, reasons(one)))


def _reach(one: Proposed) -> float:
    return float(one.lock.shackle.engagement)


def _ampleness(one: Proposed) -> tuple[bool, float, float]:
    sizes = one.lock.bolt.nose_height + one.lock.bolt.lobe_width + _reach(one)
    return one.margin >= SOUND, round(sizes, 3), one.margin


def reasons(one: Proposed) -> tuple[str, ...]:
    """Return what speaks for a lock and where it is weakest, in sentences."""
    lock, at = one.lock, Layout(one.lock)
    show = at.show
    sizes = (
        f"Key {show(lock.key.radius)}, pivot {show(lock.pivot.below)} below the mark, bolt line "
        f"{show(lock.bolt_line.height)} above it; the nose goes {show(lock.shackle.engagement)} into the shackle."
    )
    weakest = f"Nearest limit: {one.by}, with {show(one.margin)} to spare."
    if one.unbought > one.margin + TOLD:
        weakest += (
            f" With the sizes as they were, and not from stock, it would be {show(one.unbought)}."
        )
    free = f"Key and bolt leave {at.show_area(one.free, 0)} free inside the wall"
    turns = (
        "" if one.torque is None else f", and the key takes {at.show_torque(one.torque)} at most"
    )
    looks = [f.text for f in one.looks]
    stock = stock_words(lock, one.bought)
    return (
        sizes,
        weakest,
        f"{free}{turns}.",
        *filter(None, (stock,)),
        *(f"Wants a look: {text}" for text in looks),
    )


def _refusal(given: Given, size: NDArray[np.intp], at: Array, best: Array) -> Refusal:
    n = int(np.argmax(best))
    laid = Laid(given, chosen(given, size[[n]], *at[[n]].T))
    spare, which = nearest(laid.limits)
    limit, lock = laid.limits[int(which[0])], laid.locks.one(0)
    told = ""
    if spare[0] >= 0:
        stops = [f for f in findings(Layout(lock)) if f.level == "stop"]
        told = stops[0].text if stops else "it cannot be given sizes that are round."
    return Refusal(limit.code.name, limit.by, -float(spare[0]), lock, told)
