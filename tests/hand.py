"""How long a nudge takes from the key to the last byte on the screen, held against a bare program that repaints a text.

    python -m tests.hand

Both run in this run, in a pseudo-terminal of 120 by 40, one after the other: what counts is their ratio, for the
machine's own speed is in both. The bare one is of the same toolkit and sends all of its text at every key.
"""

import os
import select
import shutil
import statistics
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from core.shipped import sample_locks
from tests.test_terminal import Terminal
from tests.tui_driving import to_step

UP, DOWN, F9 = b"\x1b[A", b"\x1b[B", b"\x1b[20~"
QUIET = 0.4
"""How long [s] nothing comes before a key counts as worked off."""
SIZE = (40, 120)
BARE = """
from textual.app import App
from textual.widgets import Static

class Bare(App):
    turn = 0

    def text(self):
        row = lambda y: "".join(chr(97 + (7 * y + 3 * x + self.turn) % 26) for x in range(119))
        return "\\n".join(map(row, range(39))) + "!"

    def compose(self):
        yield Static(self.text())

    def on_key(self):
        self.turn += 1
        self.query_one(Static).update(self.text())

Bare().run()
"""


@dataclass(frozen=True)
class Stroke:
    """What came of one key: [s] to the first and to the last byte, and how many there were."""

    first: float
    last: float
    size: int


def struck(terminal: Terminal, key: bytes) -> Stroke:
    """Press a key once nothing comes any more, and take in what it brings."""
    taken(terminal, QUIET)
    begun = time.monotonic()
    os.write(terminal.master, key)
    times: list[float] = []
    size = 0
    while select.select([terminal.master], [], [], QUIET if times else 10)[0]:
        size += len(os.read(terminal.master, 65536))
        times.append(time.monotonic() - begun)
    return Stroke(times[0], times[-1], size)


def taken(terminal: Terminal, quiet: float) -> None:
    """Take in all that is still to come."""
    while select.select([terminal.master], [], [], quiet)[0]:
        os.read(terminal.master, 65536)


def bare(count: int, folder: Path) -> list[Stroke]:
    """Press keys in the bare program."""
    with Terminal(folder, size=SIZE, start=("-c", BARE)) as terminal:
        terminal.wait_for("!")
        return [struck(terminal, b"x") for _ in range(count)]


def nudges(count: int, folder: Path) -> list[Stroke]:
    """Nudge the key's radius of a sample up, up and down, so that most values are new."""
    path = shutil.copy(sample_locks()[0], folder / "lock.toml")
    with Terminal(folder, str(path), size=SIZE) as terminal:
        terminal.wait_for("plate", "pivot")
        taken(terminal, 2 * QUIET)
        keys = {"f9": F9, "enter": b"\r"}
        for key in to_step("key radius"):
            struck(terminal, keys.get(key, key.encode()))
        return [struck(terminal, (UP, UP, DOWN)[number % 3]) for number in range(count)]


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        both = {"bare text": bare(30, folder), "nudge": nudges(30, folder)}
    middle = {
        which: [statistics.median(t) for t in zip(*((s.first, s.last) for s in found), strict=True)]
        for which, found in both.items()
    }
    for which, found in both.items():
        first, last = (a / b for a, b in zip(middle[which], middle["bare text"], strict=True))
        size = statistics.median(stroke.size for stroke in found)
        print(
            f"{which:10s} first byte {first:5.1f}, last byte {last:5.1f} times; {size:6.0f} bytes"
        )


if __name__ == "__main__":
    main()
