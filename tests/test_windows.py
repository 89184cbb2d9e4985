"""Windows: just inside an end the finding that it names is gone, just outside it is there.

And at each end the part that sets it touches what it is held against, measured by shapely alone on a plate
and frames that are drawn without the program.
"""

from collections import Counter
from collections.abc import Iterable
from functools import cache

import pytest

from core.checks import gathered
from core.errors import BadValueError
from core.layout.layout import Layout
from core.layout.windows import Bound, Window, merged
from core.lock.lock import Lock
from core.parts import tooth_limits
from core.turning.turn_check import turn_check
from tests.designs import plausible, stretched
from tests.locks import changed
from tests.met_ends import LEGS, touching

BESIDE = 1e-4
"""How far [mm] on either side of an end the lock is looked at."""
PATHS = ("key.radius", "bolt_line.height", "pivot.below", "bolt.depth", "front_guide.from_centreline",
         "rear_guide.from_centreline", "shackle.drop")  # fmt: skip
PICKUP, CHAMFER = "tooth.pickup_angle", "bolt.lobe_chamfer"
# without a tooth, or with one that is never driven, the tooth's other findings are not given
INSTEAD = {"no-tooth", "no-drive"}
# the parts that set windows are those that find what lies outside them; the others, the slow turn
# check first of all, would only be worked out for nothing
PARTS = tuple(part for part in gathered.all_checks() if any(part.bounds(Layout(Lock()))))


@cache
def codes(lock: Lock) -> frozenset[str]:
    layout = Layout(lock)
    return frozenset(finding.code for part in PARTS for finding in part.findings(layout))


def fouled(lock: Lock) -> set[str]:
    """Return what the turn of the key finds of the bolt, dear as it is."""
    return {"key-fouls-bolt" for foul in turn_check(Layout(lock)).fouls if foul.part == "bolt"}


@cache
def bounds(lock: Lock) -> tuple[Bound, ...]:
    layout = Layout(lock)
    return tuple(bound for part in PARTS for bound in part.bounds(layout))


def windows(lock: Lock) -> dict[str, Window]:
    return merged(bounds(lock))


def ends(window: Window) -> Iterable[tuple[Bound, int]]:
    """Give each end that is set, with the direction that leads inside."""
    if window.low is not None:
        yield window.low, 1
    if window.high is not None:
        yield window.high, -1


def look_beside(lock: Lock, seen: Counter[str]) -> None:
    for path, window in windows(lock).items():
        named = {bound.code.name for bound in bounds(lock) if bound.path == path}
        inside = named | INSTEAD if path == "key.radius" else named
        if path in LEGS:
            # a gap too narrow for the bit is no matter of the legs
            inside = inside - codes(lock).intersection({"key-fouls-bolt"})
        for bound, inwards in ends(window):
            what = f"{path} {bound.end}"
            try:
                beyond = lock.with_value(path, bound.value - inwards * BESIDE)
                out = codes(beyond) | (fouled(beyond) if path in LEGS else set())
            except BadValueError:  # an end at nothing, beyond which no lock can go
                seen[f"{what} illegal"] += 1
            else:
                superseded = bound.code.name not in out and bool(out & INSTEAD)
                assert superseded or bound.code.name in out, (what, bound)
                seen[f"{what} superseded" if superseded else f"{what} outside"] += 1
            if window.conflict:
                seen[f"{what} conflict"] += 1
                continue
            try:
                within = codes(lock.with_value(path, bound.value + inwards * BESIDE))
            except BadValueError:
                seen[f"{what} illegal"] += 1
                continue
            # nothing that any end of this window names, not only what this one does
            assert not within & inside, (what, bound, within & inside)
            seen[f"{what} inside"] += 1


FAR_OUT = {"fit.slide_clearance", "shackle.diameter"}
"""Sizes that no lock has as large as 30 mm, where all else is amiss too."""


@pytest.mark.parametrize(
    "new",
    [
        {},
        {"detent.kind": "notches", "spring.kind": "flat strip", "stops.unlocked": "guide face"},
        {"tooth.pickup_angle": 12.0},
        {"bolt.depth": 7.0, "shackle.catch": "notch"},
        {
            "detent.kind": "stop and spring",
            "unlocks": "left",
            "shackle.across": -Lock().shackle.across,
        },
    ],
    ids=["as it comes", "notches", "early", "shallow", "left-handed"],
)
@pytest.mark.first(3)
def test_every_end_is_where_its_finding_begins_the_tightest_or_not(new: dict[str, object]) -> None:
    # a little farther out than elsewhere: a mere corner of the bolt outside the wall is an area of nothing at first
    lock = changed(Lock(), new)
    held = 0
    # of ends that one finding is there for the tightest is where it begins
    told = (bound for part in gathered.all_checks() for bound in part.bounds(Layout(lock)))
    ends_of = sorted(told, key=lambda each: each.value * (1 if each.end == "low" else -1))
    tightest = {(each.path, each.end, each.code.name): each for each in ends_of}
    for bound in tightest.values():
        if bound.path in FAR_OUT and bound.value > 30.0:
            continue
        inwards = 1 if bound.end == "low" else -1
        try:
            out, within = (
                of_owner(
                    lock.with_value(bound.path, bound.value + way * inwards * 5 * BESIDE), bound
                )
                for way in (-1, 1)
            )
        except BadValueError:
            continue
        if not out & INSTEAD:
            assert bound.code.name in out, bound
            assert bound.code.name not in within, bound
            held += 1
    assert held > 80


