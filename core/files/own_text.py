"""How values are written in the maker's own file, so that one that is taken back is written as it was.

`radius = "27/32 in"` may be changed and saved, and the change taken back: the lock then has its 21.43125 mm
again, and the file the words. Kept are the text of a value and the gap before its remark, by the value's whole
name and by the value itself. They stand in the history beside the file.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from core.files.project_tables import leaf_at, toml_value
from core.lock.fields import flat, leaf_keys
from core.lock.lock import Lock, paths, table_fields, to_file_at


class Own(NamedTuple):
    """The text of a value in a file, and the gap between it and the remark on its line."""

    text: str
    gap: str


Texts = Mapping[str, Mapping[str, Own]]
"""How values were written: by whole name, such as `key.radius`, and by the value as TOML."""
Leaves = Mapping[str, str]
"""Every value of a lock as TOML, by its whole name."""
NO_TEXTS: Texts = MappingProxyType({})


def gathered(texts: Texts, document: Any, old: Leaves, new: Leaves) -> Texts:
    """Return `texts` with those of every value of `old`, read from a `document` of tomlkit, that `new` has otherwise.

    `document` is None for a file that tomlkit cannot read: no text is kept.
    """
    if document is None:
        return texts
    gone = {name: text for name, text in old.items() if new.get(name) != text}
    found = {name: dict(kept) for name, kept in texts.items()}
    for name, value in gone.items():
        at = leaf_at(document, leaf_keys(name))
        if at is not None:
            item: Any = at[0][at[1]]
            found.setdefault(name, {})[value] = Own(item.as_string(), item.trivia.comment_ws)
    return found


def rewritten(text: str, texts: Texts, old: Leaves, new: Leaves) -> str:
    """Return a file's text, which reads as `new`, with each value written as it once was.

    Only what `old` has otherwise is touched.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    known = {
        name: texts[name][value]
        for name, value in new.items()
        if old.get(name) != value and value in texts.get(name, {})
    }
    if not known:
        return text
    try:
        document = tomlkit.parse(text)
        for name, own in known.items():
            at = leaf_at(document, leaf_keys(name))
            if at is not None:
                at[0][at[1]] = tomlkit.value(own.text)
                trivia = at[0][at[1]].trivia
                if trivia.comment:
                    trivia.comment_ws = own.gap
    except (
        TOMLKitError,
        LookupError,
    ):  # no way into tables that are written so: the value is right as it is
        return text
    return document.as_string()


def parsed(text: str) -> Any:
    """Return the document of tomlkit's for a text without line ends of two kinds; None where it cannot be read.

    It knows fewer ways to write TOML than the reader.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    try:
        return tomlkit.parse(text)
    except TOMLKitError:
        return None


def plain_ends(source: str) -> str:
    """Return a file's text without the mark at its beginning, and with line ends of one kind."""
    return source.removeprefix("\ufeff").replace("\r\n", "\n")


def leaves(lock: Lock) -> Leaves:
    """Return every value of a lock as TOML, by its whole name."""
    found = {path: toml_value(to_file_at(path, lock.value(path))) for path in paths(lock)}
    for name, field in table_fields().items():
        tables = flat(field.write(getattr(lock, name), to_file_at))
        found |= {f"{name}.{leaf}": toml_value(value) for leaf, value in tables}
    return found
