"""Faults put into the calls by which files are written: a harness of its own, and a process to run it in.

`Faults` counts the calls of Python's own functions that lead to one system call each, and lets one of them
fail, or every call of one function. `python -m tests.faulty RUNS` runs whole studies as an ordinary user, since the
superuser may do what others may not, and prints what was found as JSON.
"""

import builtins
import contextlib
import errno
import fcntl
import io
import json
import os
import pwd
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from unittest import mock

import tomli_w  # noqa: F401 - loaded late by the program, which could not find it as another user
import tomlkit.exceptions  # noqa: F401
from filelock import lock_descriptor  # noqa: F401

from core.errors import SaveError
from core.files import claims
from core.files.history_file import load_history, save_history
from core.files.notes import NOT_SYNCED
from core.files.project_file import Project, load, save
from core.files.recovery import drop_recovery, load_recovery, save_recovery
from core.lock.history import History
from core.lock.lock import Lock
from tui.desk import saving
from tui.desk.session import Session, opened

ERRORS = ("ENOSPC", "EIO", "EDQUOT", "EACCES", "EINTR")
CALLS = (
    "open", "close", "stat", "lstat", "fstat", "fsync", "fchmod", "replace", "unlink", "scandir",
    "listdir", "readlink", "access",
)  # fmt: skip
NOBODY = 65534
MEMORY = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None  # noqa: S108 - named for what it is
"""A folder in memory, where no fsync takes its time; None where there is none."""


class Faults:
    """Counts calls, and lets the call numbered `at`, or all calls of the function `every`, fail with `error`."""

    def __init__(
        self, error: int = 0, *, at: int = -1, every: str = "", after: bool = False
    ) -> None:
        self.error, self.at, self.every, self.after = error, at, every, after
        self.calls: list[str] = []

    def _met(self, name: str) -> bool:
        self.calls.append(name)
        return len(self.calls) - 1 == self.at or name == self.every

    def _wrapped(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **kwargs: Any) -> Any:
            if not self._met(name):
                return real(*args, **kwargs)
            # what is closed is closed, whatever it says; with `after` an answer gets lost when the work is done
            if name == "close" or self.after:
                real(*args, **kwargs)
            if name == "access":
                return False
            raise OSError(self.error, os.strerror(self.error))

        return call

    def _opening(self, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **kwargs: Any) -> Any:
            return _File(self._wrapped("open", real)(*args, **kwargs), self)

        return call

    @contextlib.contextmanager
    def on(self) -> Iterator["Faults"]:
        """Put the faults in."""
        with contextlib.ExitStack() as stack:
            for name in CALLS:
                put = mock.patch.object(os, name, self._wrapped(name, getattr(os, name)))
                stack.enter_context(put)
            stack.enter_context(
                mock.patch.object(fcntl, "flock", self._wrapped("flock", fcntl.flock))
            )
            for module in (builtins, io):
                put = mock.patch.object(module, "open", self._opening(module.open))
                stack.enter_context(put)
            yield self


class _File:
    """An open file whose writing, reading and closing can fail."""

    def __init__(self, real: Any, faults: Faults) -> None:
        self._real = real
        for name in ("read", "write", "flush", "close"):
            setattr(self, name, faults._wrapped(name, getattr(real, name)))

    def __getattr__(self, name: str) -> Any:
        return getattr(self._real, name)

    def __enter__(self) -> "_File":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def faults_of(act: Callable[[Faults], object]) -> Iterator[Faults]:
    """Yield every single fault in `act`, each call and each function, with every error."""
    counted = Faults()
    act(counted)
    for name in ERRORS:
        code = getattr(errno, name)
        for at in range(len(counted.calls)):
            yield Faults(code, at=at)
        for every in dict.fromkeys(counted.calls):
            yield Faults(code, every=every)
    for at, name in enumerate(counted.calls):
        if name == "replace":
            yield Faults(errno.EIO, at=at, after=True)


