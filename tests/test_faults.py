"""Every call by which a lock is written fails, once or always: what is said is true, and nothing is lost.

The errors are those that Linux gives for a full disk, a broken one, a used-up share, a folder without rights
and a signal: open(2), write(2), fsync(2), rename(2). The studies run as an ordinary user.
"""

import errno
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from core.errors import SaveError
from core.files.project_file import Project, load, save
from core.lock.lock import Lock
from tests.fault_table import proven
from tests.faulty import ERRORS, MEMORY, RUNS, Faults, faults_of, try_save
from tests.sure import sure

ROOT = Path(__file__).parents[1]


def studied(runs: Iterable[str], errors: Iterable[str] = ERRORS) -> tuple[int, int]:
    """Run studies in a process of an ordinary user; return how many faults were tried and not borne."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.faulty", ",".join(runs), ",".join(errors)],
        capture_output=True, cwd=ROOT, check=True, text=True,
    )  # fmt: skip
    found = json.loads(done.stdout)
    assert set(found) == set(runs)
    wrong = [line for _, lines in found.values() for line in lines]
    assert wrong == []
    return sum(tried for tried, _ in found.values()), len(wrong)


@pytest.mark.slow
def test_every_call_of_a_save_on_a_full_disk() -> None:
    tried, wrong = studied(["save", "recovery"], ["ENOSPC"])
    assert tried > 60
    assert wrong == 0


@pytest.mark.slow
def test_every_call_of_a_save_with_every_error() -> None:
    proven(
        "one call of a save fails, or all of one kind",
        *studied(["save", "first save", "link", "sitting"]),
    )


@pytest.mark.slow
def test_every_call_of_recovery_copy_and_history_with_every_error() -> None:
    proven("the same for recovery copy and history", *studied(["recovery", "history"]))


@pytest.mark.slow
def test_every_call_of_opening_with_every_error() -> None:
    proven("the same for opening, seats and leaving", *studied(["opening"]))


def test_the_harness_reaches_every_step_and_finds_a_lie(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    faults = list(faults_of(lambda none: try_save(tmp_path, none, first=False)))
    counted = Faults()
    assert try_save(tmp_path, counted, first=False) == ""
    assert {"open", "write", "fsync", "replace", "close", "flock", "scandir", "stat"} <= set(
        counted.calls
    )
    assert counted.calls.count("replace") == 2
    assert len(faults) > 200

    calls = iter([False, True, False])

    def lying(_: Path) -> str:
        if next(calls):
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        return ""

    monkeypatch.setattr("core.files.safe_save._sync_folder", lying)
    assert "but the new lock is there" in try_save(tmp_path, Faults(), first=False)
    assert set(RUNS) >= {"save", "recovery", "history"}


def test_a_save_names_what_the_system_said(tmp_path: Path) -> None:
    path = tmp_path / "lock.toml"
    project = save(Project(None, Lock()), path)
    said = {}
    for name in ERRORS:
        with (
            Faults(getattr(errno, name), every="fsync").on(),
            pytest.raises(SaveError) as refused,
        ):
            save(project.with_lock(Lock(title="New")))
        said[name] = str(refused.value).partition("was not saved: ")[2]
    assert said["ENOSPC"] == "there is no room left on the disk; nothing was lost"
    assert said["EDQUOT"] == "your share of the disk is used up; nothing was lost"
    assert said["EACCES"] == "its folder cannot be written to; nothing was lost"
    assert all(said.values())


# the system's own calls


STRACED = """
import ctypes, os, pathlib, select, sys, traceback
import filelock, tomlkit, tomli_w
from core.errors import SaveError
from core.files.project_file import load, save
from core.files.project_reading import read_text
from core.files.project_text import fresh_text
from core.lock.lock import Lock
from tests.faulty import as_ordinary_user

read_text(fresh_text(Lock()))  # whatever is found out late is found out

def saved(path):
    as_ordinary_user()
    project = load(path)
    new = project.with_lock(project.lock.with_value("key.radius", 21.0))
    os.access("/begin-here", os.F_OK)
    try:
        said = (save(new), "saved")[1]
    except SaveError as error:
        said = str(error)
    os.access("/end-here", os.F_OK)
    return said

