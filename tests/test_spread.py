"""The spread of a lock: its draws, moments, worst case and advice, against other libraries, loops and brute force."""

import itertools
import math
from collections.abc import Sequence
from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest
from scipy import stats
from uncertainties import ufloat, umath

from core.layout.layout import Layout
from core.lock.lock import Lock
from core.lock.made import Made
from core.mechanism.filed_parts import FiledParts, Outcomes, come_to
from core.spread.filed_sizes import Plan, Size, plan_of
from core.spread.holding_advice import MOVES, STEPS, WANTED, costs, holds, moved, places
from core.spread.study import draw, spare, study, working
from core.spread.whole import Spreading, spreading
from core.spread.worst import worst
from tests.counts import seeds
from tests.designs import plausible
from tests.loaded_locks import changed

DEMO = Lock()
LAWS = ("anywhere", "mostly near")


def plan(lock: Lock) -> Plan:
    found = plan_of(Layout(lock))
    assert found is not None
    return found


def whole(lock: Lock, locks: int = 20_000, seed: int = 1) -> Spreading:
    return list(spreading(Layout(lock), locks, seed))[-1]


# the draws


@pytest.mark.parametrize(
    ("law", "wanted"),
    [("anywhere", stats.uniform(-1, 2)), ("mostly near", stats.triang(0.5, -1, 2))],
)
def test_draws_follow_their_law(law: str, wanted: Any) -> None:
    # Kolmogorov and Smirnov's test by scipy.stats, each of 16 sizes; the seed is fixed, so is the outcome
    drawn = draw(np.random.default_rng(7), law, 16, 20_000)
    assert drawn.shape == (16, 20_000)
    assert np.abs(drawn).max() <= 1
    chances = [stats.kstest(row, wanted.cdf).pvalue for row in drawn]
    assert min(chances) > 0.01 / len(chances)
    apart = np.asarray(np.corrcoef(drawn))[~np.eye(16, dtype=bool)]
    assert np.abs(apart).max() < 5 / math.sqrt(20_000)


def test_the_same_seed_gives_the_same_locks() -> None:
    of = plan(DEMO)
    one, again, other = (study(of, "anywhere", 25_000, seed) for seed in (3, 3, 4))
    for field in fields(Outcomes):
        assert (getattr(one.found, field.name) == getattr(again.found, field.name)).all()
    assert (one.found.clearance != other.found.clearance).all()
    assert (one.works == again.works).all()


def test_a_study_is_the_same_as_a_plain_loop() -> None:
    for lock in (DEMO, plausible(3, early=True), plausible(4, shallow=True)):
        of = plan(lock)
        for law in LAWS:
            found = study(of, law, 400, 5)
            drawn = draw(np.random.default_rng(5), law, len(of.sizes), 400)
            works = 0
            for k in range(400):
                parts = FiledParts(
                    *(
                        size.plan + size.plus_minus * float(at)
                        for size, at in zip(of.sizes, drawn[:, k], strict=True)
                    )
                )
                one = come_to(parts, of.drawn)
                for field in fields(Outcomes):
                    wanted = getattr(one, field.name)
                    assert getattr(found.found, field.name)[k] == pytest.approx(wanted, abs=1e-12)
                good = all(
                    limit.way * (getattr(one, limit.outcome) - limit.value) >= -1e-9
                    for limit in of.limits
                )
                assert bool(found.works[k]) is good
                works += good
            assert found.share == works / 400


# moments


def first_order(lock: Lock, off: float) -> dict[str, Any]:
    """Return outcomes by `uncertainties`: their own formulas, every size off by `off` in its deviation."""
    cut = plan(lock).drawn.lobe.tooth

    def size(value: float) -> Any:
        return ufloat(value, off)

    radius, along, up, lift = size(lock.key.radius), size(0), size(0), ufloat(0, off)
    flank, back, seats = size(cut.pickup_offset), size(cut.flank), size(cut.throw)
    reliefs = [size(cut.relief_radius) for _ in range(2)]
    nose, face, roof = size(lock.shackle.engagement), size(0), size(cut.relief_radius)
    foot = umath.sqrt(reliefs[0] ** 2 - (cut.throw + flank) ** 2)
    back_foot = umath.sqrt(reliefs[1] ** 2 - back**2)
    driven = umath.sqrt(radius**2 - (foot - up + lift) ** 2) - (flank - along)
    locking = umath.sqrt(radius**2 - (back_foot - up + lift) ** 2) - (back - seats + along)
    low = size(cut.lower_edge)
    corner = umath.sqrt(reliefs[1] ** 2 - low**2)
    shut_out = corner + along - umath.sqrt(radius**2 - (low - up + lift) ** 2)
    return {
        "unlocking_driven": driven, "locking_driven": locking, "unlocking_home": seats - driven,
        "locking_home": seats - locking, "locked_shut_out": shut_out, "engagement": nose + face,
        "gap": seats - nose - face, "bridge": cut.bolt_line - roof,
    }  # fmt: skip


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("law", LAWS)
def test_moments_for_small_tolerances(seed: int, law: str) -> None:
    # `uncertainties` carries deviations to first order; anywhere in +-t they are t / sqrt(3), by a triangle t / sqrt(6)
    held = 1e-3
    lock = plausible(seed, early=False, shallow=False, roof="flat")
    # a shank with room on every side, so that the play is never cut off at nothing
    lock = changed(lock, pivot__hole=lock.key.shank, spread__filed=held, fit__slide_clearance=held)
    of = plan(lock)
    loose = tuple(
        replace(s, plus_minus=0.0) if s.name in ("shank", "hole") else s for s in of.sizes
    )
    found = study(replace(of, sizes=loose), law, 100_000, 11).found
    if not of.drawn.lobe.cornered:
        pytest.skip("the relief runs out in the lobe's side")
    for name, wanted in first_order(lock, held / math.sqrt(3 if law == "anywhere" else 6)).items():
        values = getattr(found, name)
        # a deviation of so many draws is known to 1 %, a mean to three of its own deviations
        assert values.std() == pytest.approx(wanted.std_dev, rel=0.01), name
        error = 4 * wanted.std_dev / math.sqrt(len(values)) + 1e-5
        assert values.mean() == pytest.approx(wanted.nominal_value, abs=error), name


