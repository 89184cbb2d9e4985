"""The program in a real terminal: a pseudo-terminal of the system, with nothing of the toolkit between."""

import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Sequence
from pathlib import Path

import pytest

from core.files.project_file import Project, load, save
from core.files.recovery import load_recovery
from core.lock.lock import Lock
from core.shipped import sample_locks
from tests.counts import of_all

ROOT = Path(__file__).resolve().parent.parent
# keys as xterm sends them: Xterm Control Sequences, "PC-Style Function Keys"
F2, F6, F10, DOWN, PAGE_UP = b"\x1bOQ", b"\x1b[17~", b"\x1b[21~", b"\x1b[B", b"\x1b[5~"
# private modes of the same document: 1049 is the other screen, 25 the cursor, 1000 the mouse
INTO, OUT_OF, CURSOR_ON = b"\x1b[?1049h", b"\x1b[?1049l", b"\x1b[?25h"
DEMO = load(sample_locks()[0]).lock.title
# what would tell the program of a terminal that is not its own; readline, which a test worker loads, sets the size
OURS = {"NO_COLOR", "COLORTERM", "COLORFGBG", "COLUMNS", "LINES"}
PATIENCE = 90.0  # [s] a loaded machine is slow; a test that passes never waits so long


class Terminal:
    """A program in a terminal of its own."""

    def __init__(
        self,
        folder: Path,
        *arguments: str,
        size: tuple[int, int] = (24, 80),
        start: Sequence[str] = ("-m", "tui.command"),
        **environment: str,
    ) -> None:
        """Start the program, by `start` in place of the usual way."""
        self.master, self.slave = pty.openpty()
        fcntl.ioctl(self.slave, termios.TIOCSWINSZ, struct.pack("HHHH", *size, 0, 0))
        self.modes = termios.tcgetattr(self.slave)
        kept = {k: v for k, v in os.environ.items() if k not in OURS}
        self.program = subprocess.Popen(
            [sys.executable, *start, *arguments],
            stdin=self.slave, stdout=self.slave, stderr=self.slave, cwd=folder,
            env=kept | {"TERM": "xterm-256color", "PYTHONPATH": str(ROOT)} | environment,
            process_group=0,  # of the same session, whose share of a busy machine it has
        )  # fmt: skip
        self.written = b""

    def __enter__(self) -> "Terminal":
        return self

    def __exit__(self, *_: object) -> None:
        if self.program.poll() is None:
            self.program.kill()
        self.program.wait()
        os.close(self.master)
        os.close(self.slave)

    def read(self, seconds: float = 0.05) -> None:
        """Take in what the program writes."""
        if select.select([self.master], [], [], seconds)[0]:
            self.written += os.read(self.master, 65536)

    def wait_for(self, *texts: str, after: int = 0) -> int:
        """Wait until every text has been written after a place in the output; return its end."""
        until = time.monotonic() + PATIENCE
        while not all(text in self.plain(after) for text in texts):
            assert time.monotonic() < until, f"{texts} not seen in {self.plain(after)[-3000:]!r}"
            assert self.program.poll() is None, self.plain(after)[-3000:]
            self.read()
        return len(self.written)

    def plain(self, after: int = 0) -> str:
        """Return what was written, without what moves the cursor or sets colours."""
        text = self.written[after:].decode("utf-8", "replace")
        return re.sub(r"\x1b\[[0-9;?<>=]*[ -/]*[@-~]|\x1b[@-Z\\-_]", "", text)

    def send(self, keys: bytes) -> None:
        """Send keys, all at once."""
        os.write(self.master, keys)

    def end(self) -> int:
        """Read on until the program has ended, and return its exit code."""
        until = time.monotonic() + PATIENCE
        while self.program.poll() is None:
            assert time.monotonic() < until, "the program does not end"
            self.read()
        while select.select([self.master], [], [], 0.05)[0]:
            self.written += os.read(self.master, 65536)
        return self.program.returncode

    def assert_as_before(self) -> None:
        """Check that the terminal is left as it was found."""
        assert self.written.count(INTO) == self.written.count(OUT_OF) == 1
        after = self.written[self.written.index(OUT_OF) :]
        assert CURSOR_ON in self.written
        assert self.written.rindex(CURSOR_ON) > self.written.rindex(INTO)
        assert b"\x1b[?1000h" not in after
        assert b"\x1b[?1000l" in self.written
        assert termios.tcgetattr(self.slave) == self.modes


def test_from_nothing_to_a_saved_lock_in_a_real_terminal(tmp_path: Path) -> None:
    with Terminal(tmp_path) as terminal:
        terminal.wait_for("New lock in millimetres", DEMO)
        assert INTO in terminal.written
        rows = terminal.plain()
        before = rows[: rows.index("New lock in millimetres")]
        terminal.send(DOWN * (before.count("demo") + before.count("Guided first lock")))
        here = len(terminal.written)
        terminal.send(b"\r")
        here = terminal.wait_for("propose", after=here)
        terminal.send(F6)
        here = terminal.wait_for("to spare at", after=here)
        terminal.send(b"\r")
        here = terminal.wait_for("Plate", "step 1 of", after=here)
        # outline as it is; width; height put right while typing, in one go as a paste comes in
        terminal.send(b"\r80\r9x\x7f5\r")
        here = terminal.wait_for("straight side", after=here)
        terminal.send(F2)
        here = terminal.wait_for("Name of the file", after=here)
        terminal.send(b"journey\r")
        here = terminal.wait_for("Saved in journey.toml", after=here)
        terminal.send(F10)
        terminal.wait_for("Enter open", after=here)
        terminal.send(F10)
        assert terminal.end() == 0
        terminal.assert_as_before()
    lock = load(tmp_path / "journey.toml").lock
    assert (lock.plate.width, lock.plate.height) == (80.0, 95.0)
    assert load_recovery(tmp_path) is None


