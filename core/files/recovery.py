"""The recovery copy: every accepted value on the disk, beside the project file, until it is saved.

It is a project file of its own. A broken one never stands in the way of a good project file.
"""

import os
from dataclasses import dataclass
from pathlib import Path

from core.errors import BadFileError, SaveError
from core.files.notes import RECOVERY_UNREADABLE
from core.files.project_file import load
from core.files.project_text import fresh_text
from core.files.safe_save import replace_file
from core.layout.findings import Finding
from core.lock.lock import Lock, checked
from core.text import plain

_UNSAVED = ".unsaved-lock.recovery"


@dataclass(frozen=True)
class Recovery:
    """A recovery copy that was found.

    `lock` is None for one that cannot be read, with the reason in `note`. `time` is when it was
    written [s since 1970, as in `os.stat`].
    """

    path: Path
    time: float
    lock: Lock | None = None
    note: Finding | None = None


def recovery_path(place: Path) -> Path:
    """Return where the copy stands: for a project file, or a folder for an unsaved lock."""
    if place.is_dir():
        return place / _UNSAVED
    target = Path(os.path.realpath(place))
    return target.with_name(f".{target.name}.recovery")


def save_recovery(lock: Lock, place: Path) -> None:
    """Write the recovery copy of `lock` for a project file, or a folder for an unsaved lock.

    Raises
    ------
    SaveError
        Where it could not be written; an older copy is still there.
    """
    path = recovery_path(place)
    try:
        # without waiting for the disk: this runs at every value, and a copy that a power cut
        # spoils is told by its missing last line
        replace_file(path, fresh_text(checked(lock)).encode(), 0o600, flush=False)
    except OSError as error:
        why = error.strerror or str(error)
        raise SaveError(f"The recovery copy {plain(str(path))} was not written: {why}") from error
    except UnicodeEncodeError as error:
        raise SaveError(
            "The recovery copy was not written: a text holds half a character"
        ) from error


def load_recovery(place: Path) -> Recovery | None:
    """Return the recovery copy for a project file, or for a folder; None where there is none.

    The lock it holds may be the saved one: compare before offering it.
    """
    path = recovery_path(place)
    try:
        time = path.stat().st_mtime
    except OSError:  # none there, or none that we could get at
        return None
    try:
        return Recovery(path, time, load(path).lock)
    except BadFileError as error:
        text = f"There is a recovery copy that cannot be read; it is left as it is. {error}."
        return Recovery(path, time, None, RECOVERY_UNREADABLE.found(text))


def drop_recovery(place: Path) -> None:
    """Take away the recovery copy, after a save or when the maker does not want it.

    Raises
    ------
    SaveError
        Where one is there and cannot be taken away.
    """
    path = recovery_path(place)
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        why = error.strerror or str(error)
        raise SaveError(f"The recovery copy {plain(str(path))} is still there: {why}") from error
