"""Every function key and its twin with Ctrl, as terminals send them: over a pseudo-terminal, in tmux and in screen.

Source of what a terminal sends for F1 to F12: its entry in the system's terminfo (X/Open Curses, `kf1` to `kf12`).
"""

import curses
import os
import shlex
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

import pytest

from core.files.project_file import Project, load, save
from core.lock.lock import Lock
from tests.test_terminal import PATIENCE, ROOT, Terminal
from tui.keys.common import AFTER, BEFORE, DONE, FOUND, GO, HELP, LOOK, OUT, TURN, VIEW
from tui.keys.of_work import ROWS
from tui.steps.walk import all_steps

POSTS = next(str(n) for n, step in enumerate(all_steps(), start=1) if step.name == "posts")
JOURNEY = (
    ("f4", "never held by"), ("f3", "take off the burr"), ("f4", "never held by"), ("f5", "pick-up"), ("f5", "nudge"),
    ("f6", "mend it"), ("escape", "nudge"), ("f7", "View: "), ("f8", "closer, farther"), ("escape", "nudge"),
    ("f1", "Search for"), ("f1", "nudge"), ("f2", "Saved in lock.toml"), ("f9", "go there"),
    *((digit, "") for digit in POSTS), ("enter", "Posts"), ("ctrl+f", "added where"), ("f11", "is a copy of"),
    ("f12", "Another name for"), ("escape", "nudge"), ("f10", "changes that are not saved"),
)  # fmt: skip
"""Keys, and what each brings on the screen; the last one asks whether to leave."""
TWINS = {keys[0]: keys[1] for keys in (HELP, DONE, BEFORE, AFTER, TURN, FOUND, VIEW, LOOK, GO, OUT)}
TWINS |= {
    key: next(k for k in act.keys if k.startswith("ctrl+"))
    for act in ROWS.acts
    for key in act.keys
    if key in ("f11", "f12")
}


def sent(key: str, term: str) -> bytes:
    """Return what a terminal sends for a key."""
    if key.startswith("ctrl+"):
        return bytes([ord(key[-1]) - ord("a") + 1])
    if key in ("enter", "escape") or len(key) == 1:
        return {"enter": b"\r", "escape": b"\x1b"}.get(key, key.encode())
    # in a process of its own: a program has one entry of terminfo, once and for all
    asked = f"import curses; curses.setupterm({term!r}); print(curses.tigetstr('k{key}').hex())"
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    return bytes.fromhex(done.stdout.strip())


def lock_in(folder: Path) -> Path:
    path = folder / "lock.toml"
    save(Project(None, Lock()), path)
    return path


def known(term: str) -> bool:
    """Say whether the system has an entry for a terminal."""
    asked = f"import curses; curses.setupterm({term!r})"
    return (
        subprocess.run([sys.executable, "-c", asked], check=False, capture_output=True).returncode
        == 0
    )


@pytest.mark.parametrize(
    ("term", "named"),
    [
        (term, named)
        for term in ("linux", "screen", "tmux-256color", "xterm-256color")
        for named in ("f", "ctrl")
    ],
)
@pytest.mark.slow
def test_every_function_key_and_its_twin_do_what_they_say(
    tmp_path: Path, term: str, named: str
) -> None:
    if not known(term):
        pytest.skip(f"the system's terminfo knows no {term}")
    path = lock_in(tmp_path)
    with Terminal(tmp_path, path.name, TERM=term) as terminal:
        here = terminal.wait_for("outline", "Enter")
        for key, words in JOURNEY:
            terminal.send(sent(TWINS.get(key, key) if named == "ctrl" else key, term))
            here = terminal.wait_for(words, after=here) if words else here
            let_go(key)
    assert load(path).lock == Lock()


@pytest.mark.slow
def test_alt_with_a_letter_is_no_letter_that_is_typed(tmp_path: Path) -> None:
    # a terminal sends Esc and the letter: Xterm Control Sequences, "Alt and Meta Keys"
    path = lock_in(tmp_path)
    with Terminal(tmp_path, path.name) as terminal:
        here = terminal.wait_for("outline", "Enter")
        terminal.send(b"\x1bm")
        here = terminal.wait_for("most room", after=here)
    assert load(path).lock == Lock()


