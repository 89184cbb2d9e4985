"""The recovery copy: every accepted value on the disk, beside the project file, until it is saved.

It is a project file of its own, written by a machine for a machine: without remarks, with what is typed and not
yet entered, and with any field of a lock that project files know nothing of. A broken one never stands
in the way of a good project file.

A *seat* tells apart the copies of programs that have one lock open, and of locks without a file in one
folder: the first program at a project file has the seat "", every other one a number of its own.
"""

import dataclasses
import os
import re
import typing
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from core.errors import BadFileError, BadValueError, SaveError
from core.files.claims import alone, beside, target_of
from core.files.notes import CHANGED_OUTSIDE, RECOVERY_UNREADABLE
from core.files.project_file import load
from core.files.project_reading import read_text
from core.files.project_text import HEAD, marked
from core.files.safe_save import replace_file, sweep
from core.files.structure import from_tree, to_tree
from core.files.toml_guard import parse_toml
from core.layout.findings import Finding
from core.lock.lock import FORMAT, Lock, checked, paths, table_fields, to_file_at
from core.lock.paths import place_at
from core.lock.row_changes import names_in_file, with_names_in_file
from core.text import plain

_ENDING = "recovery"
_PATIENCE = 0.5  # [s] it is written again at the next value
_BESIDE = "recovery"
"""The table of the copy for what is not the lock's, or what no project file holds."""
_SEAT = r"(?:\.(?P<seat>[0-9a-f]{8}))?"


@dataclass(frozen=True)
class Typed:
    """What stands in an entry line and was not entered: the path that it is asked for, and the text."""

    path: str
    text: str


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
    typed: Typed | None = None
    seat: str = ""


def recovery_path(place: Path, seat: str = "") -> Path:
    """Return where the copy stands: for a project file, or a folder for an unsaved lock."""
    return beside(place, _ENDING, seat)


def save_recovery(lock: Lock, place: Path, *, seat: str = "", typed: Typed | None = None) -> None:
    """Write the recovery copy of `lock` for a project file, or a folder for an unsaved lock.

    It is read back from the disk, and takes an older copy's place only when it gives the lock back whole.

    Raises
    ------
    SaveError
        Where it could not be written; an older copy is still there.
    """
    path, target = recovery_path(place, seat), target_of(place)
    name = plain(str(path))
    try:
        data = _text(lock, typed).encode()
        with alone(place, _PATIENCE) as sure:
            if sure:
                sweep(target)
            # waits for the disk: a copy is for the day when the power fails
            replace_file(path, data, 0o600, family=target)
    except UnicodeEncodeError as error:
        raise SaveError(
            "The recovery copy was not written: a text holds half a character"
        ) from error
    except OSError as error:
        why = str(error) if isinstance(error, SaveError) else error.strerror or str(error)
        raise SaveError(f"The recovery copy {name} was not written: {why}") from error
    except (BadFileError, BadValueError) as error:
        raise SaveError(f"The recovery copy {name} was not written: {error}") from error


def load_recovery(place: Path, seat: str | None = None) -> Recovery | None:
    """Return the recovery copy for a project file, or for a folder, by default the newest of all seats.

    None where there is none. The lock it holds may be the saved one: compare before offering it.
    """
    if seat is None:
        return next(iter(load_recoveries(place)), None)
    path = recovery_path(place, seat)
    try:
        time = path.stat().st_mtime
    except OSError:  # none there, or none that we could get at
        return None
    try:
        lock, note, typed = _read(path)
        return Recovery(path, time, lock, note, typed, seat)
    except (BadFileError, BadValueError) as error:
        text = f"There is a recovery copy that cannot be read; it is left as it is. {error}."
        return Recovery(path, time, None, RECOVERY_UNREADABLE.found(text), None, seat)


def load_recoveries(place: Path) -> tuple[Recovery, ...]:
    """Return the recovery copies of all seats for a project file, or for a folder, the newest first."""
    found = (load_recovery(place, seat) for seat in _seats(place))
    return tuple(sorted((copy for copy in found if copy is not None), key=lambda copy: -copy.time))


def drop_recovery(place: Path, seat: str = "") -> None:
    """Take away the recovery copy, after a save or when the maker does not want it.

    Raises
    ------
    SaveError
        Where one is there and cannot be taken away.
    """
    path = recovery_path(place, seat)
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        why = error.strerror or str(error)
        raise SaveError(f"The recovery copy {plain(str(path))} is still there: {why}") from error


def _seats(place: Path) -> Iterator[str]:
    own = recovery_path(place)
    pattern = re.compile(rf"{re.escape(own.name.removesuffix(f'.{_ENDING}'))}{_SEAT}\.{_ENDING}")
    try:
        names = sorted(os.listdir(own.parent))
    except OSError:
        return
    for name in names:
        match = pattern.fullmatch(name)
        if match:
            yield match["seat"] or ""


def _text(lock: Lock, typed: Typed | None) -> str:
    """Return the copy as text, after it has been read back and found whole."""
    text = _laid_out(_tree(checked(lock)))
    known = read_text(text).lock
    other = {
        field.name: to_tree(getattr(lock, field.name))
        for field in dataclasses.fields(lock)
        if getattr(known, field.name, None) != getattr(lock, field.name)
    }
    apart: dict[str, Any] = {"typed": to_tree(typed)} if typed is not None else {}
    apart |= {"fields": other} if other else {}
    apart |= {"rows": names} if (names := names_in_file(lock)) else {}
    if apart:
        text = _laid_out({**_tree(lock), _BESIDE: apart})
    if _lock_in(text) != (lock, typed):
        raise BadValueError(
            "it does not read back as the same lock, which is a fault in this program"
        )
    return text


def _tree(lock: Lock) -> dict[str, Any]:
    """Return the tables of a project file."""
    tree: dict[str, Any] = {"format": FORMAT}
    for path in paths(lock):
        *tables_above, key = place_at(path).names
        holder = tree
        for name in tables_above:
            holder = holder.setdefault(name, {})
        holder[key] = to_tree(to_file_at(path, lock.value(path)))
    for name, field in table_fields().items():
        tables = field.write(getattr(lock, name), to_file_at)
        tree |= {name: tables} if tables else {}
    return tree


def _laid_out(tree: Mapping[str, Any]) -> str:
    import tomli_w  # of no use before something is changed

    return marked(f"{HEAD}\n{tomli_w.dumps(tree)}")


def _read(path: Path) -> tuple[Lock, Finding | None, Typed | None]:
    project = load(path)
    lock, typed = _lock_in(project.source or "")
    changed = (note for note in project.notes if note.code == CHANGED_OUTSIDE.name)
    return lock, next(changed, None), typed


def _lock_in(text: str) -> tuple[Lock, Typed | None]:
    lock = read_text(text).lock
    apart = parse_toml(text).get(_BESIDE, {})
    if not isinstance(apart, dict):
        return lock, None
    typed = from_tree(Typed, apart["typed"]) if "typed" in apart else None
    fields, hints = apart.get("fields", {}), typing.get_type_hints(Lock)
    if not isinstance(fields, dict) or not fields.keys() <= hints.keys():
        raise BadValueError(
            f"it holds a field that is unknown to this program: {', '.join(fields)}"
        )
    values = {name: from_tree(hints[name], tree) for name, tree in fields.items()}
    lock = checked(dataclasses.replace(lock, **values)) if values else lock
    return with_names_in_file(lock, apart.get("rows", {})), typed
