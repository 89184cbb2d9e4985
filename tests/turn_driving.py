"""What the tests of the turn view share: sample locks, and what the core works out for what is shown."""

import shutil

import pytest

from core.files.project_file import Project, load, save
from core.shipped import sample_locks
from core.systems import show_force, show_torque
from core.turning.follow import moment
from tests.loaded_locks import changed

SAMPLES = {path.stem: path for path in sample_locks()}
HANDS = pytest.mark.parametrize("hand", ["right", pytest.param("left", marks=pytest.mark.slow)])
"""That a lock of the other hand is the mirror image is held without the toolkit."""


def sample(folder, name, **values):
    """Copy a sample lock, with some values of its own if there are any, and return its path."""
    if not values:
        return shutil.copy(SAMPLES[name], folder / f"{name}.toml")
    lock = changed(load(SAMPLES[name]).lock, **values)
    return save(Project(None, lock), folder / f"{name}.toml").path


def words(driver):
    return driver.words("#readings")


def now(driver, condition="clean"):
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
        low, high = (write(end, turn.layout.lock.units) for end in values[condition])
        unit = high[high.index(" ") :]
        forces[name] = low if low == high else f"{low.removesuffix(unit)} to {high}"
    return there, forces