# the worst case


CORNERED = {
    "demo": DEMO, "early": plausible(1, early=True), "shallow": plausible(2, shallow=True),
    "late": plausible(5, early=False), "left": plausible(9, unlocks="left"),
}  # fmt: skip


@pytest.mark.parametrize("lock", CORNERED.values(), ids=CORNERED)
@pytest.mark.first(2)
def test_worst_case_is_the_worst_of_all_corners(lock: Lock) -> None:
    of = plan(lock)
    ends = np.array(list(itertools.product((-1.0, 1.0), repeat=len(of.sizes)))).T
    off, middle = (
        np.array([[getattr(size, name)] for size in of.sizes]) for name in ("plus_minus", "plan")
    )
    found = come_to(FiledParts(*(middle + off * ends)), of.drawn)
    for limit in of.limits:
        corners = getattr(found, limit.outcome) * limit.way
        assert worst(of, limit) * limit.way == pytest.approx(float(corners.min()), abs=1e-9)
        drawn = getattr(study(of, "anywhere", 20_000).found, limit.outcome) * limit.way
        assert drawn.min() >= corners.min() - 1e-9


# what sizes are held to


def test_sizes_are_held_to_the_makers_figure_or_the_class_of_the_standard() -> None:
    # ISO 2768-1, as its table is printed: medium +-0.1 up to 6 mm, 0.2 up to 30; coarse 0.2, 0.3, 0.5 up to 30
    of = {size.name: size for size in plan(changed(DEMO, spread__rule="medium")).sizes}
    held = {name: of[name].plus_minus for name in ("radius", "bit", "shank", "seats", "nose")}
    assert held == {"radius": 0.2, "bit": 0.1, "shank": 0.1, "seats": 0.2, "nose": 0.2}
    coarse = {size.name: size for size in plan(changed(DEMO, spread__rule="coarse")).sizes}
    assert (coarse["radius"].plus_minus, coarse["bit"].plus_minus, coarse["shank"].plus_minus) == (
        0.5,
        0.2,
        0.3,
    )
    own = changed(DEMO, spread__rule="medium", spread__circle=0.05)
    assert plan(own).sizes[0].plus_minus == 0.2
    assert plan(changed(own, spread__figures="some")).sizes[0].plus_minus == 0.05
    assert {size.plus_minus for size in plan(changed(DEMO, spread__filed=0.07)).sizes[:-1]} == {
        0.07
    }
    assert plan(changed(DEMO, fit__slide_clearance=0.3)).sizes[-1].plus_minus == 0.3


def test_a_flank_is_held_to_the_class_of_the_gap_that_it_is_measured_over() -> None:
    # ISO 2768-1, as its table is printed: medium +-0.1 up to 6 mm, 0.2 up to 30, 0.3 up to 120; by hand: the gap is the
    # throw and the bit, 5 + 3, or 28 + 3, though a flank alone stands less than 6 or 30 from the pivot
    for engagement, gap, held_to in ((3.5, 1.5, 0.2), (26.0, 2.0, 0.3)):
        values = {"shackle.engagement": engagement, "shackle.gap": gap, "key.radius": 30.0}
        lock = DEMO.with_value("spread.rule", "medium")
        for path, value in values.items():
            lock = lock.with_value(path, value)
        assert lock.key.bit_thickness == 3.0
        of = {size.name: size.plus_minus for size in plan(lock).sizes}
        assert (of["unlocking_flank"], of["locking_flank"]) == (held_to, held_to)


def test_what_was_measured_is_as_measured() -> None:
    made = Made("key", (("key.radius", 20.0),), (("key.radius", 19.7),))
    of = plan(replace(DEMO, made=(made,)))
    radius = of.sizes[0]
    assert (radius.plan, radius.plus_minus, radius.free) == (19.7, 0.0, False)
    # the bolt is filed for the key that there is
    assert of.drawn.lobe.tooth.relief_radius == pytest.approx(19.9)


