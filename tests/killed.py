"""A program that saves again and again, and is killed at any moment; run by `python -m tests.killed COUNT SEED`.

It tells in shared memory what it does, so that each kill is known by the call that it fell into. Every other kill
comes at a moment of its own; the rest wait for each call in turn, before it and after it. What is left is looked at
as the next program would: by opening it, and saving on.
"""

import collections
import json
import mmap
import os
import random
import shutil
import signal
import struct
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import tomli_w  # noqa: F401 - loaded late by the program; a fork is to find it loaded
import tomlkit.exceptions  # noqa: F401
from filelock import lock_descriptor  # noqa: F401

from core.files.history_file import load_history
from core.files.project_file import Project, load, save
from core.files.recovery import load_recovery
from core.lock.lock import Lock
from tests.faulty import MEMORY
from tui.desk import saving
from tui.desk.session import opened

CALLS = ("open", "fsync", "fchmod", "replace", "unlink", "close", "scandir")
PHASES = (
    "copy: open", "copy: fsync", "copy: replace of .lock.toml.recovery", "save: scandir", "save: open", "save: fsync",
    "save: replace of lock.toml~", "save: replace of lock.toml", "save: close", "save: unlink",
    "history: open", "history: replace of .lock.toml.history",
)  # fmt: skip
_NUMBERS = struct.Struct("3q")  # the last number copied, begun to be saved, and saved
_PHASE = 64


class Told:
    """What the program that is killed has told of itself."""

    def __init__(self) -> None:
        self._memory = mmap.mmap(-1, 4096)

    def numbers(self, *new: int) -> tuple[int, ...]:
        """Return, or set, the numbers copied, begun and saved."""
        if new:
            self._memory[_PHASE : _PHASE + _NUMBERS.size] = _NUMBERS.pack(*new)
        return _NUMBERS.unpack(self._memory[_PHASE : _PHASE + _NUMBERS.size])

    def phase(self, new: str | None = None) -> str:
        """Return, or set, the phase."""
        if new is not None:
            self._memory[:_PHASE] = new.encode()[:_PHASE].ljust(_PHASE, b"\0")
        return self._memory[:_PHASE].rstrip(b"\0").decode()


def _watched(
    told: Told, name: str, real: Callable[..., Any], doing: list[str], target: str
) -> Callable[..., Any]:
    def tell(what: str) -> None:
        told.phase(what)
        time.sleep(60 if what == target else 0.0003)

    def call(*args: Any, **kwargs: Any) -> Any:
        what = f"{doing[0]}: {name}"
        if name == "replace":
            what += f" of {Path(args[1]).name}"
        tell(f"{what}, before")
        done = real(*args, **kwargs)
        tell(f"{what}, after")
        return done

    return call


def _saves_for_ever(path: Path, told: Told, first: int, target: str) -> None:
    doing = [""]
    for name in CALLS:
        setattr(os, name, _watched(told, name, getattr(os, name), doing, target))
    session = opened(load(path))
    copied, begun, saved = told.numbers()
    for number in range(first, first + 10_000):
        session = session.changed(session.lock.with_value("notes", str(number)), "notes")
        doing[0] = "copy"
        saving.keep_copy(session)
        copied = number
        told.numbers(copied, begun, saved)
        begun, doing[0] = number, "save"
        told.numbers(copied, begun, saved)
        session, _ = saving.saved(session)
        saved = number
        told.numbers(copied, begun, saved)
        doing[0] = "history"
        saving.keep_history(session)
        told.phase("between saves")


def looked_at(path: Path, told: Told) -> str:
    """Look at what a killed program left, and save on; return what was lost, "" where nothing was."""
    copied, begun, saved = told.numbers()
    there = int(load(path).lock.notes)
    if there not in (saved, begun):
        return f"{there} is there; {saved} was saved, {begun} begun"
    older = path.with_name("lock.toml~")
    if older.exists() and int(load(older).lock.notes) > there:
        return "the older file is newer"
    copy = load_recovery(path)
    if copy is not None and copy.lock is None:
        return f"a copy that cannot be read: {copy.note}"
    if copied > there and (copy is None or copy.lock is None or int(copy.lock.notes) < copied):
        return f"{copied} is neither in the file nor in the copy"
    project = load(path)
    load_history(project.lock, path, project.source or "")
    save(project.with_lock(project.lock.with_value("notes", str(begun + 1))))
    left = [p.name for p in path.parent.iterdir() if p.suffix in (".saving", ".guard")]
    return f"left behind: {left}" if left else ""


def main() -> None:
    """Kill a program so often; print what was lost, and how many kills fell into each phase."""
    count, chance = int(sys.argv[1]), random.Random(int(sys.argv[2]))  # noqa: S311 - moments to kill at
    folder = Path(tempfile.mkdtemp(dir=MEMORY))
    path, told = folder / "lock.toml", Told()
    save(Project(None, Lock(notes="0")), path)
    phases: collections.Counter[str] = collections.Counter()
    lost, left = [], 0
    for turn in range(count):
        target = ""
        if turn % 2:
            phase, after = divmod(turn // 2 % (2 * len(PHASES)), 2)
            target = f"{PHASES[phase]}, {('before', 'after')[after]}"
        number = int(load(path).lock.notes)
        told.numbers(number, number, number)
        told.phase("")
        child = os.fork()
        if child == 0:
            _saves_for_ever(path, told, number + 1, target)
        while told.phase() != target if target else told.numbers()[2] == number:
            time.sleep(0.0005)
            if os.waitpid(child, os.WNOHANG)[0]:
                raise SystemExit("the program ended by itself")
        if not target:  # it has saved once
            time.sleep(chance.uniform(0, 0.08))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        phases[told.phase()] += 1
        left += any(p.suffix == ".saving" for p in folder.iterdir())
        wrong = looked_at(path, told)
        if wrong:
            lost.append(f"{told.phase()}: {wrong}")
    shutil.rmtree(folder)
    sys.stdout.write(json.dumps({"lost": lost, "left": left, "phases": phases}))


if __name__ == "__main__":
    main()
