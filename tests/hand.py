"""How long a hand waits: a nudge, held against a bare program that repaints a text; the start; a report.

    python -m tests.hand [ROUNDS]

All run in this run, those that are held against one another in turns: what counts is their ratio, for the machine's own
speed is in both. The screens are pseudo-terminals of 120 by 40. The bare program is of the same toolkit and sends all
of its text at every key; a report is held against an import of the two libraries without which there is none. All are
compiled before, as installed programs are.
"""

import os
import re
import select
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from core.shipped import sample_locks
from tests.test_terminal import ROOT, Terminal
from tests.tui_driving import to_step

UP, DOWN, PAGE_DOWN, F9, BACK = b"\x1b[A", b"\x1b[B", b"\x1b[6~", b"\x1b[20~", b"\x1b[Z"
NUDGES = (UP, UP, DOWN)
QUIET = 0.4
"""How long [s] nothing comes before a key counts as worked off."""
SIZE = (40, 120)
DOTS = re.compile(rb"\xe2[\xa0-\xa3][\x80-\xbf]")
"""A cell of the drawing as it is sent: Unicode, Braille Patterns, in UTF-8."""
LEGEND = "⠂⠂⠂".encode()
"""What the last row of the first drawing has: its legend, the sample of a dotted line."""
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
    """What came of one key: [s] to the first byte, to the last of the drawing and to the last of all, and how many."""

    first: float
    drawn: float
    last: float
    size: int


def struck(terminal: Terminal, key: bytes) -> Stroke:
    """Press a key once nothing comes any more, and take in what it brings."""
    taken(terminal, QUIET)
    begun = time.monotonic()
    os.write(terminal.master, key)
    came: list[tuple[float, bytes]] = []
    while select.select([terminal.master], [], [], QUIET if came else 10)[0]:
        sent = os.read(terminal.master, 65536)
        came.append((time.monotonic() - begun, sent))
    drawn = max((at for at, sent in came if DOTS.search(sent)), default=came[0][0])
    return Stroke(came[0][0], drawn, came[-1][0], sum(len(sent) for _, sent in came))


def taken(terminal: Terminal, quiet: float) -> None:
    """Take in all that is still to come."""
    while select.select([terminal.master], [], [], quiet)[0]:
        os.read(terminal.master, 65536)


@dataclass(frozen=True)
class Strokes:
    """What came of keys in the bare program, of nudges, and of values that were typed and entered."""

    plain: list[Stroke]
    nudges: list[Stroke]
    entered: list[Stroke]


def in_turns(folder: Path, rounds: int) -> Strokes:
    """Press keys in the bare program, nudge the key's radius of a sample up, up and down, and enter others, in turns.

    So most values are new: what a nudge brings is worked out ahead, what is typed cannot be. All stay within what fits:
    beyond that the program looks for ways out besides, which takes it half a second.
    """
    path = shutil.copy(sample_locks()[0], folder / "lock.toml")
    came = Strokes([], [], [])
    with (
        Terminal(folder, size=SIZE, start=("-c", BARE)) as bare,
        Terminal(folder, str(path), size=SIZE) as program,
    ):
        bare.wait_for("!")
        program.wait_for("plate", "pivot")
        taken(program, 2 * QUIET)
        keys = {"f9": F9, "enter": b"\r"}
        for key in to_step("key radius"):
            struck(program, keys.get(key, key.encode()))
        struck(program, PAGE_DOWN)
        for _ in range(rounds):
            came.plain.extend(struck(bare, b"x") for _ in range(len(NUDGES)))
            came.nudges.extend(struck(program, key) for key in NUDGES)
        for number in range(rounds):
            for digit in f"19.{50 + number}":
                struck(program, digit.encode())
            came.entered.append(struck(program, b"\r"))
            struck(program, BACK)
    return came


@dataclass(frozen=True)
class Start:
    """How long [s] a program takes from its start to its first drawing, whole, and to the last byte of its screen.

    A program that draws nothing has drawn with its last byte.
    """

    drawn: float
    last: float


def started(folder: Path, *arguments: str, start: Sequence[str] = ("-m", "tui.command")) -> Start:
    """Start a program, and take in its first screen."""
    begun = last = time.monotonic()
    drawn, sent = 0.0, b""
    with Terminal(folder, *arguments, size=SIZE, start=start) as terminal:
        while select.select([terminal.master], [], [], 2 * QUIET if sent else 10)[0]:
            sent += os.read(terminal.master, 65536)
            last = time.monotonic()
            if not drawn and LEGEND in sent:
                drawn = last
    return Start((drawn or last) - begun, last - begun)


def ran(*arguments: str) -> float:
    """Return how long [s] Python takes for what the arguments say."""
    begun = time.monotonic()
    subprocess.run([sys.executable, *arguments], check=True, stdout=subprocess.DEVNULL, cwd=ROOT)
    return time.monotonic() - begun


def late(times: list[float]) -> float:
    """Return the time [s] within which 95 of 100 keys are worked off."""
    return statistics.quantiles(times, n=20)[-1]


def main() -> None:
    """Print the ratios."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 14
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path = str(shutil.copy(sample_locks()[0], folder / "at_start.toml"))
        kept = {"PYTHONDONTWRITEBYTECODE": "", "PYTHONPYCACHEPREFIX": str(folder / "compiled")}
        os.environ.update(kept)
        for _ in range(2):
            started(folder, path)
            ran("-m", "tui.command", "report", path)
        came = in_turns(folder, rounds)
        begins = [(started(folder, path), started(folder, start=("-c", BARE))) for _ in range(9)]
        reports = [
            (ran("-m", "tui.command", "report", path), ran("-c", "import numpy, shapely"))
            for _ in range(15)
        ]
    middle = statistics.median
    base = middle(stroke.last for stroke in came.plain)
    for told, strokes in (("nudges", came.nudges), ("values entered", came.entered)):
        print(f"{len(strokes)} {told}, in times the median of a bare repaint")
        for what, times in (
            ("first byte", [stroke.first for stroke in strokes]),
            ("drawing", [stroke.drawn for stroke in strokes]),
            ("findings", [stroke.last for stroke in strokes]),
        ):
            ratios = [each / base for each in times]
            print(f"  {what:10s} {middle(ratios):5.2f} at the median, {late(ratios):5.2f} at p95")
        print(f"  {middle(stroke.size for stroke in strokes):.0f} bytes")
    print(f"(the bare one itself {late([stroke.last / base for stroke in came.plain]):.2f} at p95)")
    bare = middle(its.last for _, its in begins)
    for what, mine in (
        ("start to the drawing", middle(mine.drawn for mine, _ in begins) / bare),
        ("start to the last byte", middle(mine.last for mine, _ in begins) / bare),
        ("report", middle(mine for mine, _ in reports) / middle(its for _, its in reports)),
    ):
        print(f"{what:22s} {mine:5.2f} times")


if __name__ == "__main__":
    main()
