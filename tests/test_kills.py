"""A program killed while it saves: what it said it had saved is there, whole, and the next one goes on."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.counts import tries
from tests.fault_table import proven
from tests.killed import PHASES

ROOT = Path(__file__).parents[1]


def killed(count: int, seed: int) -> tuple[list[str], dict[str, int], int]:
    """Kill a program so often; return what was lost, the kills by phase, and how many left a temporary file."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.killed", str(count), str(seed)],
        capture_output=True, cwd=ROOT, text=True, check=True,
    )  # fmt: skip
    found = json.loads(done.stdout)
    assert sum(found["phases"].values()) == count
    return found["lost"], found["phases"], found["left"]


@pytest.mark.slow
def test_a_program_killed_at_any_moment_loses_nothing() -> None:
    lost, phases, _ = killed(tries(15, 40), 1)
    assert lost == []
    assert len(phases) > tries(3, 8)


@pytest.mark.slow
def test_a_thousand_kills_in_every_phase_of_a_save() -> None:
    lost, phases, left = killed(1000, 2)
    assert lost == []
    for phase in PHASES:
        for when in ("before", "after"):
            assert phases.get(f"{phase}, {when}", 0) >= 8, (phase, when, phases)
    assert left > 50  # and the next save swept them away
    proven("program killed (-9) while it saves", 1000, len(lost))
