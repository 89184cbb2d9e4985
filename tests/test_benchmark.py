"""Speed, told by pytest-benchmark, and asserted only as ratios within one run.

No test fails because a machine is slow or busy. Run the timings with
`pytest --benchmark-enable tests/test_benchmark.py`, and see the ratios with `pytest -n 0 -s tests/test_benchmark.py`.
"""

import itertools
from collections.abc import Callable
from time import process_time
from typing import Any

import numpy as np
import pytest

from core.checks import gathered
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.actual import ActualParts, as_planned, carried
from core.mechanism.filed_parts import FiledParts, come_to
from core.mechanism.law import STROKES
from core.mechanism.sweep import STEP
from core.mechanism.tooth_numbers import ToothOf, tooth_from
from core.parts.bolt_contour import bolt, bolt_area
from core.parts.plate import rim_area
from core.propose.limits import limits
from core.propose.locks import Locks
from core.propose.proposals import proposals
from core.propose.room_map import room_map
from core.report.data import report
from core.spread.filed_sizes import Plan, plan_of
from core.spread.study import draw, made, study
from core.turning.turn_check import check_turn, turn_check
from tests.designs import plausible
from tests.held_locks import held
from tests.locks import posted
from tests.plates import zigzag
from tui.desk.checking import checking
from tui.plot.views import upright

LOCKS = {
    "demo": Lock(),
    "oval": plausible(1, outline="oval", early=False, roof="flat"),
    "traced": plausible(4, outline="traced", early=True, roof="flat"),
}
TRACED = Lock().with_value("plate.outline", "traced")
EACH = pytest.mark.parametrize("lock", LOCKS.values(), ids=LOCKS)


@EACH
def test_report(benchmark: Any, lock: Lock) -> None:
    said = benchmark(lambda: report(Layout(lock)))
    assert said["format"] == 1


@EACH
def test_windows(benchmark: Any, lock: Lock) -> None:
    # what has to be ready at every prompt
    found = benchmark(lambda: gathered.windows(Layout(lock)))
    assert "key.radius" in found


@EACH
def test_turn_check(benchmark: Any, lock: Lock) -> None:
    check = benchmark(lambda: turn_check(Layout(lock)))
    assert check.least_gap >= 0


def least(work: Callable[[], object], rounds: int = 5) -> float:
    """Return the least processor time [s] of several rounds: what the work itself takes."""
    times = []
    for _ in range(rounds):
        start = process_time()
        work()
        times.append(process_time() - start)
    return min(times)


def edit(lock: Lock) -> None:
    """Do what one entry at a prompt asks for: the drawing at once, then windows and findings."""
    layout = Layout(lock)
    upright(layout)
    gathered.windows(layout)
    gathered.findings(layout)


@pytest.mark.parametrize("points", [0, 100, 1000])
@pytest.mark.slow
def test_one_entry(benchmark: Any, points: int) -> None:
    lock = TRACED.with_value("plate.points", zigzag(points)) if points else Lock()
    radii = itertools.cycle([19.9, 20.0])
    benchmark(lambda: edit(lock.with_value("key.radius", next(radii))))


@pytest.mark.slow
def test_ten_times_the_traced_corners_cost_far_less_than_a_hundred_times() -> None:
    # a plate is worked out once, and everything else about it in n log n
    few, many = (TRACED.with_value("plate.points", zigzag(points)) for points in (100, 1000))
    for lock in (few, many):
        edit(lock)
    once = least(lambda: edit(few.with_value("key.radius", 19.9)))
    assert least(lambda: edit(many.with_value("key.radius", 19.9))) < 5 * once


def test_what_is_worked_out_is_kept() -> None:
    # a prompt, the drawing and the findings ask one layout for the same things
    layout = Layout(LOCKS["oval"])
    first = least(lambda: gathered.findings(layout), rounds=1)
    again = least(lambda: gathered.findings(layout))
    assert again < first / 50


@pytest.mark.slow
def test_halving_the_step_costs_no_more_than_the_steps() -> None:
    # the check is linear in its steps: whole turns are arrays, nothing is worked out twice
    layout = Layout(LOCKS["demo"])
    for ready in (bolt, bolt_area, rim_area):
        ready(layout)
    once = least(lambda: check_turn(layout, STEP))
    halved = least(lambda: check_turn(layout, STEP / 4))
    assert halved < 8 * once


def test_what_fits_at_a_prompt_costs_no_turn_of_the_key() -> None:
    # it stands beside the prompt; the turn check may come after it
    lock = LOCKS["demo"]

    def fits() -> None:
        next(filter(None, checking(Layout(lock), (), ("key.radius",))))

    assert least(fits) < least(lambda: turn_check(Layout(lock)))


def ratio(work: Callable[[], object], yardstick: Callable[[], object], what: str) -> float:
    """Return how much of the yardstick's time the work takes, both in turns, and print it."""
    rounds = [(least(work), least(yardstick)) for _ in range(3)]
    mine, its = min(mine for mine, _ in rounds), min(its for _, its in rounds)
    print(f"\n{what}: {mine / its:.2f}")  # noqa: T201 - a ratio is shown, not only held
    return mine / its


TOOTH = ("radius", "bit", "clearance", "throw", "pickup_angle", "bolt_line", "depth")
LOW, HIGH = (15, 2, 0.1, 6, 0.0, 28, 8), (30, 4, 0.5, 16, 0.3, 34, 16)
OUTCOMES = (
    "driven_travel", "home_travel", "release_angle", "gap_width", "bridge", "flank_foot", "pickup_offset", "reason",
)  # fmt: skip


