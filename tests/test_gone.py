"""What a program stands on goes away: the terminal, the disk, the folder, the home, the time of the processor."""

import os
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from core.files.project_file import Project, load, save
from core.files.recovery import load_recovery
from core.lock.lock import Lock
from tests.counts import of_all
from tests.fault_table import proven
from tests.faulty import NOBODY
from tests.test_terminal import DOWN, F2, F10, OUT_OF, PATIENCE, ROOT, Terminal

LIMITED = """
import os, resource, sys
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv.pop(1)), resource.RLIM_INFINITY))
from tui.command import main
sys.exit(main())
"""
NOBODYS = """
import os, sys
from tui.command import main
import queue, filelock, tomlkit, tomli_w, tui.app, tui.start.screen, tui.work.screen
import textual.drivers.linux_driver, textual.widgets._input
if os.geteuid() == 0:
    os.setgroups([]), os.setgid(65534), os.setuid(65534)
sys.exit(main())
"""

IN_BETWEEN = """
import os, queue, signal, sys
class Handed(queue.Queue):
    def _put(self, item):
        super()._put(item)
        if os.path.exists("now"):
            os.remove("now")
            signal.raise_signal(signal.SIGTSTP)
import textual.drivers._writer_thread
textual.drivers._writer_thread.Queue = Handed
from tui.command import main
sys.exit(main())
"""
"""Stopped while what is to be sent is handed over to the thread that sends it."""
VIEW = b"\x1b[18~"
"""F7: it changes what is drawn, and nothing else."""


def of(folder: Path) -> Path:
    path = folder / "lock.toml"
    save(Project(None, Lock()), path, over=True)
    return path


def typed(terminal: Terminal, keys: bytes = b"\r81\r") -> int:
    """Type a width; return where the output goes on."""
    here = terminal.wait_for("step 1 of")
    terminal.send(keys)
    terminal.wait_for("changed since saved", after=here)
    return len(terminal.written)


def leave(terminal: Terminal, keys: bytes = F10) -> None:
    """Leave the lock by these keys, and then the program."""
    here = len(terminal.written)
    terminal.send(keys)
    terminal.wait_for("Enter open", after=here)
    terminal.send(F10)
    assert terminal.end() == 0
    assert "Traceback" not in terminal.plain()


def leave_unsaved(terminal: Terminal) -> None:
    """Leave the lock without saving it, and then the program."""
    here = len(terminal.written)
    terminal.send(F10)
    terminal.wait_for("Leave without saving", after=here)
    leave(terminal, DOWN + b"\r")


def copied(path: Path, width: float = 81.0) -> bool:
    """Wait for the recovery copy; say whether it holds the width."""
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        copy = load_recovery(path)
        if copy is not None and copy.lock is not None and copy.lock.plate.width == width:
            return True
        time.sleep(0.02)
    return False


def stopped_and_continued(folder: Path) -> None:
    """SIGSTOP and SIGCONT: it goes on where it was."""
    path = of(folder)
    with Terminal(folder, str(path)) as terminal:
        here = typed(terminal)
        for number in (signal.SIGSTOP, signal.SIGCONT):
            terminal.program.send_signal(number)
            time.sleep(0.3)
        terminal.send(b"95\r")
        terminal.wait_for("95", after=here)
        terminal.send(F2)
        terminal.wait_for("Saved in", after=here)
        leave(terminal)
    assert load(path).lock.plate.height == 95.0


def stopped_from_outside(folder: Path) -> None:
    """SIGTSTP and SIGCONT: the terminal is given back meanwhile, and nothing is lost."""
    _stopped(folder, lambda terminal: terminal.program.send_signal(signal.SIGTSTP))


def stopped_while_it_sends(folder: Path) -> None:
    """The same, in the very moment in which something is handed over to be sent."""

    def stop(terminal: Terminal) -> None:
        (folder / "now").touch()
        terminal.send(VIEW)

    _stopped(folder, stop, ("-c", IN_BETWEEN))


