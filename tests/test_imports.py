"""The core stands alone: it brings in no screen and no screen toolkit, in a fresh process."""

import subprocess
import sys
from pathlib import Path

import pytest

TOOLKITS = ("tui", "textual", "rich", "plotext")
TOP = Path(__file__).resolve().parent.parent
_SEE = f"""
import sys, {{module}}
{{then}}
print(sorted(m for m in sys.modules if m.split(".")[0] in {TOOLKITS!r}))
"""


def loaded_by(module: str, then: str = "") -> str:
    code = _SEE.format(module=module, then=then)
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=TOP, capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


@pytest.mark.parametrize(
    "module", ["core", "core.report.data", "core.report.bench_report", "core.files.project_file"]
)
def test_core_loads_no_screen(module: str) -> None:
    assert loaded_by(module) == "[]"


def test_a_whole_report_loads_no_screen() -> None:
    take = "from core.layout.layout import Layout; from core.lock.lock import Lock"
    work = f"{take}; core.report.data.report(Layout(Lock()))"
    assert loaded_by("core.report.data", work) == "[]"


def test_the_check_would_see_a_toolkit() -> None:
    assert "rich" in loaded_by("core", "import rich")
