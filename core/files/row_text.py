"""Rows set into the text of a project file: each keeps its comment, its unknown keys and its place.

A row is found again by the name under which it stood in the file (`Named.was`), so that one that was given
another name is still the same row, and a new one that took a free name is not.
"""

import copy
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from core.errors import BadFileError
from core.files.project_tables import plain_value
from core.files.row_blocks import Block, blocks
from core.files.toml_guard import parse_toml
from core.files.value_lines import commented, set_in_place, toml_at, value_line
from core.lock.fields import flat
from core.lock.lock import Lock
from core.lock.paths import row_path
from core.lock.row import Named, RowKind

Tree = dict[str, dict[str, Any]]


def row_lines(kind: RowKind, name: str, lock: Lock) -> list[str]:
    """Return the lines of a file for one row."""
    paths = (row_path(kind.table, name, key) for key in kind.specs)
    heading = commented(f"[{row_path(kind.table, name)}]", kind.about)
    return [heading, *(value_line(path, lock) for path in paths)]


def set_rows(text: str, kind: RowKind, old: Lock, new: Lock) -> str:
    """Return a TOML text, which states the rows of `old`, with those of `new` of one kind set into it.

    Comments, order and unknown keys stay where the text allows it; rows that are written so that nothing can be
    added to them or taken away, such as in one line, are written afresh.
    """
    from tomlkit.exceptions import TOMLKitError

    source = matched(old.rows.of(kind.table), new.rows.of(kind.table))
    before = parse_toml(text)
    wanted = {**before, kind.table: _wanted(before.get(kind.table, {}), kind, source, old, new)}
    if not wanted[kind.table]:
        del wanted[kind.table]
    try:
        made = _values_set(_arranged(text, kind, source, new), kind, source, old, new)
        if _reads_as(made, kind.table, wanted):
            return made
    except (TOMLKitError, LookupError, BadFileError):
        pass  # it is written in a way in which it cannot be changed, or not told apart
    return _afresh(text, kind, new, wanted)


def matched(old: Iterable[Named], new: Iterable[Named]) -> dict[str, str]:
    """Return which row of a file each of the `new` ones is, by their names; those that come from none are left out.

    One that came from the file is the row of the name that it had there, or, where it is from an earlier state
    of the file, the one that has the same values.
    """
    free = {named.name: named.row for named in old}
    names = set(free)
    found: dict[str, str] = {}
    kept = [named for named in new if named.was]

    def take(named: Named, among: Iterable[str]) -> None:
        name = next((name for name in among if name in free), None)
        if named.name not in found and name is not None:
            found[named.name] = name
            del free[name]

    for named in kept:
        take(named, [named.was] if free.get(named.was) == named.row else [])
    for named in kept:
        if named.was not in names:
            take(named, [name for name, row in free.items() if row == named.row])
    for named in kept:
        take(named, [named.was, named.name])
    return found


def _wanted(before: Tree, kind: RowKind, source: Mapping[str, str], old: Lock, new: Lock) -> Tree:
    """Return what the table is to hold: the rows in their order, each with its unknown keys."""
    found: Tree = {}
    for named in new.rows.of(kind.table):
        found[named.name] = copy.deepcopy(before.get(source.get(named.name, ""), {}))
        for key in _set_keys(kind, named.name, source, old, new):
            value = kind.specs[key].to_file(getattr(named.row, key))
            found[named.name][key] = plain_value(value)
    return found


def _set_keys(
    kind: RowKind, name: str, source: Mapping[str, str], old: Lock, new: Lock
) -> Iterator[str]:
    """Yield the keys of a row whose values are to be set: all those of a new one."""
    for key in kind.specs:
        here = new.value(row_path(kind.table, name, key))
        if name not in source or old.value(row_path(kind.table, source[name], key)) != here:
            yield key


# what rows there are, and in which order


def _arranged(text: str, kind: RowKind, source: Mapping[str, str], new: Lock) -> str:
    """Return the text with the rows that are wanted, under their names and in their order."""
    names = [named.name for named in new.rows.of(kind.table)]
    found = parse_toml(text).get(kind.table, {})
    if [source.get(name) for name in names] == names == list(found):
        return text
    now = {was: name for name, was in source.items()}
    pieces: list[Block] = []
    for block in blocks(text):
        row = _row_of(block, kind)
        if row is None:
            pieces.append(block)
        elif row in now:
            pieces.append(block.renamed((kind.table, now[row], *block.keys[2:])))
    stand = [name for name in names if name in source]
    pieces = _in_order(pieces, kind, stand)
    for number, name in enumerate(names):
        if name not in source:
            fresh = Block("\n".join([*row_lines(kind, name, new), "", ""]), (kind.table, name))
            _insert(pieces, kind, fresh, names[:number], names[number + 1 :])
    return "".join(piece.text for piece in pieces)