def _stopped(
    folder: Path, stop: Callable[[Terminal], None], start: Sequence[str] = ("-m", "tui.command")
) -> None:
    path = of(folder)
    with Terminal(folder, str(path), start=start) as terminal:
        typed(terminal)
        assert copied(path)
        stop(terminal)
        until = time.monotonic() + PATIENCE
        while OUT_OF not in terminal.written and time.monotonic() < until:
            terminal.read()
        time.sleep(0.5)
        here = len(terminal.written)
        terminal.program.send_signal(signal.SIGCONT)
        terminal.wait_for("step 1 of", after=here)
        terminal.send(b"95\r" + F2)
        terminal.wait_for("Saved in", after=here)
        terminal.program.send_signal(signal.SIGTERM)
        assert terminal.end() == 128 + signal.SIGTERM
    assert load(path).lock.plate.height == 95.0


def ctrl_z_takes_back(folder: Path) -> None:
    """Ctrl+Z is a key like any other: the program does not stop."""
    path = of(folder)
    with Terminal(folder, str(path)) as terminal:
        here = typed(terminal)
        terminal.send(b"\x1a")
        terminal.wait_for("Taken back", after=here)
        assert terminal.program.poll() is None
        leave(terminal)
    assert load_recovery(path) is None


def closed_terminal(folder: Path) -> None:
    """The terminal's window is closed: the program ends, and what was entered and typed is in its copy."""
    # it has no controlling terminal here, so that the window's own signal is sent by hand
    _closed(folder, lambda terminal: terminal.program.send_signal(signal.SIGHUP))


def closed_terminal_without_a_word(folder: Path) -> None:
    """The terminal is gone and no signal comes: the same, and nothing is left to keep the processor busy."""
    _closed(folder, lambda _: None)


def _closed(folder: Path, tell: Callable[[Terminal], None]) -> None:
    path = of(folder)
    terminal = Terminal(folder, str(path))
    typed(terminal)
    assert copied(path)
    here = len(terminal.written)
    terminal.send(b"93.5")
    terminal.wait_for("93.5", after=here)
    os.close(terminal.slave)
    os.close(terminal.master)
    tell(terminal)
    terminal.program.wait(PATIENCE)
    copy = load_recovery(path)
    assert copy is not None
    assert copy.lock is not None
    assert (copy.lock.plate.width, copy.lock.plate.height) == (81.0, 93.5)
    assert load(path).lock == Lock()


def full_disk(folder: Path) -> None:
    """No file may grow: it is said once that there is no copy, and that the lock is not saved; both are as before."""
    path = of(folder)
    before = path.read_bytes()
    # by a limit on the size of files, which gives EFBIG where a full disk gives ENOSPC
    with Terminal(folder, str(path), start=("-c", LIMITED, "1000")) as terminal:
        here = typed(terminal)
        terminal.wait_for("recovery")
        terminal.send(F2)
        terminal.wait_for("allowed", "lost", after=here)
        leave_unsaved(terminal)
    assert path.read_bytes() == before
    assert sorted(p.name for p in folder.iterdir()) == ["lock.toml"]


def full_disk_at_a_signal(folder: Path) -> None:
    """What could not be kept is said on the terminal when the program is stopped."""
    path = of(folder)
    with Terminal(folder, str(path), start=("-c", LIMITED, "1000")) as terminal:
        typed(terminal)
        terminal.wait_for("recovery")
        terminal.program.send_signal(signal.SIGTERM)
        assert terminal.end() == 128 + signal.SIGTERM
        said = " ".join(terminal.plain(terminal.written.index(OUT_OF)).split())
        assert "boltwright: The recovery copy" in said
        assert "was not written" in said


def read_only_folder(folder: Path) -> None:
    """A folder that nobody may write in: it opens, and says what cannot be kept."""
    path = of(folder)
    above = folder
    while above != Path("/tmp") and above != above.parent:  # noqa: S108 - pytest's own folders are closed to others
        above.chmod(0o755)
        above = above.parent
    path.chmod(0o666)
    folder.chmod(0o555)
    try:
        with Terminal(folder, str(path), start=("-c", NOBODYS)) as terminal:
            here = typed(terminal)
            terminal.wait_for("recovery")
            terminal.send(F2)
            terminal.wait_for("lost", after=here)
            leave_unsaved(terminal)
    finally:
        folder.chmod(0o755)
    assert load(path).lock == Lock()
    assert sorted(p.name for p in folder.iterdir()) == ["lock.toml"]


