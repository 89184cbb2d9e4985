"""A folder of sheets: what in it is ours, and writing without losing anybody's work.

A list beside the sheets, `LIST`, holds the SHA-256 sum of every file as it was written. A file is ours only while it
still has that sum: one that somebody changed, or that was there before, is not overwritten without being asked. The
list also holds the marks of the sheets in each file, so that a later look tells which are stale.
"""

import errno
import hashlib
import json
import stat
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from core.errors import SaveError
from core.files.safe_save import replace_file
from core.text import plain

LIST = "written-by-boltwright.json"
LARGEST_LIST = 1_000_000
"""Bytes of the longest list that is read."""
_WHY = {
    errno.EACCES: "it cannot be written to",
    errno.EPERM: "it cannot be written to",
    errno.EROFS: "its disk cannot be written to",
    errno.ENOSPC: "there is no room left on its disk",
    errno.EDQUOT: "your share of its disk is used up",
    errno.ENOTDIR: "part of its name is a file",
    errno.EEXIST: "there is a file of that name",
    errno.ENAMETOOLONG: "its name is too long",
    errno.ELOOP: "its link leads back to itself",
}


class NotOursError(SaveError):
    """Files are in the way that this program did not write, or that were changed since: `names`."""

    def __init__(self, folder: Path, names: Iterable[str]) -> None:
        """Say which files are in the way in `folder`."""
        self.names = tuple(names)
        shown = ", ".join(self.names[:4]) + (
            f" and {len(self.names) - 4} more" if len(self.names) > 4 else ""
        )
        super().__init__(
            f"{plain(str(folder))} has files of these names that were not written here, or were changed since: "
            f"{plain(shown)}; nothing was written"
        )


@dataclass(frozen=True)
class Listed:
    """What a folder's list says: sums by file, and by lock and file the marks of the sheets in it, by name."""

    sums: dict[str, str]
    marks: dict[str, dict[str, dict[str, str]]]


def written_marks(path: Path, stem: str) -> dict[str, dict[str, str]]:
    """Return the marks of the sheets, by name, in every file that was written for the lock `stem` and is still there.

    Nothing is made or written; a folder that is not there, or cannot be looked at, holds none.
    """
    try:
        files = _read_list(path / LIST).marks.get(stem, {})
        return {name: marks for name, marks in files.items() if (path / name).is_file()}
    except (OSError, ValueError):
        return {}


class Folder:
    """One folder to write sheets to."""

    def __init__(self, path: Path) -> None:
        """Make the folder if need be, and read the list of what was written there.

        Raises
        ------
        SaveError
            Where there can be no such folder, or it cannot be written to.
        """
        self.path = path
        try:
            path.mkdir(parents=True, exist_ok=True)
            self._list = _read_list(path / LIST)
            _try_out(path)
        except (OSError, ValueError) as error:
            raise SaveError(_sentence(path, error)) from error

    def in_the_way(self, names: Iterable[str]) -> tuple[str, ...]:
        """Return those of `names` that are there and not ours.

        Raises
        ------
        SaveError
            Where something of such a name cannot be looked at.
        """
        try:
            return tuple(name for name in names if not self._ours(name))
        except OSError as error:
            raise SaveError(_sentence(self.path, error)) from error

    def _ours(self, name: str) -> bool:
        path = self.path / name
        try:
            kind = path.lstat().st_mode
        except FileNotFoundError:
            return True
        if not stat.S_ISREG(kind):
            return False
        return self._list.sums.get(name) == _sum(path.read_bytes())

    def write(self, name: str, data: bytes, stem: str, marks: Mapping[str, str]) -> None:
        """Write a file of the lock `stem` whole or not at all, and list it with the `marks` of the sheets in it.

        Raises
        ------
        SaveError
            Where it could not be written; those before it are written and listed.
        """
        try:
            try:
                replace_file(self.path / name, data, None, flush=False)
                self._list.sums[name] = _sum(data)
                self._list.marks.setdefault(stem, {})[name] = dict(marks)
            finally:
                told = {"format": 1, "sha256": self._list.sums, "marks": self._list.marks}
                text = json.dumps(told, indent=1, sort_keys=True)
                replace_file(self.path / LIST, text.encode() + b"\n", None)
        except OSError as error:
            raise SaveError(_sentence(self.path, error)) from error


def _sum(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _read_list(path: Path) -> Listed:
    """Return the list; one that is not there or cannot be understood makes nothing ours."""
    try:
        read = _table(json.loads(path.read_bytes()) if path.stat().st_size <= LARGEST_LIST else {})
    except (FileNotFoundError, ValueError, RecursionError):
        read = {}
    marks = {
        stem: {name: _texts(kept) for name, kept in _table(files).items()}
        for stem, files in _table(read.get("marks")).items()
    }
    return Listed(_texts(read.get("sha256")), marks)


def _table(read: Any) -> dict[str, Any]:
    return {str(name): value for name, value in read.items()} if isinstance(read, dict) else {}


def _texts(read: Any) -> dict[str, str]:
    return {name: str(value) for name, value in _table(read).items()}


def _try_out(path: Path) -> None:
    """Raise the OSError that writing to the folder gives, before a minute's work is done for nothing."""
    probe = path / ".boltwright-probe"
    replace_file(probe, b"", None, flush=False)
    probe.unlink()


def _sentence(path: Path, error: OSError | ValueError) -> str:
    if isinstance(error, OSError):
        why = _WHY.get(error.errno or 0, error.strerror or str(error))
    else:
        why = "no folder can have this name"
    return f"The folder {plain(str(path))} took no sheets: {why}"
