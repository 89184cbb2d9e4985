"""The key's turn in a real terminal: a pseudo-terminal of the system plays it from key-in to key-out."""

import re
import shutil
import time
from pathlib import Path

import pytest

from core.shipped import sample_locks
from tests.test_terminal import F10, PATIENCE, Terminal

# a key as xterm sends it: Xterm Control Sequences, "PC-Style Function Keys"
F5 = b"\x1b[15~"
SAMPLES = {path.stem: path for path in sample_locks()}
ANGLE = re.compile(r"(-?[0-9]+\.[0-9])°")


def turning(folder: Path, name: str, size: tuple[int, int]) -> tuple[Terminal, int]:
    """Start the program on a sample lock, at its key's turn; return the terminal and where it begins."""
    file = shutil.copy(SAMPLES[name], folder / f"{name}.toml")
    terminal = Terminal(folder, str(file), size=size)
    here = terminal.wait_for("step 1 of")
    terminal.send(F5)
    return terminal, terminal.wait_for("coming up", "torque, N m", after=here)


@pytest.mark.parametrize(
    "size", [(24, 80), pytest.param((40, 120), marks=pytest.mark.slow)], ids=["80x24", "120x40"]
)
@pytest.mark.slow
def test_a_whole_turn_plays(tmp_path: Path, size: tuple[int, int]) -> None:
    terminal, here = turning(tmp_path, "boathouse", size)
    with terminal:
        terminal.send(b" ")
        terminal.wait_for("driving", "drawn home", "180.0° key-out", after=here)
        played = terminal.plain(here)
        order = [played.index(word) for word in ("driving", "drawn home", "180.0° key-out")]
        assert order == sorted(order)
        # a slow machine may leave frames out, but the turn is seen to happen
        angles = [float(found) for found in ANGLE.findall(played)]
        assert len({angle for angle in angles if -180 < angle < 180}) > 20
        assert len(angles) > 30
        here = len(terminal.written)
        terminal.send(b"\x1b")
        terminal.wait_for("step 1 of", after=here)
        terminal.send(F10)
        here = len(terminal.written)
        terminal.wait_for("Enter open", after=here)
        terminal.send(F10)
        assert terminal.end() == 0
        terminal.assert_as_before()


@pytest.mark.slow
def test_it_stops_where_the_key_fouls(tmp_path: Path) -> None:
    terminal, here = turning(tmp_path, "pump_house", (24, 80))
    with terminal:
        terminal.send(b" ")
        terminal.wait_for("FOULS", "6.5", "stopped", "Space: on all the same.", after=here)
        # nothing moves any more: the clock is stopped
        terminal.read(0.3)
        while True:
            before = len(terminal.written)
            terminal.read(0.5)
            if len(terminal.written) == before:
                break
        here = before
        terminal.send(b" ")
        terminal.wait_for("180.0° key-out", after=here)
        terminal.send(F10)
        terminal.wait_for("Enter open", after=here)
        terminal.send(F10)
        assert terminal.end() == 0
        terminal.assert_as_before()


@pytest.mark.slow
def test_it_can_be_left_while_it_plays(tmp_path: Path) -> None:
    terminal, _ = turning(tmp_path, "boathouse", (24, 80))
    with terminal:
        terminal.send(b" ")
        until = time.monotonic() + PATIENCE
        while "turning" not in terminal.plain() and time.monotonic() < until:
            terminal.read()
        here = len(terminal.written)
        terminal.send(F10)
        terminal.wait_for("Enter open", after=here)
        terminal.send(F10)
        assert terminal.end() == 0
        terminal.assert_as_before()
        assert "Traceback" not in terminal.plain()
