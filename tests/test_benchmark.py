"""Speed, told by pytest-benchmark, and asserted only as ratios within one run.

No test fails because a machine is slow or busy. Run the timings with
`pytest --benchmark-enable tests/test_benchmark.py`.
"""

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

LOCKS = {
    "demo": Lock(),
    "oval": plausible(1, outline="oval", early=False, roof="flat"),
    "traced": plausible(4, outline="traced", early=True, roof="flat"),
}
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
