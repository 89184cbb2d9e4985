"""The command line, run as a person runs it; in a process of its own where that matters."""

import importlib
import json
import os
import pkgutil
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from core.files.project_file import Project, save
from core.lock.lock import Lock
from core.shipped import sample_locks
from tests.command_line import ROOT, boltwright, refusal
from tui import commands

SAMPLE = sample_locks()[0]


def started(*words: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """Run a command in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "tui.command", *words],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        cwd=ROOT,
        env={**os.environ, **environment},
        check=False,
    )


def no_constant(name: str) -> None:
    raise AssertionError(f"{name} is no JSON (RFC 8259, section 6)")


@pytest.fixture
def stopped(tmp_path: Path) -> Path:
    """A lock that cannot work: a bolt line so low that the key cuts through the bolt."""
    path = tmp_path / "stopped.toml"
    save(Project(None, Lock().with_value("bolt_line.height", 15)), path)
    return path


def test_report_is_text() -> None:
    done = started("report", str(SAMPLE))
    assert (done.returncode, done.stderr) == (0, b"")
    text = done.stdout.decode()
    assert text.splitlines()[0]
    assert text.replace("\n", "").isprintable()


def test_report_as_data() -> None:
    done = boltwright("report", str(SAMPLE), "--json")
    assert (done.returncode, done.stderr) == (0, b"")
    data = json.loads(done.stdout, parse_constant=no_constant)
    # the keys that scripts rely on
    assert {"format", "title", "unlocks", "tooth", "plate", "centreline", "windows"} < set(data)
    assert {"turn", "bolt", "marking", "findings"} < set(data)
    assert [f for f in data["findings"] if f["level"] == "stop"] == []


@pytest.mark.parametrize("option", [(), ("--json",)], ids=["text", "data"])
def test_a_finding_that_stops_the_lock_gives_1(stopped: Path, option: tuple[str, ...]) -> None:
    done = boltwright("report", str(stopped), *option)
    assert (done.returncode, done.stderr) == (1, b"")
    assert done.stdout


@pytest.mark.parametrize("option", [(), ("--json",)], ids=["text", "data"])
def test_a_file_that_cannot_be_read_gives_2_and_one_line(
    tmp_path: Path, option: tuple[str, ...]
) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text("[key]\nradius = -20\n")
    line = refusal(boltwright("report", str(bad), *option))
    assert str(bad) in line
    assert "key.radius = -20" in line
    assert "0.01 to 2000 mm" in line
    assert "no such file" in refusal(boltwright("report", str(tmp_path / "none.toml"), *option))
    assert "a folder" in refusal(boltwright("report", str(tmp_path), *option))


def test_notes_on_the_file_are_findings(tmp_path: Path) -> None:
    path = tmp_path / "short.toml"
    path.write_text("format = 1\nbow = 3\n")
    data = json.loads(boltwright("report", str(path), "--json").stdout)
    assert {"default-taken", "unknown-key"} <= {finding["code"] for finding in data["findings"]}


def test_no_control_character_of_a_file_reaches_the_terminal(tmp_path: Path) -> None:
    path = tmp_path / "a\x1b[2J\nb.toml"
    title = "Gate \x1b]0;x\x07 \x9b2J \x7f \u202e \r end"
    save(Project(None, Lock(title=title, notes=title)), path)
    done = boltwright("report", str(path))
    assert done.stdout.decode().replace("\n", "").isprintable()
    done = boltwright("report", str(path), "--json")
    assert done.stdout.decode().replace("\n", "").isprintable()
    assert json.loads(done.stdout)["title"] == title  # whole for a script, harmless for an eye
    path.write_text(f'"{title.encode("unicode_escape").decode()}" =')
    assert "not TOML" in refusal(boltwright("report", str(path)))
    assert "--help" in refusal(boltwright("report", str(path), title))


@pytest.mark.slow
def test_a_reader_that_goes_away_is_no_fault(stopped: Path) -> None:
    for path, code in ((SAMPLE, 0), (stopped, 1)):
        reading, writing = os.pipe()
        os.close(reading)
        done = subprocess.run(
            [sys.executable, "-m", "tui.command", "report", str(path)],
            stdout=writing,
            stderr=subprocess.PIPE,
            cwd=ROOT,
            check=False,
        )
        os.close(writing)
        assert (done.returncode, done.stderr) == (code, b"")


def test_a_full_disk_is_told() -> None:
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "tui.command", "report", str(SAMPLE)],
            stdout=full,
            stderr=subprocess.PIPE,
            cwd=ROOT,
            check=False,
        )
    assert done.returncode == 2
    assert done.stderr.count(b"\n") == 1
    assert b"not written whole" in done.stderr


def test_a_terminal_without_our_letters_gets_question_marks(tmp_path: Path) -> None:
    path = tmp_path / "lock.toml"
    save(Project(None, Lock(title="Gartentür")), path)
    done = started("report", str(path), PYTHONIOENCODING="ascii")
    assert done.stderr == b""
    assert b"Gartent?r" in done.stdout


def test_the_report_loads_no_screen_toolkit() -> None:
    script = (
        "import sys\nfrom tui.command import main\n"
        f"assert main(['report', {str(SAMPLE)!r}]) == 0\n"
        "sys.exit(' '.join({'textual', 'rich', 'plotext', 'tomlkit'} & set(sys.modules)) or None)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, cwd=ROOT, check=False
    )
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.parametrize("words", [(), ("demo",), (str(SAMPLE),)], ids=["none", "demo", "file"])
def test_without_a_screen_it_points_at_the_report(words: tuple[str, ...]) -> None:
    line = refusal(boltwright(*words))
    assert "boltwright report" in line


@pytest.mark.parametrize("terminal", ["dumb", "unknown", ""])
def test_a_terminal_that_cannot_show_a_screen_is_refused(terminal: str) -> None:
    ours, theirs = pty.openpty()
    done = subprocess.run(
        [sys.executable, "-m", "tui.command", str(SAMPLE)],
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        cwd=ROOT,
        env={**os.environ, "TERM": terminal},
        check=False,
        timeout=60,
    )
    os.close(theirs)
    said = os.read(ours, 10_000).decode()
    os.close(ours)
    assert done.returncode == 2
    assert said.strip().isprintable()
    assert f"boltwright report {SAMPLE}" in said


def test_a_file_named_like_a_command_can_be_opened(tmp_path: Path) -> None:
    (tmp_path / "report").write_bytes(SAMPLE.read_bytes())
    line = refusal(boltwright("./report", cwd=tmp_path))
    assert "no screen" in line  # it was taken for a file to open on one
    assert "FILE; see boltwright report --help" in refusal(boltwright("report", cwd=tmp_path))
    assert boltwright("report", "report", cwd=tmp_path).returncode == 0


def test_the_commands_are_what_the_modules_are() -> None:
    told = boltwright("--help").stdout.decode()
    names = [m.name for m in pkgutil.iter_modules(commands.__path__) if m.name[0] != "_"]
    assert "report" in names
    for name in names:
        command = importlib.import_module(f"{commands.__name__}.{name}")
        assert name.replace("_", "-") == command.NAME
        assert f"  {command.NAME}" in told
        assert command.HELP in told
        own = boltwright(command.NAME, "--help")
        assert own.returncode == 0
        assert command.HELP in own.stdout.decode().replace("\n", " ").lower()
    assert len(told.splitlines()) < 20 + len(names)


def test_version() -> None:
    done = boltwright("--version")
    assert done.returncode == 0
    assert done.stdout.startswith(b"boltwright ")


def test_words_that_mean_nothing_are_refused_in_one_line() -> None:
    assert "--bogus" in refusal(boltwright("--bogus"))
    assert "more" in refusal(boltwright(str(SAMPLE), "more"))
