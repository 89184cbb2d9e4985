"""The project file on the disk: one lock as TOML, read with care and written without loss."""

import dataclasses
import stat
from pathlib import Path

from core.errors import BadFileError, SaveError
from core.files.claims import target_of
from core.files.notes import NOT_SYNCED
from core.files.own_text import Texts
from core.files.project_reading import Reading, read_text
from core.files.project_text import edited, edited_text, fresh_text
from core.files.safe_save import save_over
from core.files.toml_guard import LARGEST_FILE
from core.layout.findings import Finding
from core.lock.lock import Lock, checked
from core.text import plain


@dataclasses.dataclass(frozen=True)
class Project:
    """A lock with the file it came from.

    `path` is None for a lock that was never saved. `notes` are the findings of reading: defaults
    that were taken, keys that are unknown; and of saving: a folder that could not be synced. `source`
    is the text as it was read: changes are set into it, and by it a file that somebody else changed
    meanwhile is noticed. `texts` tells how values that were changed had been written.
    """

    path: Path | None
    lock: Lock
    notes: tuple[Finding, ...] = ()
    source: str | None = None
    texts: Texts = dataclasses.field(default_factory=dict, compare=False)

    def with_lock(self, lock: Lock) -> "Project":
        """Return the same project with another lock."""
        return dataclasses.replace(self, lock=lock)


def load(path: Path) -> Project:
    """Read a project file.

    Raises
    ------
    BadFileError
        For a file that cannot be read as a lock: one sentence with file, key, value and what is
        allowed.
    """
    name = plain(str(path))
    try:
        source = _decoded(_read(path))
        reading = read_text(source)
    except BadFileError as error:
        raise BadFileError(f"{name}: {error}") from error
    return Project(path, reading.lock, reading.notes, source)


def save(project: Project, path: Path | None = None, *, over: bool = False) -> Project:
    """Write the lock to `path`, or to the file it came from, and return the project as saved.

    The text is read back, and compared, before the disk is touched. What was in the file before is
    kept beside it under the same name with a ~. A recovery copy is left as it is: see
    `core.files.recovery.drop_recovery`. What is in its place and might yet be undone by a power cut is saved,
    with a note, `NOT_SYNCED`.

    Raises
    ------
    ChangedOnDiskError
        Where the file is not what was read, or another one is there already; `over` writes
        nevertheless.
    SaveError
        Where nothing could be written: a full disk, a folder without permission, and so on.
    BadValueError
        For a lock, built in code, with a value that may not stand.
    """
    target = path or project.path
    if target is None:
        raise SaveError("This lock has no file yet: give it a name to save it under")
    text, reading, texts = _checked_text(project, plain(str(target)))
    same = project.path is not None and target_of(target) == target_of(project.path)
    expected = project.source.encode() if same and project.source is not None else None
    why = save_over(target, text.encode(), expected, over=over)
    notes = (*reading.notes, *([_not_synced(target, why)] if why else []))
    return Project(target, reading.lock, notes, text, texts)


def _not_synced(target: Path, why: str) -> Finding:
    text = (
        f"{plain(str(target))} is saved, but its folder could not be put on the disk for sure ({why}): if the power "
        "fails within half a minute, the older state may be back. Save once more to try again."
    )
    return NOT_SYNCED.found(text)


def _read(path: Path) -> bytes:
    try:
        # a pipe or a device could keep us waiting for ever: look before opening
        kind = path.stat().st_mode
        if stat.S_ISREG(kind):
            with path.open("rb") as file:
                data = file.read(LARGEST_FILE + 1)
    except FileNotFoundError as error:
        raise BadFileError("there is no such file") from error
    except OSError as error:
        raise BadFileError(f"it cannot be read: {error.strerror}") from error
    except ValueError as error:  # a NUL in the name
        raise BadFileError("no file can have this name") from error
    if stat.S_ISDIR(kind):
        raise BadFileError("it is a folder, not a project file")
    if not stat.S_ISREG(kind):
        raise BadFileError("it is not a file that can be read as a whole")
    if len(data) > LARGEST_FILE:
        raise BadFileError("it is larger than 1 MB, far more than a lock needs")
    return data


def _decoded(data: bytes) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise BadFileError(
            f"it is not UTF-8 text, at byte {error.start + 1}: save it as UTF-8 in your editor"
        ) from error


def _checked_text(project: Project, name: str) -> tuple[str, Reading, Texts]:
    """Return the text to save, what it reads as, and how values that go had been written.

    Refuse one that does not give the lock back.
    """
    try:
        lock = checked(project.lock)
        if project.source is None:
            text, texts, unknown = fresh_text(lock), project.texts, {}
        else:
            before = read_text(project.source)
            unknown = dict(before.unknown)
            text, texts = edited(project.source, before.lock, lock, project.texts)
            if read_text(text).lock != lock:  # better written anew than not saved
                text = edited_text(project.source, before.lock, lock)
        text.encode()
        after = read_text(text)
    except UnicodeEncodeError as error:
        raise SaveError(f"{name} was not saved: a text in it holds half a character") from error
    except BadFileError as error:
        raise SaveError(f"{name} was not saved: written out, {error}") from error
    # nan differs from itself
    alike = (after.lock, after.lock.walk) == (project.lock, project.lock.walk)
    if not alike or repr(after.unknown) != repr(unknown):
        raise SaveError(
            f"{name} was not saved: its text does not read back as the same lock, which is a fault "
            "in this program; what you typed is in the recovery copy"
        )
    return text, after, texts
