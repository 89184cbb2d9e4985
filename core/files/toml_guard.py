"""Read TOML that somebody else wrote, without being tied up by it.

`tomllib` takes time that grows with the square of a dotted key's length, and a stack frame for each
bracket: both are bounded here before it sees the text.
"""

import re
import tomllib
from typing import Any

from core.errors import BadFileError
from core.text import plain

LARGEST_FILE = 1_000_000
"""Bytes in the largest project file that is read."""
DEEPEST_KEY = 10
"""Parts of the longest dotted key or table name that is read."""
DEEPEST_NEST = 20
"""Brackets that may stand inside one another."""

# A string that is never closed runs on to the end of its line or of the file, so that no place is
# scanned twice.
STRING_OR_COMMENT = re.compile(
    r'"""(?:[^"\\]|\\.|"(?!""))*+(?:"{3,5}|\Z)|\'\'\'.*?(?:\'{3,5}|\Z)'
    r'|"(?:[^"\\\n]|\\.)*+"?|\'[^\'\n]*+\'?|(?P<comment>\#[^\n]*+)',
    re.DOTALL,
)
_LONG_KEY = re.compile(rf"(?<![A-Za-z0-9_-])(?:[A-Za-z0-9_-]++[ \t]*+\.[ \t]*+){{{DEEPEST_KEY}}}")
_BRACKET = re.compile(r"[\[\]{}]")


def parse_toml(text: str) -> dict[str, Any]:
    """Return the tables of a TOML text.

    Raises
    ------
    BadFileError
        For text that is no TOML, or passes one of the limits above. The file is not named yet.
    """
    if len(text) > LARGEST_FILE:
        raise BadFileError("it is larger than 1 MB, far more than a lock needs")
    bare = STRING_OR_COMMENT.sub(lambda m: "" if m["comment"] else "s", text)
    if _LONG_KEY.search(bare):
        raise BadFileError(f"it has a key of more than {DEEPEST_KEY} parts joined by dots")
    depth = 0
    for match in _BRACKET.finditer(bare):
        depth = depth + 1 if match[0] in "[{" else max(depth - 1, 0)
        if depth > DEEPEST_NEST:
            raise BadFileError(f"it has more than {DEEPEST_NEST} brackets inside one another")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadFileError(f"it is not TOML: {_clear(str(error))}") from error
    except ValueError as error:  # Python reads no integer of more than some thousands of digits
        raise BadFileError("it holds a number of thousands of digits") from error


def _clear(message: str) -> str:
    """Say in a maker's words what stands twice; everything else as the reader of TOML says it."""
    twice = re.match(r"Cannot declare \((.*?),?\) twice", message)
    if twice:
        name = ".".join(part.strip(" '\"") for part in twice[1].split(","))
        return plain(f"[{name}] stands in it twice{message[twice.end() :]}")
    return plain(message.replace("Cannot overwrite a value", "a key stands in it twice"))