def of_owner(lock: Lock, bound: Bound) -> set[str]:
    """Return what the part finds that has a bound's code, and whether there is a tooth."""
    asked = [
        part
        for part in gathered.all_checks()
        if part is tooth_limits.PART
        or any(bound.code.name.endswith(code.name.removeprefix("{}")) for code in part.codes)
    ]
    layout = Layout(lock)
    found = {finding.code for part in asked for finding in part.findings(layout)}
    return found | fouled(lock) if bound.path in LEGS else found


@pytest.mark.slow
def test_findings_begin_at_the_ends_of_plausible_locks() -> None:
    seen: Counter[str] = Counter()
    rest: Counter[str] = Counter()
    locks = 8
    for seed in range(locks):
        # the roof sets no window, and proving a scribed one takes a whole turn of the key
        look_beside(plausible(seed, roof="flat"), seen)
    early = {what: seen.pop(what) for what in list(seen) if what.startswith(PICKUP)}
    # how early a pick-up may be always has an end; how late only where the body would reach a guide
    high = {
        what.removeprefix(f"{PICKUP} high "): n for what, n in early.items() if " high " in what
    }
    assert high["inside"] == high["outside"] + high.get("superseded", 0) == locks
    assert early[f"{PICKUP} low inside"] == early[f"{PICKUP} low outside"] >= 3
    # the least of all sizes, and what else has one end or an end only on some locks
    for what in [what for what in seen if not what.startswith((*PATHS, CHAMFER))]:
        rest[what] = seen.pop(what)
    for what in {what.rsplit(" ", 1)[0] for what in rest}:
        inside, outside = rest[f"{what} inside"], rest[f"{what} outside"]
        assert inside == outside + rest[f"{what} illegal"], what
    assert rest["bolt.lobe_width low outside"] == locks
    # a chamfer has an end wherever relief and lower edge meet in a corner
    corners = Counter({what: seen.pop(what) for what in list(seen) if what.startswith(CHAMFER)})
    assert corners[f"{CHAMFER} high inside"] == corners[f"{CHAMFER} high outside"]
    # nothing was passed over: every end of the other seven windows on both sides
    assert seen == {
        f"{path} {end} {side}": locks
        for path in PATHS
        for end in ("low", "high")
        for side in ("inside", "outside")
    }


@pytest.mark.slow
def test_findings_begin_at_the_ends_of_far_off_locks() -> None:
    seen: Counter[str] = Counter()
    for seed in range(12):
        look_beside(stretched(seed).with_value("tooth.roof", "flat"), seen)
    told: Counter[str] = Counter()
    for what, count in seen.items():
        told[what.split()[-1]] += count
    # 12 locks, 20 windows, 2 ends: what could not be looked at stays the smaller part
    assert told["outside"] >= 330
    assert told["inside"] >= 260
    assert told["conflict"] >= 15
    assert told["superseded"] <= 5
    assert told["illegal"] <= 30


@pytest.mark.slow
def test_every_code_that_sets_an_end_is_met() -> None:
    met = {
        bound.code.name
        for seed in range(20)
        for make in (plausible, stretched)
        for window in windows(make(seed)).values()
        for bound, _ in ends(window)
    }
    assert met >= {
        "key-hits-wall", "bridge-thin", "spring-room", "foot-at-shank", "home-travel", "bolt-shallow",
        "bolt-at-shank", "front-guide-at-body", "front-guide-in-key-circle", "front-guide-at-shackle",
        "rear-guide-at-body", "rear-guide-in-key-circle", "tail-hits-wall", "lip-thin",
        "shackle-in-key-circle", "shackle-outside-wall", "key-fouls-bolt",
    }  # fmt: skip


NEAR = 2e-3
"""Tolerance [mm] of the shapely side: its circles and the program's walls are both chords."""


SLIVER = 5e-3
"""How much deeper than touching [mm] a leg hangs where a thin wedge of it in the bit is 1e-6 mm2, and a foul."""


@pytest.mark.slow
def test_what_sets_an_end_touches_there() -> None:
    seen: Counter[str] = Counter()
    ends_of: Counter[str] = Counter()
    for seed in range(20):
        lock = plausible(seed)
        for window in windows(lock).values():
            for bound, _ in ends(window):
                told = touching(lock, bound)
                assert told is not None, bound
                near = SLIVER if bound.path in LEGS else NEAR
                assert told[0] == pytest.approx(told[1], abs=near), (seed, bound)
                seen[bound.code.name] += 1
                ends_of[bound.path] += 1
    assert 20 < ends_of.pop(PICKUP) < 40
    assert ends_of.pop(CHAMFER) >= 3
    more = {path: ends_of.pop(path) for path in list(ends_of) if path not in PATHS}
    assert sum(more.values()) >= 20 * 12
    assert sum(ends_of.values()) == 20 * 14
    assert seen["key-fouls-bolt"] >= 4
    for code, least in {
        "key-hits-wall": 20, "spring-room": 20, "tail-hits-wall": 14, "shackle-outside-wall": 8,
        "shackle-in-key-circle": 4, "home-travel": 10, "bridge-thin": 25, "bolt-shallow": 20,
    }.items():  # fmt: skip
        assert seen[code] >= least, seen