# what is tried: each returns what was wrong, "" where nothing was


def _fresh(folder: Path) -> Path:
    for left in folder.iterdir():
        left.unlink()
    return folder / "lock.toml"


def _no_trace(folder: Path) -> str:
    left = [p.name for p in folder.iterdir() if p.suffix in (".saving", ".guard")]
    return f"left behind: {left}" if left else ""


def try_save(folder: Path, faults: Faults, *, first: bool) -> str:
    """Save a lock, the first time or over itself, and save it again without a fault."""
    path = _fresh(folder)
    old = Lock(title="Old")
    project = Project(None, old) if first else save(Project(None, old), path)
    new = old.with_value("key.radius", 21.0)
    try:
        with faults.on():
            done = save(project.with_lock(new), path)
        said = "saved"
    except SaveError as error:
        done, said = project, str(error)
        if not str(error).isprintable() or str(path) not in str(error):
            return f"not a sentence: {error}"
    there = load(path).lock if path.exists() else None
    if said == "saved" and there != new:
        return f"said saved, but {there}"
    if (
        said == "saved"
        and faults.every == "fsync"
        and not any(n.code == NOT_SYNCED.name for n in done.notes)
    ):
        return "said saved without a word"
    if said != "saved" and there != (None if first else old):
        return f"said {said}, but the new lock is there"
    # and on: nobody else has changed the file
    again = save(done.with_lock(new.with_value("bolt.depth", 9.0)), path)
    if load(path).lock != again.lock:
        return "the next save was lost"
    return _no_trace(folder)


def try_link(folder: Path, faults: Faults) -> str:
    """Save a lock through a link from another folder."""
    path = _fresh(folder)
    project = save(Project(None, Lock(title="Old")), path)
    link = folder / "link.toml"
    link.symlink_to(path.name)
    new = Lock(title="New")
    with faults.on(), contextlib.suppress(SaveError):
        save(project.with_lock(new), link)
    if not link.is_symlink() or load(path).lock.title not in ("Old", "New"):
        return "the link is cut"
    save(load(link).with_lock(Lock(title="Newer")))
    return _no_trace(folder) if load(path).lock.title == "Newer" else "the next save was lost"


def try_recovery(folder: Path, faults: Faults) -> str:
    """Write a recovery copy over an older one."""
    path = _fresh(folder)
    save(Project(None, Lock()), path)
    save_recovery(Lock(title="Old"), path)
    try:
        with faults.on():
            save_recovery(Lock(title="New"), path)
        wanted = "New"
    except SaveError as error:
        wanted = "Old"
        if not str(error).isprintable():
            return f"not a sentence: {error}"
    copy = load_recovery(path)
    if copy is None or copy.lock is None or copy.lock.title != wanted:
        return f"the copy is {copy}, not {wanted}"
    save_recovery(Lock(title="Newer"), path)
    return _no_trace(folder)


def try_history(folder: Path, faults: Faults) -> str:
    """Write a history over an older one."""
    path = _fresh(folder)
    one, two = Lock(), Lock(title="Two")
    history = History().changed(one, two, "title")
    save_history(history, two, path, "two")
    three = Lock(title="Three")
    longer = history.changed(two, three, "title")
    try:
        with faults.on():
            save_history(longer, three, path, "three")
        if load_history(three, path, "three").history != longer:
            return "said written, and is not"
    except SaveError as error:
        if not str(error).isprintable():
            return f"not a sentence: {error}"
        if load_history(two, path, "two").history != history:
            return "the older one is gone"
    save(Project(None, three), path)
    return _no_trace(folder)


