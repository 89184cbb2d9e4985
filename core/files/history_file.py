"""The history on the disk, beside the project file, so that changes can be taken back after reloading.

It is bounded and holds only what differs from step to step, and how values of the file were written before they
were changed. It is tied to the project file's text by its SHA-256 (FIPS 180-4): a file that was edited
elsewhere meanwhile gets no history, and a damaged history is none. Neither ever stands in the way of a good
project file.
"""

import hashlib
import json
import stat
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from core.errors import BadValueError, SaveError
from core.files.claims import alone, beside, target_of
from core.files.end_mark import changed_since, check_line
from core.files.notes import HISTORY_UNUSED
from core.files.own_text import NO_TEXTS, Own, Texts
from core.files.project_text import END, end_mark
from core.files.safe_save import replace_file
from core.files.toml_guard import parse_toml
from core.layout.findings import Finding
from core.lock.history import History, Step
from core.lock.lock import Lock, from_file_at, paths, spec_of, table_fields, to_file_at
from core.lock.paths import place_at, row_path
from core.lock.row import Named
from core.lock.row_changes import made_row, names_in, with_row, without_row
from core.lock.row_kinds import row_kinds
from core.text import plain

FORMAT = 1
MOST_STEPS = 500
"""Steps that are kept on each side."""
LARGEST = 256_000
"""Bytes of the largest history that is written or read; the oldest steps go first."""
_PATIENCE = 0.5  # [s] it is written again at the next save
LONGEST_NAME = 200
"""Characters of a step's name that are kept."""


@dataclass(frozen=True)
class KeptHistory:
    """The history that was found, empty where none could be used, with the reason in `note`.

    `texts` tells how values that were changed had been written in the file.
    """

    history: History
    note: Finding | None = None
    texts: Texts = field(default_factory=dict)


def history_path(place: Path) -> Path:
    """Return where the history of a project file stands: beside it, hidden."""
    return beside(place, "history")


def save_history(
    history: History, now: Lock, place: Path, text: str, texts: Texts = NO_TEXTS
) -> None:
    """Write the history of the lock `now`, which stands as `text` in the project file at `place`.

    `texts` tells how values that were changed had been written there.

    Raises
    ------
    SaveError
        Where it could not be written; an older one is still there, and no longer fits the file.
    """
    path = history_path(place)
    try:
        if history == History():
            path.unlink(missing_ok=True)
            return
        data = _written(history, now, text, texts)
        with alone(place, _PATIENCE):
            # without waiting for the disk: it can be lost, and a spoilt one is known for it
            replace_file(path, data, 0o600, flush=False, family=target_of(place))
    except UnicodeEncodeError as error:
        raise SaveError(
            "The list of changes was not written: a text in it holds half a character"
        ) from error
    except OSError as error:
        why = str(error) if isinstance(error, SaveError) else error.strerror or str(error)
        raise SaveError(f"The list of changes {plain(str(path))} was not written: {why}") from error


def load_history(now: Lock, place: Path, text: str) -> KeptHistory:
    """Return the history of the lock `now`, which was read as `text` from the project file at `place`."""
    path = history_path(place)
    try:
        data = _read(path)
    except FileNotFoundError:
        return KeptHistory(History())
    except OSError as error:
        return _refused(f"cannot be read: {error.strerror or error}")
    try:
        whole = _tables(data)
        return KeptHistory(_history(whole, now, text), None, _texts(whole.get("texts", {})))
    except _OtherFileError:
        return _refused("belongs to another state of the file, which was changed elsewhere")
    except (
        ValueError,
        KeyError,
        TypeError,
        AttributeError,
        RecursionError,
    ):  # whatever a damaged file may hold
        return _refused("is damaged")


def drop_history(place: Path) -> None:
    """Take away the history of a project file.

    Raises
    ------
    SaveError
        Where one is there and cannot be taken away.
    """
    save_history(History(), Lock(), place, "")


class _OtherFileError(Exception):
    """The history was written for another text."""


