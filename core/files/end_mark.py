"""What the last lines of a file say of the lines above: how many values, and their digest.

`# end of lock`, promised by the first line, shows that a file is whole; the line above it, that its values
are those that this program wrote. A remark, a blank or another order of keys changes no value. A file by hand, or
one of a program before this line, has none and is asked for none.
"""

import hashlib
import json
from collections.abc import Mapping
from typing import Any

from core.files.notes import CHANGED_OUTSIDE
from core.layout.findings import Finding
from core.lock.fields import flat

CHECK = r"# (?P<count>[0-9]+) values, check (?P<check>[0-9a-f]{16})"
"""The line above the last one, as a pattern."""


def check_line(tree: Mapping[str, Any]) -> str:
    """Return the line that tells of the values in the tables of a file."""
    return f"# {_count(tree)} values, check {_digest(tree)}"


def changed_since(tree: Mapping[str, Any], count: str, check: str) -> Finding | None:
    """Return a note if the values of a file are not those that its check line tells of."""
    if check == _digest(tree):
        return None
    found = _count(tree)
    differs = "" if found == int(count) else f", and it holds {found} values, not {count}"
    text = (
        f"The file was changed after this program last wrote it{differs}: by hand, or by a fault on its way. "
        "Its values are taken as they are; look them over."
    )
    return CHANGED_OUTSIDE.found(text)


def _count(tree: Mapping[str, Any]) -> int:
    return sum(1 for _ in flat(tree))


def _digest(tree: Mapping[str, Any]) -> str:
    whole = json.dumps(_told(tree), sort_keys=True)
    return hashlib.sha256(whole.encode()).hexdigest()[:16]


def _told(value: Any) -> Any:
    """Return a value of TOML as JSON can have it: dates and whole numbers of any length as words."""
    if isinstance(value, Mapping):
        return {key: _told(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_told(inner) for inner in value]
    if isinstance(value, str | float | bool):
        return value
    return ["whole", f"{value:x}"] if isinstance(value, int) else ["date", str(value)]