def outcomes(cut: ToothOf[Any]) -> list[Any]:
    return [getattr(cut, name) for name in OUTCOMES]


def test_a_thousand_teeth_cost_no_more_than_fifty_single_ones() -> None:
    sizes = np.random.default_rng(1).uniform(LOW, HIGH, (1000, len(TOOTH))).T
    every = dict(zip(TOOTH, sizes, strict=True))
    singles = [dict(zip(TOOTH, row, strict=True)) for row in sizes.T[:50].tolist()]

    def thousand() -> None:
        for _ in range(20):
            outcomes(tooth_from(**every))

    def fifty() -> None:
        for _ in range(20):
            for one in singles:
                outcomes(tooth_from(**one))

    assert ratio(thousand, fifty, "a thousand teeth to fifty single ones") <= 1


@pytest.mark.slow
def test_a_hundred_thousand_actual_locks_cost_no_more_than_five_thousand_single_ones() -> None:
    rng = np.random.default_rng(2)
    plan = as_planned(
        tooth_from(
            radius=20.0,
            bit=3.0,
            clearance=0.2,
            throw=9.5,
            pickup_angle=0.0,
            bolt_line=24.0,
            depth=10.0,
        )
    )
    sizes = np.array(list(vars(plan).values()))[:, None] + rng.normal(
        0, 0.05, (len(vars(plan)), 100_000)
    )
    every = ActualParts(*sizes)
    singles = [ActualParts(*row) for row in sizes.T[:5000].tolist()]

    def both_ways(parts: ActualParts[Any]) -> None:
        for stroke in STROKES:
            carried(parts, stroke)

    def one_by_one() -> None:
        for parts in singles:
            both_ways(parts)

    what = "a hundred thousand actual locks to five thousand single ones"
    assert ratio(lambda: both_ways(every), one_by_one, what) <= 1


def spread_of_the_demo() -> tuple[Plan, int]:
    plan = plan_of(Layout(LOCKS["demo"]))
    assert plan is not None
    return plan, len(plan.sizes)


@pytest.mark.parametrize(("law", "each"), [("anywhere", 1), ("mostly near", 2)])
@pytest.mark.slow
def test_a_spread_costs_few_times_its_draws(law: str, each: int) -> None:
    # a hundred thousand locks, both strokes, against drawing their numbers and one square root of each
    plan, sizes = spread_of_the_demo()

    def bare() -> None:
        np.sqrt(np.random.default_rng(1).random((each * sizes, 100_000)))

    what = f"a hundred thousand locks ({law}) to drawing their numbers, a root of each"
    assert ratio(lambda: study(plan, law), bare, what) <= 6


@pytest.mark.slow
def test_a_spread_is_fifty_times_faster_than_a_plain_loop() -> None:
    plan, sizes = spread_of_the_demo()
    drawn = draw(np.random.default_rng(1), "anywhere", sizes, 2000)
    rows = [
        FiledParts(*row)
        for row in np.array(list(vars(made(plan.sizes, drawn)).values())).T.tolist()
    ]

    def loop() -> None:
        for parts in rows:
            found = come_to(parts, plan.drawn)
            all(limit.spare(found) >= 0 for limit in plan.limits)

    # a fiftieth of the locks one by one
    what = "a hundred thousand locks to two thousand single ones"
    assert ratio(lambda: study(plan, "anywhere"), loop, what) <= 1


def test_a_map_costs_no_more_than_forty_single_places() -> None:
    lock = LOCKS["demo"]
    room_map(lock)  # the plate's wall is worked out once
    singles = [lock.with_value("key.radius", 18.0 + 0.1 * n) for n in range(40)]

    def forty() -> None:
        for one in singles:
            limits(Locks(one, {}))

    assert ratio(lambda: room_map(lock), forty, "a map of 60 x 40 to forty single places") <= 1


@pytest.mark.slow
def test_a_map_with_notches_and_posts_costs_no_more_than_ten_checks_of_one_lock() -> None:
    lock = posted((0.0, -26.0), (8.0, -25.0), lock=held())
    room_map(lock)  # the plate's wall is worked out once

    def ten() -> None:
        for _ in range(10):
            gathered.findings(Layout(lock))

    what = "a map of 60 x 40 with notches and posts to ten checks of one lock"
    assert ratio(lambda: room_map(lock), ten, what) <= 1


@pytest.mark.slow
def test_proposals_cost_no_more_than_sixty_checks_of_one_lock() -> None:
    # some thirty: each remedy is tried on a lock of its own, and nothing worked out for another lock serves it
    lock = LOCKS["demo"]

    def one() -> None:
        gathered.findings(Layout(lock))

    assert ratio(lambda: proposals(lock), one, "proposals to one lock's findings") <= 60


@pytest.mark.slow
def test_proposals_where_the_centreline_leans_cost_no_more_than_five_where_it_stands() -> None:
    # some one and a half: each pivot sees the wall turned by an angle of its own, and no table of it serves two of them
    lock = plausible(3, outline="oval")
    stands = lock.with_value("pivot.across", 0.0)
    assert lock.pivot.across != 0.0
    what = "proposals where the centreline leans to those where it stands upright"
    assert ratio(lambda: proposals(lock), lambda: proposals(stands), what) <= 5