for line in sys.stdin:
    waits, go = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(go)
        ctypes.CDLL(None).prctl(0x59616D61, ctypes.c_ulong(-1))  # anybody may trace it, where the system asks
        print(os.getpid(), flush=True)
        select.select([waits], [], [])
        try:
            said = saved(pathlib.Path(line.strip()))
        except BaseException:
            said = repr(traceback.format_exc())
        sys.stdout.write(said)
        sys.stdout.flush()
        os._exit(0)
    os.close(waits)
    sys.stdin.readline()
    os.close(go)
    os.waitpid(child, 0)
    print(flush=True)
"""
ABLE = (
    "openat", "flock", "getdents64", "read", "write", "fchmod", "fsync", "close", "rename", "unlink",
)  # fmt: skip
"""System calls by which a file is written; those that only look are tried above, in Python's own."""


class Straced:
    """A program with all loaded that forks for each save; the fork, a process as real as any, is traced by strace."""

    def __init__(self) -> None:
        self._program = subprocess.Popen(
            [sys.executable, "-c", STRACED], stdin=subprocess.PIPE, stdout=subprocess.PIPE, cwd=ROOT, text=True,
            env=os.environ | {"PYTHONHASHSEED": "0", "PYTHONDONTWRITEBYTECODE": "1"},
        )  # fmt: skip
        self._asks, self._tells = sure(self._program.stdin), sure(self._program.stdout)

    def __call__(self, folder: Path, *options: str) -> tuple[str, list[str], str]:
        """Save a lock; return what was said, the names of all calls before, and the trace of the save."""
        path, trace = folder / "lock.toml", folder.parent / "trace"
        for left in folder.iterdir():
            left.unlink()
        save(Project(None, Lock()), path)
        path.chmod(0o666)
        process = self._asked(str(path))
        strace = shutil.which("strace") or ""
        with subprocess.Popen(
            [strace, "-o", str(trace), *options, "-p", process],
            stderr=subprocess.PIPE, text=True,
        ) as tracing:  # fmt: skip
            attached = sure(tracing.stderr).readline()
            assert "attached" in attached, attached
            said = self._asked("go")
            tracing.wait(300)
        assert "Traceback" not in said, said
        before, _, rest = trace.read_text().partition("begin-here")
        between = rest.partition("end-here")[0]
        return said, re.findall(r"^(\w+)\(", before, re.MULTILINE), between

    def _asked(self, line: str) -> str:
        print(line, file=self._asks, flush=True)
        return self._tells.readline().rstrip("\n")

    def end(self) -> None:
        """End the program."""
        self._asks.close()
        self._tells.close()
        assert self._program.wait(60) == 0


@pytest.fixture
def straced() -> Iterator[Straced]:
    made = Straced()
    yield made
    made.end()


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("strace") is None, reason="strace is not installed")
def test_every_system_call_of_a_save_fails_once(straced: Straced) -> None:
    top = Path(tempfile.mkdtemp(dir=MEMORY))
    folder = top / "open"
    folder.mkdir()
    for above in (top, folder):
        above.chmod(0o777)
    straced(folder)  # whatever is compiled late is compiled
    said, before, save_trace = straced(folder)
    assert said == "saved"
    calls = re.findall(r"^(\w+)\(", save_trace, re.MULTILINE)
    order = ["fsync", "rename", "fsync", "rename", "fsync"]
    assert [name for name in calls if name in ("fsync", "rename")] == order
    tried = lost = 0
    for name in ABLE:
        for number in range(1, calls.count(name) + 1):
            for error in ("ENOSPC", "EIO", "EDQUOT", "EACCES", "EINTR"):
                # what begins anew after a signal, as Python does, meets it once
                fault = f"inject={name}:error={error}:when={before.count(name) + number}"
                said, _, trace = straced(folder, "-e", fault)
                met = re.findall(rf"^{name}\(.*", trace, re.MULTILINE)
                assert "(INJECTED)" in met[number - 1]
                tried += 1
                kept = load(folder / "lock.toml").lock
                lost += kept.key.radius != (21.0 if said == "saved" else 20.0)
                lost += kept.with_value("key.radius", 20.0) != Lock()
                if (folder / "lock.toml~").exists():
                    load(folder / "lock.toml~")
    shutil.rmtree(top)
    proven("one system call of a save fails (strace)", tried, lost)
