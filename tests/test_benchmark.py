"""Speed, told by pytest-benchmark, and asserted only as ratios within one run.

No test fails because a machine is slow or busy. Run the timings with
`pytest --benchmark-enable tests/test_benchmark.py`.
"""

import itertools
from collections.abc import Callable
from time import process_time
from typing import Any

import pytest

from core.checks import gathered
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.sweep import STEP
from core.parts.bolt_contour import bolt, bolt_area
from core.parts.plate import rim_area
from core.report.data import report
from core.turning.turn import check_turn, turn_check
from tests.designs import plausible
from tests.plates import zigzag
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
def test_one_entry(benchmark: Any, points: int) -> None:
    lock = TRACED.with_value("plate.points", zigzag(points)) if points else Lock()
    radii = itertools.cycle([19.9, 20.0])
    benchmark(lambda: edit(lock.with_value("key.radius", next(radii))))


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


def test_halving_the_step_costs_no_more_than_the_steps() -> None:
    # the check is linear in its steps: whole turns are arrays, nothing is worked out twice
    layout = Layout(LOCKS["demo"])
    for ready in (bolt, bolt_area, rim_area):
        ready(layout)
    once = least(lambda: check_turn(layout, STEP))
    halved = least(lambda: check_turn(layout, STEP / 4))
    assert halved < 8 * once


def test_windows_cost_no_turn_of_the_key() -> None:
    # the windows stand beside a prompt; the turn check may come after them
    lock = LOCKS["demo"]
    assert least(lambda: gathered.windows(Layout(lock))) < least(lambda: turn_check(Layout(lock)))
