"""Write a file so that, whatever happens, either the old content or the new is there whole.

New content goes to a temporary file in the same folder, is flushed to the disk, and takes the
file's place in one step; the old content stays beside it under the same name with a ~. What is there is
looked at, and replaced, while no other program may write it.
"""

import contextlib
import errno
import hashlib
import os
import re
import stat
import time
from pathlib import Path

from core.errors import SaveError
from core.files.claims import BusyError, alone
from core.text import plain

_TEMPORARY = re.compile(r"\.boltwright-(?:(?P<family>[0-9a-f]{8})-)?[0-9a-f]{16}\.saving")
_ABANDONED = 600.0  # [s] no save takes so long: a temporary file of that age was left by a crash
_WHY = {
    errno.EACCES: "its folder cannot be written to",
    errno.EPERM: "its folder cannot be written to",
    errno.EROFS: "the disk cannot be written to",
    errno.ENOSPC: "there is no room left on the disk",
    errno.EDQUOT: "your share of the disk is used up",
    errno.EFBIG: "the file would be larger than is allowed here",
    errno.ENOENT: "its folder is not there",
    errno.ENOTDIR: "its folder is not there",
    errno.ENAMETOOLONG: "its name is too long",
    errno.ELOOP: "its link leads back to itself",
}


class ChangedOnDiskError(SaveError):
    """What is on the disk is not what was read: saving would lose somebody's work."""


def save_over(path: Path, data: bytes, expected: bytes | None, *, over: bool = False) -> str:
    """Write `data` to `path` if the file still holds `expected`, None meaning that there is none.

    A link is followed. The old content is kept as the file's name with a ~, under the same mode.
    Where the file already holds `data`, nothing is touched. A file that is gone is written anew.
    Return why the folder could not be synced, "" where it was: the file is saved all the same, but a power
    cut within the next half minute might bring the old one back.

    Raises
    ------
    ChangedOnDiskError
        For any other content, unless `over` is set.
    SaveError
        Where nothing could be written; the file is as it was.
    """
    name = plain(str(path))
    try:
        target = _target(path)
        with alone(target) as sure:
            _sweep(target, alone=sure)  # before anything is written: the disk may be full of them
            found = _content(target)
            if found is not None:
                old, mode = found
                if old != expected and not over:
                    raise ChangedOnDiskError(_changed(name, known=expected is not None))
                if old == data:
                    return _sync_folder(target.parent)
                # the folder alone decides who may replace a file: heed what the file itself says
                if not mode & 0o222 or not os.access(target, os.W_OK):
                    raise SaveError(f"{name} was not saved: the file is protected against writing")
                replace_file(target.with_name(f"{target.name}~"), old, mode, family=target)
            replace_file(target, data, None if found is None else found[1], family=target)
            # from here on the new content is in its place, whatever else goes wrong
            return _sync_folder(target.parent)
    except BusyError as error:
        raise SaveError(f"{name} was not saved: {error}") from error
    except (OSError, ValueError) as error:
        if isinstance(error, SaveError):
            raise
        raise SaveError(f"{name} was not saved: {_why(error)}; nothing was lost") from error


def replace_file(
    path: Path, data: bytes, mode: int | None, *, flush: bool = True, family: Path | None = None
) -> None:
    """Put `data` in the place of the file at `path` in one step, once it reads back as it was written.

    `mode` is the new file's, None the usual one; `flush` waits until the content is on the disk; `family` is
    the project file that the file belongs to, by default the file itself.
    Raises the OSError of what failed, with nothing left behind.
    """
    # a report reads and never writes: it is spared what makes secrets, and random numbers, and hashes of messages
    import secrets

    temporary = path.with_name(f".boltwright-{_tag(family or path)}-{secrets.token_hex(8)}.saving")
    handle = os.open(
        temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666 if mode is None else mode
    )
    try:
        with open(handle, "wb") as file:
            file.write(data)
            file.flush()
            status = os.fstat(handle)
            # a stick without modes refuses every change of them, so ask only for a real one
            if mode is not None and stat.S_IMODE(status.st_mode) != mode:
                os.fchmod(handle, mode)
            if flush:
                os.fsync(handle)
        _read_back(temporary, data)
        try:
            os.replace(temporary, path)
        except OSError:
            # over a network the answer may get lost when the work is done
            if not _is_there(path, status):
                raise
    except BaseException:  # also when the maker stops the program here: leave nothing behind
        with contextlib.suppress(OSError):  # what failed first is told; the next save sweeps
            temporary.unlink(missing_ok=True)
        raise


def _target(path: Path) -> Path:
    """Return where a path leads; a link that cannot be looked at is never taken for a file and replaced."""
    try:
        return Path(os.path.realpath(path, strict=True))
    except FileNotFoundError:
        return Path(os.path.realpath(path))


def _content(target: Path) -> tuple[bytes, int] | None:
    """Return what the file holds and its mode, None where there is none."""
    try:
        status = target.stat()
    except FileNotFoundError:
        return None
    if not stat.S_ISREG(status.st_mode):
        what = "a folder" if stat.S_ISDIR(status.st_mode) else "no plain file"
        raise SaveError(f"{plain(str(target))} was not saved: there is {what} of this name")
    try:
        return target.read_bytes(), stat.S_IMODE(status.st_mode)
    except PermissionError as error:
        raise SaveError(
            f"{plain(str(target))} was not saved: what is there cannot be read"
        ) from error


def _changed(name: str, *, known: bool) -> str:
    if known:
        return f"{name} was changed on the disk after it was opened here; nothing was written"
    return f"{name} is there already; nothing was written"


def _why(error: OSError | ValueError) -> str:
    if isinstance(error, OSError):
        return _WHY.get(error.errno or 0, error.strerror or str(error))
    return "no file can have this name"


def _read_back(path: Path, data: bytes) -> None:
    if path.read_bytes() != data:
        raise OSError(errno.EIO, "what was written does not read back as it was")


def _is_there(path: Path, status: os.stat_result) -> bool:
    try:
        return os.path.samestat(path.stat(follow_symlinks=False), status)
    except OSError:
        return False


def _sync_folder(folder: Path) -> str:
    """Make the new name last through a power cut, where the system can do that; return why it did not."""
    if os.name != "posix":
        return ""
    try:
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
    except OSError as error:
        # some disks have nothing of the kind, and need it not
        if error.errno not in (errno.EINVAL, errno.ENOTSUP):
            return error.strerror or str(error)
    return ""


def sweep(target: Path) -> None:
    """Take away the temporary files of saves of `target` that were killed; call it while `alone` with it."""
    _sweep(target, alone=True)


def _sweep(target: Path, *, alone: bool) -> None:
    """Take away temporary files that a crash, or a power cut, left behind.

    Those of the target's own files have no owner any more where this program is `alone` with them; others go
    by their age.
    """
    # another program may sweep the same folder; what cannot go now goes at the next save
    with contextlib.suppress(OSError):
        for entry in os.scandir(target.parent):
            match = _TEMPORARY.fullmatch(entry.name)
            if match is None:
                continue
            with contextlib.suppress(OSError):
                own = alone and match["family"] == _tag(target)
                age = time.time() - entry.stat(follow_symlinks=False).st_mtime
                if own or age > _ABANDONED:
                    os.unlink(entry.path)


def _tag(path: Path) -> str:
    """Return what stands for a file in the names of its temporary files, whatever is in its own name."""
    return hashlib.sha256(os.fsencode(path.name)).hexdigest()[:8]
