"""The samples' reports as they were approved, number by number and as text.

To approve a change: `BOLTWRIGHT_APPROVE=1 python -m pytest tests/test_report_golden.py`, look at what changed, commit.
The curves of a turn are kept at every fifteenth degree: the corners between are the law's, and tested there.
"""

import json
import os
from pathlib import Path
from typing import Any

import pytest

from core.files.project_file import load
from core.layout.layout import Layout
from core.report.bench_report import bench_report
from core.report.data import report
from core.shipped import sample_locks

GOLDEN = Path(__file__).parent / "golden"
APPROVE = bool(os.environ.get("BOLTWRIGHT_APPROVE"))
EVERY = 15
CLOSE = 1e-9
"""What another processor's sine may differ by, of a number or of 1, whichever is more."""
EACH = pytest.mark.parametrize("file", sample_locks(), ids=lambda file: file.stem)


def thinned(value: Any) -> Any:
    """Return the data with every long list kept at each fifteenth place."""
    if isinstance(value, dict):
        return {key: thinned(inside) for key, inside in value.items()}
    if isinstance(value, list):
        return value[::EVERY] if len(value) > 300 else [thinned(inside) for inside in value]
    return value


def differences(now: Any, then: Any, where: str = "") -> list[str]:
    """Return the places at which two pieces of data differ, by more than `CLOSE` in a number."""
    if isinstance(now, dict) and isinstance(then, dict):
        keys = [*now, *(key for key in then if key not in now)]
        absent = object()
        return [
            found
            for key in keys
            for found in differences(now.get(key, absent), then.get(key, absent), f"{where}.{key}")
        ]
    if isinstance(now, list) and isinstance(then, list) and len(now) == len(then):
        pairs = enumerate(zip(now, then, strict=True))
        return [found for k, (a, b) in pairs for found in differences(a, b, f"{where}[{k}]")]
    if type(now) is float and isinstance(then, int | float):
        near = abs(now - then) <= CLOSE * max(1.0, abs(then))
        return [] if near else [f"{where}: {now!r} was {then!r}"]
    return [] if now == then else [f"{where}: {now!r} was {then!r}"]


@EACH
def test_data_as_approved(file: Path) -> None:
    project = load(file)
    now = thinned(report(Layout(project.lock), project.notes))
    golden = GOLDEN / f"{file.stem}-report.json"
    if APPROVE:
        golden.write_text(json.dumps(now, indent=1) + "\n", encoding="utf-8", newline="\n")
    assert differences(now, json.loads(golden.read_text("utf-8"))) == []


@EACH
def test_text_as_approved(file: Path) -> None:
    project = load(file)
    now = bench_report(Layout(project.lock), project.notes)
    golden = GOLDEN / f"{file.stem}-report.txt"
    if APPROVE:
        golden.write_text(now, encoding="utf-8", newline="\n")
    assert now == golden.read_text("utf-8")


def test_a_changed_digit_would_be_seen() -> None:
    golden = json.loads((GOLDEN / "boathouse-report.json").read_text("utf-8"))
    other = json.loads(json.dumps(golden))
    other["tooth"]["flank_foot"] += 1e-6
    assert len(differences(other, golden)) == 1
