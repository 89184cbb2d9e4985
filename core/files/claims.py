"""One program at a time: locks that the system gives back when the program that holds them dies.

Two hidden, empty files stand beside a lock while they are needed: `.NAME.guard` while its files are
written, and `.NAME.open` while a program has it open. Each is locked by the system and taken away by the
program that made it; one that a crash left behind holds nobody up.

Where a folder cannot be locked, as on some network disks, work goes on without: a maker who cannot save
is worse off than one who is not told of a second program.
"""

import contextlib
import os
import time
from collections.abc import Iterator
from pathlib import Path

from core.errors import SaveError

PATIENCE = 2.0
"""How long [s] a save waits for another program's; it takes a fiftieth of that."""
_POLL = 0.02  # [s]
_UNSAVED = "unsaved-lock"

_claims: dict[Path, int] = {}
"""What this program has open, with the handle that holds it."""


class BusyError(SaveError):
    """Another program is at work on the same lock, and does not come to an end."""


def beside(place: Path, ending: str, seat: str = "") -> Path:
    """Return the hidden file of that `ending` beside a project file, or in a folder for an unsaved lock.

    `seat` tells programs apart that have the same lock open, or locks without a file in one folder.
    """
    target, middle = target_of(place), f".{seat}" if seat else ""
    return target.with_name(f".{target.name}{middle}.{ending}")


def target_of(place: Path) -> Path:
    """Return the file that a project file's name leads to, and for a folder one that stands for its unsaved locks."""
    # the system's own question raises where the folder above cannot be entered
    if os.path.isdir(place):
        return place / _UNSAVED
    for strict in (True, False):
        # not there yet, or a link that could not be looked at, which a second look may mend
        with contextlib.suppress(OSError, ValueError):
            return Path(os.path.realpath(place, strict=strict))
    return Path(os.path.abspath(place))


@contextlib.contextmanager
def alone(place: Path, patience: float | None = None) -> Iterator[bool]:
    """Let no other program write the files of the lock at `place` meanwhile; gives whether that is certain.

    Raises
    ------
    BusyError
        Where another program has not come to an end after `patience` [s], by default `PATIENCE`.
    """
    path = beside(place, "guard")
    handle = _patiently(path, PATIENCE if patience is None else patience)
    try:
        yield handle is not None
    finally:
        if handle is not None:
            _let_go(path, handle)


def claim(path: Path) -> bool:
    """Hold the file at `path` until `give_back`, or this program's end; False where another one holds it."""
    if path in _claims:
        return True
    try:
        handle = _patiently(path, 5 * _POLL)  # another program may just be looking
    except BusyError:
        return False
    if handle is not None:  # else no place to hold anything: nobody can be told
        _claims[path] = handle
    return True


def give_back(path: Path) -> None:
    """Let go of what was claimed, if it was."""
    handle = _claims.pop(path, None)
    if handle is not None:
        _let_go(path, handle)


def is_claimed(path: Path) -> bool:
    """Say whether a program that is running, this one or another, holds the file at `path`."""
    if path in _claims:
        return True
    if not os.path.exists(path):  # most often: make none only to look
        return False
    try:
        handle = _take(path)
    except OSError:
        return False
    if handle is None:
        return True
    _let_go(path, handle)
    return False


def _patiently(path: Path, patience: float) -> int | None:
    """Return a handle that holds `path`, None where nothing can be held there."""
    until = time.monotonic() + patience
    while True:
        try:
            handle = _take(path)
        except (OSError, ValueError):  # no such folder, no lock, no name: what follows says why
            return None
        if handle is not None:
            return handle
        if time.monotonic() > until:
            raise BusyError("another program is writing it just now; try again")
        time.sleep(_POLL)


def _take(path: Path) -> int | None:
    """Return a handle that holds `path`; None where another program has it. OSError: it cannot be held."""
    # 40 ms, and of no use before a lock is opened
    from filelock import lock_descriptor

    while True:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o666)
        try:
            if not lock_descriptor(handle, blocking=False):
                os.close(handle)
                return None
            # the one who had it before takes the file away: a lock on that would keep nobody out
            if os.path.samestat(os.fstat(handle), os.stat(path, follow_symlinks=False)):
                return handle
            os.close(handle)
        except FileNotFoundError:
            os.close(handle)
        except BaseException:
            os.close(handle)
            raise


def _let_go(path: Path, handle: int) -> None:
    """Take the file away while it is held, then let go: whoever waits on it begins anew."""
    # what stays is empty and holds nobody up
    with contextlib.suppress(OSError):
        os.unlink(path)
    with contextlib.suppress(OSError):
        os.close(handle)
