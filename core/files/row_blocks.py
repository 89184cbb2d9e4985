"""The text of a project file in blocks: each table with its heading, its lines, and the comment above it.

A *block* is the heading of a table with the lines below it and the comment lines right above it. A comment that
stands apart, with an empty line on either side, belongs to no table. Text only: nothing here knows of a lock.
"""

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, replace

from core.files.project_tables import bare_or_quoted
from core.files.toml_guard import STRING_OR_COMMENT

Keys = tuple[str, ...]


@dataclass(frozen=True)
class Block:
    """A stretch of text: of the table named by `keys`, or with none of what stands between tables.

    `head` is where its heading begins in the text, and `foot` where the last line that sets a value ends.
    """

    text: str
    keys: Keys = ()
    head: int = 0
    foot: int = 0

    def renamed(self, keys: Keys) -> "Block":
        """Return the block of a table with another name; what stands beside its heading stays in its column."""
        above, (line, end, rest) = self.text[: self.head], self.text[self.head :].partition("\n")
        masked = _masked(line)
        opens, closes = masked.index("["), masked.index("]")
        name = ".".join(bare_or_quoted(key) for key in keys)
        beside = line[closes:]
        comment = len(masked.rstrip()) - closes
        if beside[comment:].strip():
            gap = len(beside[comment:]) - len(beside[comment:].lstrip())
            gap = max(1, gap + closes - opens - 1 - len(name))
            beside = beside[:comment] + " " * gap + beside[comment:].lstrip()
        return replace(self, text=f"{above}{line[: opens + 1]}{name}{beside}{end}{rest}", keys=keys)

    def with_lines(self, lines: list[str]) -> "Block":
        """Return the block with more lines, below the last one that sets a value."""
        added = "".join(f"{line}\n" for line in lines)
        above = self.text[: self.foot]
        above += "" if above.endswith("\n") else "\n"
        return replace(self, text=f"{above}{added}{self.text[self.foot :]}")


def blocks(text: str) -> tuple[Block, ...]:
    """Return a TOML text in blocks, which together are the whole text.

    Raises
    ------
    LookupError
        For a heading that cannot be told apart.
    """
    lines = list(_lines(text))
    heads = [number for number, line in enumerate(lines) if line.keys is not None]
    starts = [_above(lines, number) for number in heads]
    found, at = [], 0
    for number, start, end in zip(heads, starts, [*starts, len(lines)][1:], strict=True):
        last = max(k for k in range(number, end) if k == number or lines[k].sets)
        over = last + 1
        while over < end and lines[over].comment:
            over += 1
        while over < end and lines[over].empty:
            over += 1
        found.append(Block("".join(line.text for line in lines[at:start])))
        own = lines[start:over]
        sizes = [len(line.text) for line in own]
        head, foot = sum(sizes[: number - start]), sum(sizes[: last - start + 1])
        found.append(
            Block("".join(line.text for line in own), lines[number].keys or (), head, foot)
        )
        at = over
    found.append(Block("".join(line.text for line in lines[at:])))
    return tuple(block for block in found if block.text)


@dataclass(frozen=True)
class _Line:
    """A line with its end; a value over several lines is one. `keys` are those of a heading."""

    text: str
    keys: Keys | None
    sets: bool
    comment: bool

    @property
    def empty(self) -> bool:
        return not self.text.strip()


def _lines(text: str) -> Iterator[_Line]:
    start = at = depth = 0
    for line in _masked(text).split("\n"):
        at = min(at + len(line) + 1, len(text))
        heading = depth == 0 and line.lstrip().startswith("[")
        if not heading:
            depth += sum(line.count(c) for c in "[{") - sum(line.count(c) for c in "]}")
        if depth > 0:
            continue
        own = text[start:at]
        if not own:
            continue
        start = at
        keys = _keys(own) if heading else None
        yield _Line(own, keys, bool(line.strip()) and not heading, own.lstrip().startswith("#"))
    if start < len(text):
        yield _Line(text[start:], None, sets=True, comment=False)


def _masked(text: str) -> str:
    """Return a text of the same length in which strings are letters and comments blanks."""
    return STRING_OR_COMMENT.sub(lambda m: (" " if m["comment"] else "s") * len(m[0]), text)


def _above(lines: list[_Line], number: int) -> int:
    """Return the first of the comment lines right above a heading, or the heading itself."""
    while number > 0 and lines[number - 1].comment:
        number -= 1
    return number


def _keys(line: str) -> Keys:
    try:
        tree = tomllib.loads(line)
    except tomllib.TOMLDecodeError as error:
        raise LookupError(line) from error
    keys: list[str] = []
    while tree:
        ((key, inside),) = tree.items()
        keys.append(key)
        tree = inside[0] if isinstance(inside, list) else inside
    return tuple(keys)
