"""The table of faults in DEVELOPERS.md: each row is written by the run that found it, and held against it.

A study calls `proven` with what it tried and what was lost. With BOLTWRIGHT_APPROVE=1 that writes the study's
row; without, a row that claims more than the run has tried fails it, and so does anything lost.
"""

import os
import re
from pathlib import Path

from core.files.claims import alone

PAGE = Path(__file__).parents[1] / "DEVELOPERS.md"
BEGIN = "<!-- the faults: rows are written by the slow tests, with BOLTWRIGHT_APPROVE=1 -->"
END = "<!-- end of the faults -->"
_ROW = re.compile(r"\| (?P<name>[^|]+) \| (?P<tried>[\d,]+) \| (?P<lost>[\d,]+) \|")

STUDIES = (
    "program killed (-9) while it saves",
    "one call of a save fails, or all of one kind",
    "the same for recovery copy and history",
    "the same for opening, seats and leaving",
    "one system call of a save fails (strace)",
    "two programs save one lock at the same moment",
    "one bit of a saved file flipped",
    "a saved file cut short at each byte",
    "bytes, lines and signs of a file changed",
    "a file as large as is read, each in its own way",
    "every field given every bad value",
    "what is no plain file, read and written over",
    "texts that act, in titles, notes, names of files and folders, on a screen",
    "the same in reports, refusals and sheets",
    "a program stopped, its terminal closed, its folder or disk or home gone",
    "a key, text, paste, click or size of the window at random",
)
"""Every study, in the order of the table."""


def rows() -> dict[str, tuple[int, int]]:
    """Return what the page says: for each study how many faults were tried, and how many lost anything."""
    between = PAGE.read_text().partition(BEGIN)[2].partition(END)[0]
    found = [match for line in between.splitlines() if (match := _ROW.fullmatch(line))]
    return {m["name"]: (_number(m["tried"]), _number(m["lost"])) for m in found}


def proven(name: str, tried: int, lost: int, parts: int = 1) -> None:
    """Say what a study found; AssertionError where the page says otherwise, or anything was lost.

    Of a study in several `parts`, all as large, each says what it tried itself; the page has the sum.
    """
    assert name in STUDIES, name
    assert lost == 0, f"{name}: {lost} of {tried} lost something"
    if os.environ.get("BOLTWRIGHT_APPROVE"):
        with alone(PAGE, 30.0):
            _write({**rows(), name: (tried * parts, lost)})
    said = rows().get(name)
    assert said is not None, f"{name} is not in the table: approve it"
    assert said[0] <= tried * parts, f"{name}: of {said[0]} told this run tried {tried * parts}"
    assert said[1] == lost


def _write(found: dict[str, tuple[int, int]]) -> None:
    lines = ["| fault | tried | lost |", "|---|---|---|"]
    for name in STUDIES:
        if name in found:
            tried, lost = found[name]
            lines.append(f"| {name} | {tried:,} | {lost:,} |")
    head, _, rest = PAGE.read_text().partition(BEGIN)
    PAGE.write_text("\n".join([head + BEGIN, *lines, END + rest.partition(END)[2]]))


def _number(text: str) -> int:
    return int(text.replace(",", ""))
