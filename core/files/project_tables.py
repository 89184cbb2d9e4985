"""Fields of a lock that are tables with keys of their own, in the text of a project file.

What a file holds in such tables beyond what this program knows stays there. A key of it is told by its
whole name, `bolt.planned.key.radius`, whether the file has it dotted, quoted or in nested tables.
"""

import json
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, MutableMapping
from typing import Any

from core.errors import BadFileError
from core.files.toml_guard import parse_toml
from core.lock.fields import flat, leaf_keys

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def unknown_leaves(tree: Mapping[str, Any], known: Mapping[str, Any]) -> list[str]:
    """Return the names of the leaves in `tree` that `known` has not."""
    here = dict(flat(known))
    return [name for name, _ in flat(tree) if name not in here]


def table_lines(field: str, about: str, tables: Mapping[str, Any]) -> Iterator[str]:
    """Yield the lines of a file for the `tables` of one field, an empty line before each."""
    for part, sides in tables.items():
        if not sides:
            yield from ("", f"[{field}.{bare_or_quoted(part)}]  # {about}")
        for side, values in sides.items():
            yield from _block(field, part, side, about, values)


def _block(
    field: str, part: str, side: str, about: str, values: Mapping[str, Any]
) -> Iterator[str]:
    yield from ("", f"[{field}.{bare_or_quoted(part)}.{bare_or_quoted(side)}]  # {about}")
    yield from (f"{name} = {toml_value(value)}" for name, value in values.items())


def set_tables(
    document: Any, field: str, about: str, old: Mapping[str, Any], new: Mapping[str, Any]
) -> tuple[Any, list[str]]:
    """Set what differs between two values of a field into a tomlkit document.

    Return the document and the lines to add to its text. Comments, order and unknown keys stay where the
    text allows it; tables that are written so that nothing can be added to them, such as in one
    line, are written afresh.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    before = document.as_string()
    wanted = parse_toml(before).get(field, {})
    _set(wanted, old, new, _put_plainly)
    for part in new:
        wanted.setdefault(part, {})
    try:
        added = list(_set_in_text(document, field, about, old, new))
        if _reads_as(document.as_string(), added, field, wanted):
            return document, added
    except (TOMLKitError, LookupError):
        # it has no way to change tables that are written like this, or loses count of those that stand apart
        pass
    afresh = tomlkit.parse(before)
    afresh.remove(field)
    return afresh, ["", *tomlkit.dumps({field: wanted}).rstrip("\n").split("\n")]


def _set_in_text(
    document: Any, field: str, about: str, old: Mapping[str, Any], new: Mapping[str, Any]
) -> Iterator[str]:
    """Set what can be set in place and yield the lines of tables that are new."""
    if field not in document:
        yield from table_lines(field, about, new)
        return
    holder = document[field]
    yield from table_lines(field, about, {p: sides for p, sides in new.items() if p not in holder})
    kept: dict[str, dict[str, Any]] = {}
    for part in (part for part in new if part in holder):
        kept[part] = {side: values for side, values in new[part].items() if side in holder[part]}
        for side, values in new[part].items():
            if side not in kept[part]:
                yield from _block(field, part, side, about, values)
    _set(holder, old, kept, _put_in_text)
    if not holder:
        document.remove(field)


_Put = Callable[[Any, list[str], Any], None]


def _set(
    holder: MutableMapping[str, Any], old: Mapping[str, Any], new: Mapping[str, Any], put: _Put
) -> None:
    """Take away the leaves that `new` has no more, and `put` those that it has otherwise."""
    for part in old:
        if part not in new and part in holder:
            del holder[part]
    before, after = dict(flat(old)), dict(flat(new))
    for name in before:
        found = None if name in after else leaf_at(holder, leaf_keys(name))
        if found is not None:
            del found[0][found[1]]
    for name, value in after.items():
        if name not in before or before[name] != value:
            put(holder, leaf_keys(name), value)
    for part, sides in old.items():
        for side in sides if part in new else ():
            if side in holder[part] and not list(flat(holder[part][side])):
                del holder[part][side]


def leaf_at(
    holder: MutableMapping[str, Any], names: list[str]
) -> tuple[MutableMapping[str, Any], str] | None:
    """Return the table and the key under which a leaf stands, dotted, quoted or nested."""
    for count, _ in enumerate(names, 1):
        key = ".".join(names[:count])
        if key not in holder:
            continue
        if count == len(names):
            return holder, key
        if isinstance(holder[key], MutableMapping):
            found = leaf_at(holder[key], names[count:])
            if found is not None:
                return found
    return None


def _put_plainly(holder: Any, names: list[str], value: Any) -> None:
    found = leaf_at(holder, names)
    if found is not None:
        found[0][found[1]] = plain_value(value)
        return
    for name in names[:-1]:
        holder = holder.setdefault(name, {})
    holder[names[-1]] = plain_value(value)


def _put_in_text(holder: Any, names: list[str], value: Any) -> None:
    import tomlkit

    item = tomlkit.value(toml_value(value))
    found = leaf_at(holder, names)
    if found is not None:
        found[0][found[1]] = item
        return
    while len(names) > 1 and names[0] in holder:
        holder, names = holder[names[0]], names[1:]
    if not hasattr(holder, "append"):  # tables that stand apart in the file are a mere view of it
        raise LookupError(f"no place for {'.'.join(names)}")
    holder.append(tomlkit.key(names) if len(names) > 1 else names[0], item)


def _reads_as(text: str, added: Iterable[str], field: str, wanted: Mapping[str, Any]) -> bool:
    """Say whether a text with lines added is TOML that gives back the tables that are wanted."""
    try:
        found = parse_toml("\n".join([text, *added])).get(field, {})
    except BadFileError:
        return False
    if set(found) != set(wanted):
        return False
    # by their text, in which a NaN is like itself
    return {n: repr(v) for n, v in flat(found)} == {n: repr(v) for n, v in flat(wanted)}


def plain_value(value: Any) -> Any:
    """Return a value as the reader of TOML gives it back: tuples as lists."""
    return [plain_value(inner) for inner in value] if isinstance(value, tuple) else value


def bare_or_quoted(name: str) -> str:
    """Return a key as TOML has it."""
    return name if _BARE.fullmatch(name) else toml_value(name)


def toml_value(value: object) -> str:
    """Write one value of a lock, text or number or points, as TOML."""
    if isinstance(value, str):
        # JSON's escapes are all TOML's too; DEL is the one control character that JSON lets through
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, tuple):
        return f"[{', '.join(toml_value(inner) for inner in value)}]"
    return repr(value)