def test_the_journey_presses_every_function_key() -> None:
    assert set(TWINS) == {f"f{number}" for number in range(1, 13)}
    assert set(TWINS) <= {key for key, _ in JOURNEY}
    assert curses.version  # the library whose entries are read


@pytest.mark.slow
@pytest.mark.parametrize("named", ["f", "ctrl"])
def test_they_do_so_in_a_real_tmux(tmp_path: Path, named: str) -> None:
    tmux = shutil.which("tmux")
    if tmux is None:
        pytest.skip("tmux is not installed")
    path = lock_in(tmp_path)
    own = [tmux, "-f", "/dev/null", "-S", str(tmp_path / "socket")]
    program = f"env PYTHONPATH={shlex.quote(str(ROOT))} {shlex.quote(sys.executable)} -m tui.command {path.name}"
    told = {"enter": "Enter", "escape": "Escape"}

    def ask(*words: str) -> str:
        return subprocess.run([*own, *words], capture_output=True, text=True, check=True).stdout

    def press(key: str) -> None:
        named = key.replace("ctrl+", "C-").replace("f", "F", key[1:2].isdigit())
        ask("send-keys", told.get(key, named))

    ask("new-session", "-d", "-x", "80", "-y", "24", "-c", str(tmp_path), program)
    try:
        gone_through(press, lambda: ask("capture-pane", "-p"), named)
    finally:
        ask("kill-server")
    assert load(path).lock == Lock()


@pytest.mark.slow
@pytest.mark.parametrize("named", ["f", "ctrl"])
def test_they_do_so_in_a_real_screen(tmp_path: Path, named: str) -> None:
    # GNU screen turns what the terminal about it sends into keys of its own; Ctrl+A is its command key, and Ctrl+A a
    # sends a Ctrl+A on (its manual, "Default Key Bindings")
    screen = shutil.which("screen")
    if screen is None:
        pytest.skip("screen is not installed")
    path, picture = lock_in(tmp_path), tmp_path / "hardcopy"
    own = [screen, "-c", "/dev/null", "-S", "keys"]
    command = [*own, "-T", "screen", "-U", sys.executable, "-m", "tui.command", path.name]
    start = ("-c", f"import os; os.execv({screen!r}, {command!r})")
    # a path of a socket takes some hundred letters
    with tempfile.TemporaryDirectory() as sockets, ExitStack() as after:
        kept = os.environ | {"SCREENDIR": sockets}

        def ask(*words: str) -> None:
            subprocess.run([*own, "-X", *words], env=kept, check=False, capture_output=True)

        def shown() -> str:
            terminal.read(0.0)
            ask("hardcopy", str(picture))
            return picture.read_text("utf-8", "replace") if picture.exists() else ""

        def press(key: str) -> None:
            if key == "escape":
                # from outside, screen 4.09 was seen to hold an Esc by itself back until another key comes
                ask("stuff", "\\033")
                return
            keys = sent(key, "xterm-256color")
            terminal.send(b"\x01a" if keys == b"\x01" else keys)

        terminal = after.enter_context(Terminal(tmp_path, start=start, SCREENDIR=sockets))
        after.callback(ask, "quit")
        gone_through(press, shown, named)
    assert load(path).lock == Lock()


def gone_through(press: Callable[[str], None], screen: Callable[[], str], named: str) -> None:
    """Go the journey by function keys or by their twins."""
    seen(screen, "outline")
    for key, words in JOURNEY:
        press(TWINS.get(key, key) if named == "ctrl" else key)
        seen(screen, words)
        let_go(key)


def let_go(key: str) -> None:
    """Wait until an escape can no longer be the beginning of what another key sends."""
    if key == "escape":
        time.sleep(1.0)


def seen(screen: Callable[[], str], words: str) -> None:
    """Wait until words stand on a screen."""
    until = time.monotonic() + PATIENCE
    while words not in screen():
        assert time.monotonic() < until, f"{words!r} not seen in {screen()}"
        time.sleep(0.05)