def _refused(why: str) -> KeptHistory:
    text = f"The list of earlier changes {why}; it is not used."
    return KeptHistory(History(), HISTORY_UNUSED.found(text))


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def _written(history: History, now: Lock, text: str, texts: Texts) -> bytes:
    import tomli_w  # of no use before something is saved

    past = list(_steps(history.past[-MOST_STEPS:], now))
    ahead = list(_steps(history.ahead[-MOST_STEPS:], now))
    while True:
        whole = {
            "format": FORMAT,
            "of": _digest(text),
            "past": past,
            "ahead": ahead,
            "texts": texts,
        }
        data = f"{tomli_w.dumps(whole)}{check_line(whole)}\n{END}\n".encode()
        if len(data) <= LARGEST or not (past or ahead):
            return data
        if texts:  # a value is right in any form
            texts = NO_TEXTS
            continue
        # the far half of the longer side goes: what is near is wanted back first
        longer = past if len(past) >= len(ahead) else ahead
        del longer[len(longer) // 2 :]


def _steps(steps: Iterable[Step], now: Lock) -> Iterator[dict[str, Any]]:
    """Yield the steps, nearest to `now` first, each with what its lock has otherwise than the one before."""
    for step in reversed(tuple(steps)):
        rows = {
            table: {named.name: _row(table, named) for named in step.lock.rows.of(table)}
            for table in row_kinds()
            if names_in(step.lock, table) != names_in(now, table)
        }
        yield {
            "what": step.what[:LONGEST_NAME],
            "path": step.path,
            **({"rows": rows} if rows else {}),
            "set": {
                path: to_file_at(path, step.lock.value(path))
                for path in paths(step.lock)
                if now.has(path) and step.lock.value(path) != now.value(path)
            },
            "tables": {
                name: field.write(getattr(step.lock, name), to_file_at)
                for name, field in table_fields().items()
                if getattr(step.lock, name) != getattr(now, name)
            },
        }
        now = step.lock


def _row(table: str, named: Named) -> dict[str, Any]:
    specs = row_kinds()[table].specs
    return {key: spec.to_file(getattr(named.row, key)) for key, spec in specs.items()}


def _read(path: Path) -> bytes:
    # a pipe or a device could keep us waiting for ever: look before opening
    if not stat.S_ISREG(path.stat().st_mode):
        raise OSError("it is no plain file")
    with path.open("rb") as file:
        data = file.read(LARGEST + 1)
    if len(data) > LARGEST:
        raise OSError("it is far too large")
    return data


def _tables(data: bytes) -> dict[str, Any]:
    """Return what a history holds; one of an earlier program is JSON."""
    text = data.decode()
    if text.startswith("{"):
        whole: dict[str, Any] = json.loads(text)
        return whole
    tree, mark = parse_toml(text), end_mark(text)
    if mark is None or mark["check"] is None or changed_since(tree, mark["count"], mark["check"]):
        raise ValueError("not as it was written")
    return tree


def _texts(tree: Any) -> Texts:
    return {
        name: {value: Own(*map(str, own)) for value, own in kept.items()}
        for name, kept in tree.items()
    }


def _history(whole: Any, now: Lock, text: str) -> History:
    if whole["format"] != FORMAT:
        raise ValueError("another format")
    if whole["of"] != _digest(text):
        raise _OtherFileError
    sides = (tuple(_read_steps(whole[side], now)) for side in ("past", "ahead"))
    return History(*(tuple(reversed(side)) for side in sides))


def _read_steps(steps: Any, now: Lock) -> Iterator[Step]:
    for step in steps[:MOST_STEPS]:
        what, path = step["what"], step["path"]
        if not isinstance(what, str) or not _names(path):
            raise ValueError("no step")
        for table, rows in step.get("rows", {}).items():
            now = _with_rows(now, table, rows)
        for inner, value in step["set"].items():
            now = now.with_value(inner, from_file_at(inner, value, inner))
        for name, tables in step["tables"].items():
            now = _with_tables(now, name, tables)
        yield Step(plain(what[:LONGEST_NAME]), path, now)


def _names(path: str) -> bool:
    """Say whether a step may be of this path: of a value, of a whole row, or of nothing in particular."""
    return not path or (place_at(path).row != "" and not place_at(path).key) or bool(spec_of(path))


def _with_rows(lock: Lock, table: str, rows: Any) -> Lock:
    """Return the lock with the rows of a table as a step has them, told from the file's own by their names."""
    for name in names_in(lock, table):
        lock = without_row(lock, table, name)
    for name, values in rows.items():
        good = {
            key: from_file_at(row_path(table, name, key), value, row_path(table, name, key))
            for key, value in values.items()
        }
        lock = with_row(lock, table, name, made_row(table, name, good), was=name)
    return lock


def _with_tables(lock: Lock, name: str, tables: Any) -> Lock:
    if not isinstance(tables, dict):
        raise BadValueError(f"{name} takes tables")
    return replace(lock, **{name: table_fields()[name].read(tables, from_file_at)})
