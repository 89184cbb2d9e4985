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
# a whole number that is not written in tens, where a value may stand
_BASED = re.compile(
    rf"(?:{STRING_OR_COMMENT.pattern})|(?P<before>[=,\[](?:\s|\#[^\n]*+)*+)"
    r"(?P<based>0x[0-9A-Fa-f]+(?:_[0-9A-Fa-f]+)*+|0o[0-7]+(?:_[0-7]+)*+|0b[01]+(?:_[01]+)*+)"
    r"(?=[ \t]*+(?:[,\]}\#\r\n]|\Z))",
    re.DOTALL,
)
_MAYBE_BASED = re.compile(r"(?<![A-Za-z0-9_-])0[xob]")
_LONG_KEY = re.compile(rf"(?<![A-Za-z0-9_-])(?:[A-Za-z0-9_-]++[ \t]*+\.[ \t]*+){{{DEEPEST_KEY}}}")
_BRACKET = re.compile(r"[\[\]{}]")


class Based(int):
    """A whole number that is written to another base than ten; its `repr` is as it stands in the file."""

    _written: str

    def __new__(cls, written: str) -> "Based":
        """Return the number that is written, such as 0x10."""
        number = super().__new__(cls, int(written, 0))
        number._written = written
        return number

    def __repr__(self) -> str:
        """Return the number as it is written."""
        return self._written


def parse_toml(text: str) -> dict[str, Any]:
    """Return the tables of a TOML text; a number that is not written in tens is a `Based` there.

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
        return _with_based(text) if _MAYBE_BASED.search(bare) else tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadFileError(f"it is not TOML: {_clear(str(error))}") from error
    except ValueError as error:  # Python reads no integer of more than some thousands of digits
        raise BadFileError("it holds a number of thousands of digits") from error


def _with_based(text: str) -> dict[str, Any]:
    """Return the tables of a TOML text in which some numbers may be written to another base.

    The library gives no way to see them; it does for numbers with an exponent, so each is put in its place as
    one, with an exponent that stands nowhere else.
    """
    sign = "e0000000001"
    while sign in text:
        sign = sign.replace("e", "e0")
    found: list[str] = []

    def put(match: re.Match[str]) -> str:
        if match["based"] is None or _heads_a_table(match):
            return match[0]
        found.append(match["based"])
        return f"{match['before']}{len(found) - 1}{sign}"

    def number(written: str) -> float:
        return (
            Based(found[int(written.removesuffix(sign))])
            if written.endswith(sign)
            else float(written)
        )

    return tomllib.loads(_BASED.sub(put, text), parse_float=number)


def _heads_a_table(match: re.Match[str]) -> bool:
    """Say whether what looks like a number in brackets is the name of a table, as in [0x10]."""
    line = match.string.rfind("\n", 0, match.start()) + 1
    alone = match.string[line : match.start()].strip() in ("", "[")
    return (
        alone and match["before"][0] == "[" and match.string[match.end() :].lstrip(" \t")[:1] == "]"
    )


def _clear(message: str) -> str:
    """Say in a maker's words what stands twice; everything else as the reader of TOML says it."""
    twice = re.match(r"Cannot declare \((.*?),?\) twice", message)
    if twice:
        name = ".".join(part.strip(" '\"") for part in twice[1].split(","))
        return plain(f"[{name}] stands in it twice{message[twice.end() :]}")
    return plain(message.replace("Cannot overwrite a value", "a key stands in it twice"))
