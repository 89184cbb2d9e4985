"""One value of a lock as a line of a project file, and such a line set in place."""

from typing import TYPE_CHECKING, Any

from core.files.project_tables import toml_value
from core.lock.lock import Lock, spec_of, to_file_at
from core.lock.paths import label_in_row, place_at

if TYPE_CHECKING:
    from tomlkit.items import Item

COMMENT_COLUMN = 30


def value_line(path: str, lock: Lock) -> str:
    """Return the line that sets a value, with a comment that says more than its key does."""
    spec, key = spec_of(path), place_at(path).key
    # the heading of the table names a row already
    name = label_in_row(path) if place_at(path).row else spec.label
    said = [] if name == key.replace("_", " ") else [name]  # no echo of the key
    comment = ": ".join([*said, *([" | ".join(spec.choices)] if spec.choices else [])])
    return commented(f"{key} = {toml_at(path, lock)}", comment)


def commented(setting: str, comment: str) -> str:
    """Return a line with a comment in its column."""
    return f"{setting.ljust(COMMENT_COLUMN)} # {comment}" if comment else setting


def toml_at(path: str, lock: Lock) -> str:
    """Return the value at a path as TOML."""
    return toml_value(to_file_at(path, lock.value(path)))


def set_in_place(holder: Any, key: str, toml: str) -> None:
    """Set a value, written as TOML, in a tomlkit table; its comment stays in its column."""
    import tomlkit

    width = _width(holder[key]) if key in holder else 0
    holder[key] = tomlkit.value(toml)
    trivia = holder[key].trivia
    if trivia.comment:
        room = width - _width(holder[key]) + len(trivia.comment_ws)
        trivia.comment_ws = " " * max(1, room)


def _width(item: "Item") -> int:
    """Return the columns from where a value begins to its comment."""
    return len(item.as_string()) + len(item.trivia.comment_ws)
