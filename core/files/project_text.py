"""A lock as the text of a project file: laid out afresh, or set into the text it came from.

The first line of a file that this program wrote promises the last one, so that a file that was cut
short on its way - by a full stick, a broken copy - is known for one and never read as a whole lock. What
the lines above hold is told by the line before it: see `core.files.end_mark`.
"""

import re
from collections.abc import Iterable
from itertools import islice

from core.errors import BadFileError
from core.files.end_mark import CHECK, check_line
from core.files.own_text import NO_TEXTS, Texts, gathered, leaves, parsed, plain_ends, rewritten
from core.files.project_tables import set_tables, table_lines
from core.files.row_text import row_lines, set_rows
from core.files.toml_guard import parse_toml
from core.files.value_lines import commented, set_in_place, toml_at, value_line
from core.lock.lock import FORMAT, Lock, sections, specs, table_fields, to_file_at
from core.lock.paths import place_at
from core.lock.row_kinds import row_kinds

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


def is_cut_short(text: str) -> bool:
    """Say whether `text` promises the last line and has lost it."""
    first = text.removeprefix(BOM).partition("\n")[0]
    return first.startswith("#") and END in first and end_mark(text) is None


def fresh_text(lock: Lock) -> str:
    """Return a whole project file for `lock`, with a comment beside every value."""
    lines = [HEAD, _LEGEND, "", f"format = {FORMAT}"]
    lines += [value_line(path, lock) for path in specs() if not place_at(path).table]
    for table in sections():
        lines += ["", *_table(table, lock)]
    for kind in row_kinds().values():
        for named in lock.rows.of(kind.table):
            lines += ["", *row_lines(kind, named.name, lock)]
    for name, field in table_fields().items():
        lines += table_lines(name, field.about, field.write(getattr(lock, name), to_file_at))
    return marked("\n".join([*lines, "", ""]))


def edited_text(source: str, old: Lock, new: Lock) -> str:
    """Return `source`, which reads as `old`, with what differs in `new` set into it."""
    return edited(source, old, new, NO_TEXTS)[0]


def edited(source: str, old: Lock, new: Lock, texts: Texts) -> tuple[str, Texts]:
    """Return `source`, which reads as `old`, with what differs in `new` set into it, and `texts` with what goes.

    A value that was in the file before is written as `texts` says that it was.

    Comments, order, unknown keys, the kind of line end and values that did not change stay as they
    are. Nothing that changed gives `source` itself; otherwise the end line is seen to.
    """
    changed = [path for path in specs() if new.value(path) != old.value(path)]
    fields = [name for name in table_fields() if getattr(new, name) != getattr(old, name)]
    moved = [k for table, k in row_kinds().items() if new.rows.of(table) != old.rows.of(table)]
    if not changed and not fields and not moved:
        return source, texts
    # about 50 ms, a sixth of the program's start, and of no use until something is saved
    import tomlkit

    body = source.removeprefix(BOM)
    crlf = 2 * body.count("\r\n") > body.count("\n")
    body = body.replace("\r\n", "\n")
    mark = end_mark(body)
    if mark is not None:
        body = body[: mark.start()] + body[mark.end() :].removeprefix("\n")
    for kind in moved:
        body = set_rows(body, kind, old, new)
    document = tomlkit.parse(body)
    before, now = leaves(old), leaves(new)
    # reading a file takes most of a save: its texts are taken from what is at hand, where that is all of it still
    whole = parsed(plain_ends(source)) if moved else document
    texts = gathered(texts, whole, before, now)
    top: list[str] = []
    tables: dict[str, None] = {}
    for path in changed:
        place = place_at(path)
        if place.table and place.table not in document:
            tables[place.table] = None
        elif not place.table and place.key not in document:
            top.append(value_line(path, new))
        else:
            holder = document[place.table] if place.table else document
            set_in_place(holder, place.key, toml_at(path, new))
    last: list[str] = []
    for name in fields:
        field = table_fields()[name]
        sides = (field.write(getattr(lock, name), to_file_at) for lock in (old, new))
        document, lines = set_tables(document, name, field.about, *sides)
        last += lines
    text = document.as_string()
    head, _, rest = text.partition("\n") if text.startswith(f"{HEAD}\n") else (HEAD, "", text)
    blocks = [line for table in tables for line in (*_table(table, new), "")]
    if last:
        blocks += [*last[1:], ""]  # an empty line stands there already
    body = "\n".join([head, *top, rest.rstrip("\n"), "", *blocks, ""])
    body = marked(rewritten(body, texts, before, now))
    text = (BOM if source.startswith(BOM) else "") + (body.replace("\n", "\r\n") if crlf else body)
    return text, texts


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


def _table(table: str, lock: Lock) -> Iterable[str]:
    about = (type(getattr(lock, table)).__doc__ or "").partition("\n")[0]
    yield commented(f"[{table}]", about)
    yield from (value_line(path, lock) for path in specs() if place_at(path).table == table)
