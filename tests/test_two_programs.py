"""Two programs on one lock: nobody's save is lost, and the second one says that there is a first."""

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from core.errors import SaveError
from core.files import claims
from core.files.claims import BusyError, alone, beside, claim, give_back, is_claimed
from core.files.project_file import Project, load, save
from core.lock.lock import Lock
from tests.fault_table import proven

ROOT = Path(__file__).parents[1]

HOLDER = """
import pathlib, sys
from core.files.claims import alone, claim
what, path = sys.argv[1], pathlib.Path(sys.argv[2])
if what == "claim":
    print(claim(path), flush=True)
    sys.stdin.readline()
else:
    with alone(path) as sure:
        print(sure, flush=True)
        sys.stdin.readline()
"""

SAVER = """
import pathlib, sys
from core.errors import SaveError
from core.files.project_file import load, save
path, width = pathlib.Path(sys.argv[1]), float(sys.argv[2])
save(load(path))  # what is loaded late is loaded
for number, _ in enumerate(iter(sys.stdin.readline, "")):
    project = load(path)
    lock = project.lock.with_value("plate.width", width).with_value("notes", f"{number}")
    new = project.with_lock(lock)
    print("ready", flush=True)
    sys.stdin.readline()
    try:
        save(new)
        print("saved", flush=True)
    except SaveError as error:
        print(error, flush=True)
"""


class Other:
    """Another program."""

    def __init__(self, script: str, *words: object) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", script, *map(str, words)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT,
        )  # fmt: skip

    def __enter__(self) -> "Other":
        return self

    def __exit__(self, *_: object) -> None:
        with self.process:
            self.process.kill()

    def says(self) -> str:
        assert self.process.stdout is not None
        return self.process.stdout.readline().strip()

    def go(self) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write("\n")
        self.process.stdin.flush()


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "lock.toml"
    save(Project(None, Lock()), path)
    return path


def race(path: Path, rounds: int) -> int:
    """Let two programs save at the same moment, so often; return how many times anything was lost."""
    lost = 0
    with Other(SAVER, path, 71.0) as one, Other(SAVER, path, 72.0) as two:
        for _ in range(rounds):
            for other in (one, two):
                other.go()
                assert other.says() == "ready"
            for other in (one, two):
                other.go()
            said = [one.says(), two.says()]
            kept = {
                load(path).lock.plate.width,
                load(path.with_name("lock.toml~")).lock.plate.width,
            }
            saved = {w for w, word in zip((71.0, 72.0), said, strict=True) if word == "saved"}
            refused = [word for word in said if word != "saved"]
            honest = all("changed on the disk" in word for word in refused)
            lost += not (honest and saved <= kept and len(saved) == 1)
    return lost


@pytest.mark.slow
def test_of_two_saves_at_the_same_moment_one_is_refused(path: Path) -> None:
    assert race(path, 6) == 0
    assert sorted(p.name for p in path.parent.iterdir()) == ["lock.toml", "lock.toml~"]


@pytest.mark.slow
def test_of_many_saves_at_the_same_moment_none_is_lost(path: Path) -> None:
    proven("two programs save one lock at the same moment", 300, race(path, 300))


def test_a_save_waits_for_another_one(path: Path) -> None:
    project = load(path)
    changed = project.with_lock(project.lock.with_value("key.radius", 21.0))
    with Other(HOLDER, "alone", path) as other:
        assert other.says() == "True"
        threading.Timer(0.1, other.go).start()
        save(changed)
    assert load(path).lock.key.radius == 21.0


def test_a_save_that_waits_in_vain_says_why_and_writes_nothing(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(claims, "PATIENCE", 0.05)
    before = path.read_bytes()
    project = load(path)
    with Other(HOLDER, "alone", path) as other:
        other.says()
        with pytest.raises(SaveError, match="another program is writing it just now") as refused:
            save(project.with_lock(project.lock.with_value("key.radius", 21.0)))
    assert str(path) in str(refused.value)
    assert path.read_bytes() == before


def test_a_killed_program_holds_nothing(path: Path) -> None:
    opened = beside(path, "open")
    with Other(HOLDER, "claim", opened) as other:
        assert other.says() == "True"
        assert is_claimed(opened)
        assert not claim(opened)
    assert opened.exists()  # what it left holds nobody up
    assert not is_claimed(opened)
    assert claim(opened)
    assert claim(opened)
    assert is_claimed(opened)
    give_back(opened)
    give_back(opened)
    assert not opened.exists()


def test_what_cannot_be_held_holds_nobody_up(tmp_path: Path) -> None:
    for path in (tmp_path / "none" / "lock.toml", tmp_path / ("n" * 255)):
        with alone(path) as sure:
            assert not sure
    folder = tmp_path / "folder"
    folder.mkdir()
    assert claim(folder)
    assert not is_claimed(folder)
    link = tmp_path / "link"
    link.symlink_to(tmp_path / "elsewhere")
    assert claim(link)  # a link planted there is not followed
    assert not (tmp_path / "elsewhere").exists()


def test_the_guard_is_taken_away_while_it_is_held(tmp_path: Path) -> None:
    path = tmp_path / "lock.toml"
    with alone(path) as sure:
        assert sure
        assert os.listdir(tmp_path) == [".lock.toml.guard"]
        with pytest.raises(BusyError), alone(path, 0.01):
            pass
    assert os.listdir(tmp_path) == []


def test_a_file_to_be_made_in_a_linked_folder_is_claimed_where_it_will_stand(
    tmp_path: Path,
) -> None:
    real, link = tmp_path / "real", tmp_path / "link"
    real.mkdir()
    link.symlink_to(real, target_is_directory=True)
    assert claims.target_of(link / "new.toml") == real.resolve() / "new.toml"