def test_a_bolt_that_is_made_stays_as_it_was_filed() -> None:
    bolt = Made("bolt", (("key.radius", 20.0), ("fit.key_clearance", 0.2)), ())
    of = plan(replace(changed(DEMO, key__radius=19.7), made=(bolt,)))
    assert of.sizes[0].plan == 19.7
    assert of.drawn.lobe.tooth.relief_radius == pytest.approx(20.2)
    # the design's sensitivities: a key of 19.7 on that bolt drives 8.5524
    found = come_to(FiledParts(*(size.plan for size in of.sizes)), of.drawn)
    assert found.unlocking_driven == pytest.approx(8.5524, abs=5e-5)


# advice


def test_what_a_size_costs_is_what_would_work_without_it() -> None:
    now = study(plan(DEMO), "anywhere")
    found = costs(now)
    assert [cost.share for cost in found] == sorted((cost.share for cost in found), reverse=True)
    assert sum(cost.part for cost in found) == pytest.approx(1)
    assert found[0].size.name == "radius"
    for cost in (found[0], found[3], found[-1]):
        exact = changed(DEMO, spread__figures="some")
        if cost.size.name in ("radius", "bit"):
            figure = {"radius": "spread__circle", "bit": "spread__bit"}[cost.size.name]
            exact = changed(exact, **{figure: 1e-3})
            assert study(plan(exact), "anywhere", 100_000, 2).share - now.share == pytest.approx(
                cost.share, abs=0.006
            )


@pytest.mark.parametrize("seed", seeds(3, 6))
@pytest.mark.first(1)
def test_held_so_as_many_work_as_is_said(seed: int) -> None:
    # another seed and five times as many locks: a share of 99 % of 20,000 is known to 0.2 %
    lock = DEMO if seed == 0 else plausible(seed, early=False, roof="flat")
    now = study(plan(lock), "anywhere")
    before = 0.0
    for hold in holds(now, costs(now), lock.units):
        assert hold.share >= WANTED
        names = {size.name for size in hold.held}
        sizes = tuple(
            replace(s, plus_minus=hold.to if s.name in names else hold.rest)
            if s.free and s.plus_minus
            else s
            for s in now.plan.sizes
        )
        again = study(replace(now.plan, sizes=sizes), "anywhere", 100_000, 77)
        assert again.share == pytest.approx(hold.share, abs=0.003)
        assert hold.rest > max(before, hold.to)
        before = hold.rest
    # two of these plans lie so near a limit that the closest that is advised, 0.02, does not save them
    assert (before > 0) is (seed not in (2, 5))


def test_the_six_dearest_sizes_at_most_are_to_be_held_closely(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # nobody measures more than a handful of sizes for the sake of the rest; common practice, no source
    now = study(plan(DEMO), "anywhere", 400)
    dearest, tried = costs(now), list[tuple[str, ...]]()
    free = [cost.size.name for cost in dearest if cost.size.free]

    def none(_: object, held: Sequence[Size], rest: Sequence[str], *__: object) -> None:
        tried.append(tuple(size.name for size in held))
        assert [*tried[-1], *rest] == free

    monkeypatch.setattr("core.spread.holding_advice._hold", none)
    assert list(holds(now, dearest, "mm")) == []
    assert tried == [tuple(free[:many]) for many in range(7)]
    tried.clear()
    few = [cost for cost in dearest if cost.size.name in free[:2] or not cost.size.free]
    free = free[:2]
    assert list(holds(now, few, "mm")) == []
    assert tried == [(), (free[0],), (free[0], free[1])]


def test_sizes_are_advised_in_preferred_numbers() -> None:
    # the most rounded preferred numbers, series R"10 of ISO 3 (memory), in hundredths of a mm
    preferred = (1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8)
    assert set(STEPS) <= {
        round(10**power * number, 6) for power in range(3) for number in preferred
    }
    assert list(STEPS) == sorted(set(STEPS))


@pytest.mark.slow
def test_the_best_place_is_the_brute_force_grids() -> None:
    for lock in (DEMO, *(plausible(seed, early=False, roof="flat") for seed in range(2))):
        now = study(plan(lock), "anywhere")
        found = {place.what: place for place in places(now, "mm")}
        for what, names in MOVES:
            grid = {
                by: study(replace(now.plan, sizes=moved(now.plan.sizes, names, by)), "anywhere", 20_000, 9).share
                for by in np.linspace(-0.3, 0.3, 13).tolist()
            }  # fmt: skip
            best = max(grid.values())
            if what in found:
                assert found[what].share > best - 0.02
            else:
                assert best < grid[0.0] + 0.02


# the whole of it


def test_works_is_keeping_every_limit() -> None:
    found = study(plan(DEMO), "anywhere", 30_000)
    none = np.ones(30_000, dtype=bool)
    for limit in found.plan.limits:
        none &= spare(limit, found.found) >= -1e-9
    assert (working(found.plan, found.found) == none).all()
    assert found.share == none.mean()
    assert found.fails["clearance"] == max(found.fails.values())
    assert found.tightest.outcome == "clearance"
