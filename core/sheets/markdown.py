"""The tables as Markdown, which reads as plain text in a terminal too."""

import re
from collections.abc import Iterable

from core.sheets.furniture import OWN_LOCKS, Job
from core.sheets.record import CUTTING, DRILLING
from core.sheets.table import Table
from core.text import plain

_MARKUP = re.compile(r"([\\`*_{}\[\]<>|#~&])")


def markdown(job: Job, tables: Iterable[Table]) -> str:
    """Return the tables as one text; what the maker wrote is shown as written and never acts as markup."""
    lines = [f"# {_shown(job.layout.lock.title)}: marking tables", "", _shown(job.subtitle), ""]
    if job.warning:
        lines += [f"**{_shown(job.warning)}**", ""]
    for table in tables:
        lines += [f"## {_shown(table.title)}", ""]
        lines += [line for note in table.notes for line in (_shown(note), "")]
        lines += [*(_ticks(table) if table.ticks and len(table.columns) == 1 else _grid(table)), ""]
    lines += ["## Cautions", ""]
    lines += [f"- {_shown(caution)}" for caution in (CUTTING, DRILLING, OWN_LOCKS)]
    return "\n".join(lines) + "\n"


def _ticks(table: Table) -> Iterable[str]:
    return [
        f"{table.first + number}. {'[x]' if number in table.done else '[ ]'} {_shown(row[0])}"
        for number, row in enumerate(table.rows)
    ]


def _grid(table: Table) -> Iterable[str]:
    """Return the rows as a table whose columns also stand under each other where the text is read as it is."""
    box = ("",) if table.ticks else ()
    cells = [[*box, *table.columns]] + [[*("[ ]" for _ in box), *row] for row in table.rows]
    shown = [[_shown(cell) if cell != "[ ]" else cell for cell in row] for row in cells]
    widths = [max(len(row[column]) for row in shown) for column in range(len(shown[0]))]
    rows = [
        "| " + " | ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) + " |"
        for row in shown
    ]
    return [rows[0], "|" + "|".join("-" * (width + 2) for width in widths) + "|", *rows[1:]]


def _shown(text: str) -> str:
    return _MARKUP.sub(r"\\\1", plain(text))
