"""A lock as the text of a project file: laid out afresh, or set into the text it came from.

The first line of a file that this program wrote promises the last one, so that a file that was cut
short on its way - by a full stick, a broken copy - is known for one and never read as a whole lock. What
the lines above hold is told by the line before it: see `core.files.end_mark`.
"""

import dataclasses
import re
from collections.abc import Iterable, Iterator
from itertools import islice
from typing import TYPE_CHECKING

from core.errors import BadFileError
from core.files.end_mark import CHECK, check_line
from core.files.own_text import NO_TEXTS, Texts, rewritten
from core.files.project_tables import set_tables, table_lines, toml_value
from core.files.toml_guard import parse_toml
from core.lock.lock import FORMAT, Lock, spec_of, specs, table_fields

if TYPE_CHECKING:
    from tomlkit.items import Item

BOM = "\ufeff"
END = "# end of lock"
"""The last line of a whole file."""
HEAD = f'# A padlock laid out with boltwright. The last line of a whole file is "{END}".'
_LEGEND = (
    "# Lengths are mm, angles degrees and forces newtons, whatever `units` says;"
    ' a length may also be written as "13/16 in".'
)
_END_MARK = re.compile(
    rf"^(?:[ \t]*{CHECK}[ \t\r]*\n)?[ \t]*{re.escape(END)}[ \t\r]*$", re.MULTILINE
)
_COMMENT_COLUMN = 30


def is_cut_short(text: str) -> bool:
    """Say whether `text` promises the last line and has lost it."""
    first = text.removeprefix(BOM).partition("\n")[0]
    return first.startswith("#") and END in first and end_mark(text) is None


def fresh_text(lock: Lock) -> str:
    """Return a whole project file for `lock`, with a comment beside every value."""
    lines = [HEAD, _LEGEND, "", f"format = {FORMAT}"]
    lines += [_line(path, lock) for path in specs() if "." not in path]
    for table in _tables():
        lines += ["", *_table(table, lock)]
    for name, field in table_fields().items():
        lines += table_lines(name, field.about, field.write(getattr(lock, name)))
    return marked("\n".join([*lines, "", ""]))


def edited_text(source: str, old: Lock, new: Lock, texts: Texts = NO_TEXTS) -> str:
    """Return `source`, which reads as `old`, with what differs in `new` set into it.

    A value that was in the file before is written as `texts` says that it was.

    Comments, order, unknown keys, the kind of line end and values that did not change stay as they
    are. Nothing that changed gives `source` itself; otherwise the end line is seen to.
    """
    changed = [path for path in specs() if new.value(path) != old.value(path)]
    fields = [name for name in table_fields() if getattr(new, name) != getattr(old, name)]
    if not changed and not fields:
        return source
    # about 50 ms, a sixth of the program's start, and of no use until something is saved
    import tomlkit

    body = source.removeprefix(BOM)
    crlf = 2 * body.count("\r\n") > body.count("\n")
    document = tomlkit.parse(body.replace("\r\n", "\n"))
    top: list[str] = []
    tables: dict[str, None] = {}
    for path in changed:
        table, _, name = path.rpartition(".")
        if table and table not in document:
            tables[table] = None
        elif not table and name not in document:
            top.append(_line(path, new))
        else:
            holder = document[table] if table else document
            width = _width(holder[name]) if name in holder else 0
            holder[name] = tomlkit.value(toml_value(new.value(path)))
            trivia = holder[name].trivia
            if trivia.comment:  # it stays in its column
                room = width - _width(holder[name]) + len(trivia.comment_ws)
                trivia.comment_ws = " " * max(1, room)
    last: list[str] = []
    for name in fields:
        field = table_fields()[name]
        sides = (field.write(getattr(lock, name)) for lock in (old, new))
        document, lines = set_tables(document, name, field.about, *sides)
        last += lines
    text = document.as_string()
    mark = end_mark(text)
    if mark is not None:
        text = text[: mark.start()] + text[mark.end() :].removeprefix("\n")
    head, _, rest = text.partition("\n") if text.startswith(f"{HEAD}\n") else (HEAD, "", text)
    blocks = [line for table in tables for line in (*_table(table, new), "")]
    if last:
        blocks += [*last[1:], ""]  # an empty line stands there already
    body = "\n".join([head, *top, rest.rstrip("\n"), "", *blocks, ""])
    body = marked(rewritten(body, texts, old, new))
    return (BOM if source.startswith(BOM) else "") + (body.replace("\n", "\r\n") if crlf else body)


def _width(item: "Item") -> int:
    """Return the columns from where a value begins to its comment."""
    return len(item.as_string()) + len(item.trivia.comment_ws)


def marked(body: str) -> str:
    """Return the lines of a whole file with its end mark below.

    Raises
    ------
    BadFileError
        For lines that are no TOML, or more than is read.
    """
    return f"{body}{check_line(parse_toml(body))}\n{END}\n"


def end_mark(text: str) -> re.Match[str] | None:
    """Return where the end mark stands, with what it tells of the values; None without one.

    Lines added by hand may stand below it. The same words inside a text of several lines are no end
    mark: what is above them is then not TOML.
    """
    matches = list(_END_MARK.finditer(text))
    if matches and not text[matches[-1].end() :].strip():
        return matches[-1]
    for match in islice(matches, 4):  # each costs a reading of the file
        try:
            parse_toml(text[: match.start()].removeprefix(BOM))
        except BadFileError:
            continue
        return match
    return None


def _tables() -> Iterator[str]:
    return (field.name for field in dataclasses.fields(Lock) if not field.metadata)


def _table(table: str, lock: Lock) -> Iterable[str]:
    about = (type(getattr(lock, table)).__doc__ or "").partition("\n")[0]
    yield f"[{table}]".ljust(_COMMENT_COLUMN) + f" # {about}"
    yield from (_line(path, lock) for path in specs() if path.startswith(f"{table}."))


def _line(path: str, lock: Lock) -> str:
    spec = spec_of(path)
    name = path.rpartition(".")[2]
    said = [] if spec.label == name.replace("_", " ") else [spec.label]  # no echo of the key
    comment = ": ".join([*said, *([" | ".join(spec.choices)] if spec.choices else [])])
    setting = f"{name} = {toml_value(lock.value(path))}"
    return f"{setting.ljust(_COMMENT_COLUMN)} # {comment}" if comment else setting