def _row_of(block: Block, kind: RowKind) -> str | None:
    return block.keys[1] if len(block.keys) > 1 and block.keys[0] == kind.table else None


def _in_order(pieces: list[Block], kind: RowKind, names: list[str]) -> list[Block]:
    """Return the pieces with the rows in the order of `names`: each goes where one of them stood."""
    rows = [piece for piece in pieces if _row_of(piece, kind) is not None]
    order = list(dict.fromkeys(_row_of(piece, kind) for piece in rows))
    if order == [name for name in names if name in order]:
        return pieces
    chunks = {name: [piece for piece in rows if _row_of(piece, kind) == name] for name in names}
    places = iter(names)
    seen: set[str | None] = set()
    done: list[Block] = []
    for piece in pieces:
        row = _row_of(piece, kind)
        if row is None:
            done.append(piece)
        elif row not in seen:
            seen.add(row)
            done += chunks[next(places)]
    return done


def _insert(
    pieces: list[Block], kind: RowKind, fresh: Block, before: list[str], after: list[str]
) -> None:
    """Put a new row below the one before it, or above the one after it, or else at the end."""
    at = len(pieces)
    above = [k for k, piece in enumerate(pieces) if before and _row_of(piece, kind) == before[-1]]
    below = [k for k, piece in enumerate(pieces) if after and _row_of(piece, kind) == after[0]]
    if above:
        at = above[-1] + 1
    elif below:
        at = below[0]
    text = "".join(piece.text for piece in pieces[:at])
    if text and not text.endswith("\n\n"):
        pieces.insert(at, Block("\n" if text.endswith("\n") else "\n\n"))
        at += 1
    pieces.insert(at, fresh)


# what the rows hold


def _values_set(text: str, kind: RowKind, source: Mapping[str, str], old: Lock, new: Lock) -> str:
    """Return the text with the values of its rows set; the rows themselves are there already."""
    import tomlkit

    here = parse_toml(text).get(kind.table, {})
    sets = {name: list(_set_keys(kind, name, source, old, new)) for name in source}
    lacking = {name: [k for k in keys if k not in here[name]] for name, keys in sets.items()}
    if any(lacking.values()):
        text = "".join(_completed(block, kind, lacking, new).text for block in blocks(text))
    if not any(sets.values()):
        return text
    document: Any = tomlkit.parse(text)
    for name, keys in sets.items():
        for key in keys:
            set_in_place(
                document[kind.table][name], key, toml_at(row_path(kind.table, name, key), new)
            )
    return str(document.as_string())


def _completed(block: Block, kind: RowKind, lacking: Mapping[str, list[str]], new: Lock) -> Block:
    """Return the block of a row with the lines of values that the file did not have."""
    name = _row_of(block, kind)
    if name is None or len(block.keys) > 2 or not lacking.get(name):
        return block
    return block.with_lines(
        [value_line(row_path(kind.table, name, key), new) for key in lacking[name]]
    )


def _afresh(text: str, kind: RowKind, new: Lock, wanted: Mapping[str, Any]) -> str:
    """Return the text with the rows written anew at its end; unknown keys are kept, comments are not."""
    import tomlkit

    document = tomlkit.parse(text)
    if kind.table in document:
        document.remove(kind.table)
    lines = []
    for name, values in wanted.get(kind.table, {}).items():
        lines += ["", *row_lines(kind, name, new)]
        beyond = {key: value for key, value in values.items() if key not in kind.specs}
        if beyond:
            more = tomlkit.dumps({kind.table: {name: beyond}}).strip().split("\n")
            lines += [line for line in more if line != f"[{row_path(kind.table, name)}]"]
    return "\n".join([document.as_string().rstrip("\n"), *lines, ""])


def _reads_as(text: str, table: str, wanted: Mapping[str, Any]) -> bool:
    """Say whether a text is TOML that holds what is wanted, its rows in their order."""
    try:
        found = parse_toml(text)
    except BadFileError:
        return False
    if list(found.get(table, {})) != list(wanted.get(table, {})):
        return False
    # by their text, in which a NaN is like itself
    return _leaves(found) == _leaves(wanted)


def _leaves(tree: Mapping[str, Any]) -> dict[str, str]:
    return {name: repr(value) for name, value in flat(tree)}