def try_sitting(folder: Path, faults: Faults) -> str:
    """Do what F2 does: lock, recovery copy and history; then change on and save again."""
    path = _fresh(folder)
    session = opened(save(Project(None, Lock()), path))
    saving.keep_copy(session.changed(Lock(title="Copy"), "title"))
    changed = session.changed(Lock(title="New"), "title")
    try:
        with faults.on():
            done, _ = saving.saved(changed)
            with contextlib.suppress(SaveError):
                saving.keep_history(done)
        wanted, dirty = "New", False
    except SaveError:
        done, wanted, dirty = changed, Lock().title, True
    copy = load_recovery(path)
    if load(path).lock.title != wanted or done.dirty is not dirty:
        return f"{load(path).lock.title} is there, {wanted} was said"
    if dirty and (copy is None or copy.lock is None):
        return "the copy of unsaved work is gone"
    on = done.changed(done.lock.with_value("bolt.depth", 9.0), "bolt.depth")
    saving.saved(on)
    return "" if load(path).lock == on.lock else "the next save was lost"


def try_opening(folder: Path, faults: Faults) -> str:
    """Open a lock with a recovery copy and a history, take a seat, and leave."""
    path = _fresh(folder)
    session = opened(save(Project(None, Lock()), path))
    saving.keep_copy(session.changed(Lock(title="Copy"), "title"))
    with faults.on():
        try:
            found = opened(load(path))
        except ValueError as error:
            return "" if str(path) in str(error) else f"not a sentence: {error}"
        found = saving.remembered(found)
        saving.left_behind(path)
        found, _ = saving.seated(found)
        with contextlib.suppress(SaveError):
            saving.keep_copy(found.changed(Lock(title="Mine"), "title"))
        saving.stand_up(found)
    copies = {c.lock.title for c in (load_recovery(path), load_recovery(path, "")) if c and c.lock}
    if not copies & {"Copy", "Mine"}:
        return "the copy of unsaved work is gone"
    for copy in saving.left_behind(path):
        drop_recovery(path, copy.seat)
    return ""


RUNS: dict[str, Callable[[Path, Faults], str]] = {
    "save": lambda folder, faults: try_save(folder, faults, first=False),
    "first save": lambda folder, faults: try_save(folder, faults, first=True),
    "link": try_link,
    "recovery": try_recovery,
    "history": try_history,
    "sitting": try_sitting,
    "opening": try_opening,
}


def study(run: str, folder: Path, errors: set[int] | None = None) -> tuple[int, list[str]]:
    """Try every fault in one of `RUNS`; return how many, and what was wrong with those that were not borne."""
    act = RUNS[run]
    tried, wrong = 0, []
    for faults in faults_of(lambda none: act(folder, none)):
        if errors is not None and faults.error not in errors:
            continue
        tried += 1
        where = faults.every or f"call {faults.at}"
        try:
            found = act(folder, faults)
        except BaseException as error:
            found = repr(error)
        if found:
            name = faults.calls[faults.at] if 0 <= faults.at < len(faults.calls) else ""
            wrong.append(f"{run}, {where} {name}, {errno.errorcode[faults.error]}: {found}")
    return tried, wrong


def as_ordinary_user() -> None:
    """Become a user who is not the superuser, if that is who runs this."""
    if os.geteuid() == 0:
        os.setgroups([])
        os.setgid(NOBODY)
        os.setuid(NOBODY)


def main() -> None:
    """Run the studies that are named, as an ordinary user; print what was tried and what was wrong."""
    runs, errors = sys.argv[1].split(","), {getattr(errno, name) for name in sys.argv[2].split(",")}
    folder = Path(tempfile.mkdtemp(dir=MEMORY))
    claims.PATIENCE = 0.05
    if os.geteuid() == 0:
        os.chown(folder, NOBODY, NOBODY)
    save(Project(None, Lock()), folder / "lock.toml")
    pwd.getpwall()
    Session()
    child = os.fork()
    if child == 0:
        (folder / "lock.toml").unlink()
        os.chdir(folder)
        as_ordinary_user()
        found = {run: study(run, folder, errors) for run in runs}
        sys.stdout.write(json.dumps(found))
        sys.stdout.flush()
        os._exit(0)
    os.waitpid(child, 0)
    shutil.rmtree(folder)


if __name__ == "__main__":
    main()
