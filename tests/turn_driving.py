"""What the tests of the turn view share: sample locks, and what the core works out for what is shown."""

import shutil
from pathlib import Path
from typing import Any

import pytest

from core.files.project_file import Project, load, save
from core.shipped import sample_locks
from core.systems import show_force, show_torque
from core.turning.follow import Moment, moment
from tests.loaded_locks import changed
from tests.sure import sure
from tests.tui_driving import Driver

SAMPLES = {path.stem: path for path in sample_locks()}
HANDS = pytest.mark.parametrize("hand", ["right", pytest.param("left", marks=pytest.mark.slow)])
"""That a lock of the other hand is the mirror image is held without the toolkit."""


def sample(folder: Path, name: str, **values: Any) -> Path:
    """Copy a sample lock, with some values of its own if there are any, and return its path."""
    if not values:
        return Path(shutil.copy(SAMPLES[name], folder / f"{name}.toml"))
    lock = changed(load(SAMPLES[name]).lock, **values)
    return sure(save(Project(None, lock), folder / f"{name}.toml").path)


def words(driver: Driver) -> str:
    return driver.words("#readings")


def now(driver: Driver, condition: str = "clean") -> tuple[Moment, dict[str, str]]:
    """Return what the core works out for the turn on the screen, as pairs of texts."""
    turn = driver.screen.turn
    there = moment(turn.layout, turn.angle, turn.stroke)
    show = {
        "torque": (there.torque, show_torque),
        "on flank": (there.flank_force, show_force),
        "front guide": (there.front_reaction, show_force),
        "rear guide": (there.rear_reaction, show_force),
    }
    forces = {}
    for name, (values, write) in show.items():
        low, high = (write(sure(end), turn.layout.lock.units) for end in values[condition])
        unit = high[high.index(" ") :]
        forces[name] = low if low == high else f"{low.removesuffix(unit)} to {high}"
    return there, forces