def folder_taken_away(folder: Path) -> None:
    """The folder itself is taken away while a new lock is laid out in it."""
    place = folder / "place"
    place.mkdir()
    path = of(place)
    with Terminal(place, str(path)) as terminal:
        here = typed(terminal)
        assert copied(path)
        for left in place.iterdir():
            left.unlink()
        place.rmdir()
        terminal.send(b"95\r" + F2)
        terminal.wait_for("folder", "lost", after=here)
        assert terminal.program.poll() is None
        place.mkdir()
        terminal.send(F2)
        terminal.wait_for("Saved in", after=here)
        terminal.program.send_signal(signal.SIGTERM)
        terminal.end()
    assert load(path).lock.plate.height == 95.0


def no_home(folder: Path) -> None:
    """No home folder: a name that begins with ~ is refused, one without is taken."""
    path = of(folder)
    with Terminal(folder, str(path), HOME="/nowhere/at/all", XDG_RUNTIME_DIR="") as terminal:
        here = typed(terminal)
        path.write_text(path.read_text() + "\n")
        here = terminal.wait_for(
            "somebody", after=here
        )  # or the news would take the refusal's place
        terminal.send(F2)
        here = terminal.wait_for("Write over it", after=here)
        terminal.send(DOWN + b"\r")
        here = terminal.wait_for("Name of the file", after=here)
        terminal.send(b"~nobody-of-this-name/x\r")
        here = terminal.wait_for("begins with ~", after=here)
        terminal.send(b"\x1b[1;2H\x1b[3~.\r")
        here = terminal.wait_for("name of a folder", after=here)
        terminal.send(b"\x1b[1;2H\x1b[3~~/x\r")
        terminal.wait_for("folder", "lost", after=here)
        terminal.send(F2)
        here = terminal.wait_for("Write over it", after=here)
        terminal.send(b"\r")
        terminal.wait_for("Saved in", after=here)
        leave(terminal)
    assert load(path).lock.plate.width == 81.0


CASES: tuple[Callable[[Path], None], ...] = (
    stopped_and_continued, stopped_from_outside, stopped_while_it_sends, ctrl_z_takes_back, closed_terminal,
    closed_terminal_without_a_word, full_disk, full_disk_at_a_signal, read_only_folder, folder_taken_away, no_home,
)  # fmt: skip


@pytest.mark.parametrize(
    "case",
    of_all([full_disk, closed_terminal_without_a_word, no_home], 1),
    ids=lambda case: case.__name__,
)
@pytest.mark.slow
def test_nothing_is_lost_when(tmp_path: Path, case: Callable[[Path], None]) -> None:
    case(tmp_path)


@pytest.mark.slow
def test_nothing_is_lost_whatever_goes(tmp_path: Path) -> None:
    for number, case in enumerate(CASES):
        (tmp_path / f"{number}").mkdir()
        case(tmp_path / f"{number}")
    proven("a program stopped, its terminal closed, its folder or disk or home gone", len(CASES), 0)


@pytest.mark.parametrize("closed", ["<&-", ">&-", "2>&-", "<&- >&- 2>&-"])
@pytest.mark.parametrize(
    "words", of_all(["report none.toml", "", "report projects/boathouse.toml"], 1)
)
@pytest.mark.slow
def test_closed_streams_are_borne(closed: str, words: str) -> None:
    done = subprocess.run(
        ["/bin/sh", "-c", f'"{sys.executable}" -m tui.command {words} {closed}'],
        capture_output=True, cwd=ROOT, stdin=subprocess.DEVNULL, check=False,
    )  # fmt: skip
    assert b"Traceback" not in done.stderr
    prints = words.startswith("report projects") and ">&-" not in closed.replace("2>&-", "")
    assert done.returncode == (0 if prints else 2)


def test_the_limit_is_a_limit() -> None:
    assert resource.getrlimit(resource.RLIMIT_FSIZE)[0] == resource.RLIM_INFINITY
    assert NOBODY == 65534