SIGNALS = pytest.mark.parametrize(
    "number", of_all([signal.SIGTERM, signal.SIGHUP, signal.SIGINT], 1)
)


@SIGNALS
@pytest.mark.slow
def test_what_is_typed_and_not_entered_is_in_the_copy_after_a_signal(
    tmp_path: Path, number: signal.Signals
) -> None:
    file = tmp_path / "lock.toml"
    save(Project(None, Lock()), file)
    with Terminal(tmp_path, str(file)) as terminal:
        here = terminal.wait_for("step 1 of")
        terminal.send(b"\r8")
        terminal.wait_for("8", after=here)
        terminal.send(b"1.25")
        terminal.wait_for("1.25", after=here)
        terminal.program.send_signal(number)
        assert terminal.end() == 128 + number
        terminal.assert_as_before()
    assert load(file).lock == Lock()
    copy = load_recovery(file)
    assert copy is not None
    assert copy.lock is not None
    assert copy.typed is not None
    assert (copy.lock.plate.width, copy.typed.text) == (81.25, "81.25")


@SIGNALS
@pytest.mark.slow
def test_a_signal_leaves_the_terminal_as_it_was_and_the_work_in_its_copy(
    tmp_path: Path, number: signal.Signals
) -> None:
    file = tmp_path / "lock.toml"
    save(Project(None, Lock()), file)
    with Terminal(tmp_path, str(file)) as terminal:
        here = terminal.wait_for("step 1 of")
        terminal.send(b"\r81\r")
        terminal.wait_for("changed since saved", after=here)
        until = time.monotonic() + PATIENCE
        while load_recovery(file) is None and time.monotonic() < until:
            terminal.read()
        terminal.program.send_signal(number)
        assert terminal.end() == 128 + number
        terminal.assert_as_before()
    assert load(file).lock == Lock()
    copy = load_recovery(file)
    assert copy is not None
    assert copy.lock is not None
    assert copy.lock.plate.width == 81.0


@pytest.mark.slow
def test_a_file_that_is_no_lock_is_refused_in_one_line_without_a_screen(tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text("[plate]\nwidth = -1\n")
    with Terminal(tmp_path, "bad.toml") as terminal:
        assert terminal.end() == 2
        assert INTO not in terminal.written
        assert "width" in terminal.plain()
        assert "Traceback" not in terminal.plain()


def colours(written: bytes) -> list[str]:
    """Return the parameters of all colour settings: ECMA-48, SGR."""
    return re.findall(r"\x1b\[([0-9;]*)m", written.decode("utf-8", "replace"))


@pytest.mark.slow
def test_sixteen_colours_are_enough(tmp_path: Path) -> None:
    with Terminal(tmp_path, TERM="xterm-16color") as terminal:
        terminal.wait_for(DEMO, "Enter")
        terminal.send(F10)
        assert terminal.end() == 0
        assert colours(terminal.written)
        assert not any("38;2" in c or "38;5" in c or "48;2" in c for c in colours(terminal.written))


COLOUR = re.compile(r"(?:^|;)(?:[34][0-9]|9[0-7]|10[0-7])(?:;|$)")
"""A colour in the parameters of SGR: ECMA-48, 8.3.117; 90 to 107 as xterm has them (its ctlseqs page; memory)."""


@pytest.mark.slow
@pytest.mark.parametrize("term", ["xterm-256color", "xterm-16color", "linux"])
@pytest.mark.first(1)
def test_no_color_sends_no_colour_and_all_can_be_read(tmp_path: Path, term: str) -> None:
    save(Project(None, Lock().with_value("key.radius", 25.0)), tmp_path / "lock.toml")
    with Terminal(
        tmp_path, "lock.toml", NO_COLOR="1", COLORTERM="truecolor", TERM=term
    ) as terminal:
        here = terminal.wait_for("width", "x stop", "Enter")
        for keys, words in (
            (b"\r8", "width"), (b"\x1b[17~", "mend it"), (b"\x1b[20~", "go there"), (b"\x1b[15~", "unlocking"),
            (b"\x1bOP", "Search for"), (b"\x1b", "unlocking"), (b"\x14", ""), (b"\x1b", "width"),
        ):  # fmt: skip
            terminal.send(keys)
            here = terminal.wait_for(words, after=here) if words else here
        terminal.send(F10 + DOWN + b"\r")
        terminal.wait_for("Enter open", after=here)
        terminal.send(F10)
        assert terminal.end() == 0
    sent = colours(terminal.written)
    assert sent
    assert not [codes for codes in sent if COLOUR.search(codes)]
    # the step at hand, the finding at the cursor and the line at the cursor of a list are reversed
    assert any(codes.split(";").count("7") for codes in sent)
    # WCAG 2.1: letters in the terminal's own colours, on its own ground, which the maker has chosen to read by
    assert COLOUR.search("38;5;1")
    assert COLOUR.search("1;97")
    assert not COLOUR.search("1;7")


@pytest.mark.parametrize("size", [(20, 60), (5, 20)])
@pytest.mark.first(1)
def test_it_starts_in_a_terminal_of_any_size(tmp_path: Path, size: tuple[int, int]) -> None:
    with Terminal(tmp_path, size=size) as terminal:
        terminal.wait_for("boltwright")
        terminal.send(F10)
        assert terminal.end() == 0
        terminal.assert_as_before()
