"""Sheets byte for byte as they were approved.

To approve a change: `BOLTWRIGHT_APPROVE=1 python -m pytest tests/test_sheets_golden.py`, look at what changed, commit.
Of a DXF only the entities are kept, without their handles: the rest is the writing library's own. A PDF's bytes
depend on the versions of the libraries behind it, so it is measured instead (`test_sheets_pdf`).
"""

import os
from pathlib import Path

import pytest

from core.sheets.dxf import dxf_text
from core.sheets.markdown import markdown
from core.sheets.svg import svg_text
from core.sheets.tables import tables
from tests.sheet_reading import SAMPLE_NAMES, SAMPLES, job_for, written

GOLDEN = Path(__file__).parent / "golden"
HANDLES = {"5", "330", "100"}


def entities(text: str) -> str:
    """Return the tags of a DXF's entities, a group code and its value on each line."""
    lines = text.split("\n")
    tags = [(lines[i].strip(), lines[i + 1]) for i in range(0, len(lines) - 1, 2)]
    begin = tags.index(("2", "ENTITIES")) + 1
    end = tags.index(("0", "ENDSEC"), begin)
    return "".join(f"{code} {value}\n" for code, value in tags[begin:end] if code not in HANDLES)


def made(number: int, name: str) -> bytes:
    lock = SAMPLES[number]
    if name == "tables.md":
        job = job_for(lock, source=SAMPLE_NAMES[number])
        return markdown(job, tables(job)).encode()
    sheet, kind = name.split(".")
    job, composed = written(lock, sheet)
    marks, bounds = composed.whole(job)
    if kind == "svg":
        return svg_text(marks, bounds, f"{sheet}, {job.subtitle}").encode()
    return entities(dxf_text(marks, sheet)).encode()


@pytest.mark.parametrize(
    ("number", "name"),
    [(0, "bolt.svg"), (0, "bolt.dxf"), (0, "key-gauge.svg"), (1, "bolt.dxf"), (1, "keyhole.svg"),
     (1, "front-plate-inside.dxf"), (1, "tables.md"), (2, "bolt.svg"), (2, "guides.svg"), (2, "shackle-end.svg")],
)  # fmt: skip
def test_as_approved(number: int, name: str) -> None:
    file = (
        GOLDEN
        / f"{Path(SAMPLE_NAMES[number]).stem}-{name}{'.txt' if name.endswith('.dxf') else ''}"
    )
    now = made(number, name)
    if os.environ.get("BOLTWRIGHT_APPROVE"):
        GOLDEN.mkdir(exist_ok=True)
        file.write_bytes(now)
    assert b"\r" not in now
    assert now.decode() == file.read_bytes().decode()
