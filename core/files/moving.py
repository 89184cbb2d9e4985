"""Another name, another folder or a copy for a saved lock: nothing is written over, and nothing is lost.

A lock moves with what is kept beside it: its list of changes, its unsaved work, and the file as it was before it was
saved last. All of it is written whole in the new place before anything goes from the old one.
"""

import contextlib
import os
import stat
from collections.abc import Iterator
from pathlib import Path

from core.errors import SaveError
from core.files.claims import alone, beside, is_claimed, target_of
from core.files.history_file import history_path
from core.files.recovery import load_recoveries, recovery_path
from core.text import plain


def move(old: Path, new: Path) -> None:
    """Give the lock in the file `old` the name or the folder of `new`, with all that is kept beside it.

    Raises
    ------
    SaveError
        Where a program has the lock open, where something stands at the new place, or where the disk refuses:
        the lock is where it was.
    """
    with _told(old, "was not moved"):
        _may_move(old, new)
        pairs = [(old, new), *_kept(old, new)]
        with alone(old), alone(new):
            _written(pairs)
            for there, _ in reversed(pairs):  # the lock itself last: until then nothing is missing
                there.unlink()


def move_into(old: Path, new: Path) -> None:
    """Move a lock as `move` does, into a folder that is made where there is none, beside others that are there.

    Raises
    ------
    SaveError
        As `move` does, and where the folder cannot be made.
    """
    made = not new.parent.exists()
    with _told(old, "was not moved"):
        new.parent.mkdir(exist_ok=True)
    try:
        move(old, new)
    except SaveError:
        if made:
            with contextlib.suppress(
                OSError
            ):  # it is empty, unless somebody else has used it by now
                new.parent.rmdir()
        raise


def copy(old: Path, new: Path) -> None:
    """Write the lock in the file `old` as `new` too, with its list of changes.

    Raises
    ------
    SaveError
        Where something stands at the new place, or where the disk refuses: nothing is changed.
    """
    with _told(old, "was not copied"):
        _is_free(new)
        history = (history_path(old), history_path(new))
        with alone(new):
            _written([(old, new), *([history] if history[0].exists() else [])])


@contextlib.contextmanager
def _told(old: Path, failed: str) -> Iterator[None]:
    """Raise what the disk refuses as an error that says what was to be done."""
    try:
        yield
    except SaveError as error:
        raise SaveError(f"{plain(old.name)} {failed}: {error}") from error
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise SaveError(f"{plain(old.name)} {failed}: {plain(why)}") from error


def _may_move(old: Path, new: Path) -> None:
    if os.path.islink(old):
        raise SaveError(f"it leads to another file, {plain(str(target_of(old)))}")
    seats = ["", *(copy.seat for copy in load_recoveries(old))]
    if any(is_claimed(beside(old, "open", seat)) for seat in seats):
        raise SaveError("it is open in another window of the program")
    _is_free(new)


def _is_free(new: Path) -> None:
    """Refuse a place where something stands already, be it only what was kept beside a lock of that name."""
    for path in (
        new,
        history_path(new),
        recovery_path(new),
        *(c.path for c in load_recoveries(new)),
    ):
        if os.path.lexists(path):
            raise SaveError(
                f"there is a file {plain(path.name)} already, which is not written over"
            )
    if not new.parent.is_dir():
        raise SaveError(f"there is no folder {plain(str(new.parent))}")


def _kept(old: Path, new: Path) -> Iterator[tuple[Path, Path]]:
    """Yield what is kept beside a lock, with where it goes."""
    pairs = [(history_path(old), history_path(new))]
    pairs += [(c.path, recovery_path(new, c.seat)) for c in load_recoveries(old)]
    before = old.with_name(f"{old.name}~")
    after = new.with_name(f"{new.name}~")
    pairs += [(before, after)] if not os.path.lexists(after) else []
    return (pair for pair in pairs if pair[0].is_file())


def _written(pairs: list[tuple[Path, Path]]) -> None:
    """Write each file of `pairs` in its new place, all of them or none."""
    done: list[Path] = []
    try:
        for old, new in pairs:
            mode = stat.S_IMODE(old.stat().st_mode)
            handle = os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
            done.append(new)
            _filled(handle, old, new)
    except BaseException:  # also when the maker stops the program here: leave nothing half done
        for new in done:
            with contextlib.suppress(OSError):  # what failed first is told
                new.unlink()
        raise


def _filled(handle: int, old: Path, new: Path) -> None:
    """Write into `new`, open at `handle`, what `old` holds, with the time of its last change."""
    status, data = old.stat(), old.read_bytes()
    with open(handle, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(handle)
    if new.read_bytes() != data:
        raise SaveError(f"{plain(new.name)} does not read back as it was written")
    os.utime(new, ns=(status.st_atime_ns, status.st_mtime_ns))
