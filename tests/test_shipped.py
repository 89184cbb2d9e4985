"""The sample locks and tables are found in a checkout, and where the program was installed."""

import os
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from core.files.project_file import load
from core.shipped import sample_locks, shared_table

ROOT = Path(__file__).parents[1]


def test_the_samples_of_a_checkout() -> None:
    assert {path.parent for path in sample_locks()} == {ROOT / "projects"}
    assert len({load(path).lock.title for path in sample_locks()}) == len(sample_locks()) > 0


@pytest.mark.parametrize("name", ["none.toml", "", ".", "..", "../pyproject.toml", "/etc/hosts"])
def test_nothing_else_is_a_table(name: str) -> None:
    with pytest.raises(KeyError):
        shared_table(name)


def test_an_installed_program_has_its_own(tmp_path: Path) -> None:
    # laid out as the wheel is
    ignored = shutil.ignore_patterns("__pycache__")
    shutil.copytree(ROOT / "core", tmp_path / "core", ignore=ignored)
    targets = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["hatch"]["build"]
    for source, target in targets["targets"]["wheel"]["force-include"].items():
        shutil.copytree(ROOT / source, tmp_path / target)
    script = (
        "from core.shipped import sample_locks, shared_table\n"
        "print(*sample_locks(), shared_table('gauges.toml'), sep='\\n')"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(tmp_path)},
        check=True,
    )
    found = [Path(line) for line in done.stdout.splitlines()]
    assert all(path.is_relative_to(tmp_path) and path.is_file() for path in found)
    assert [path.name for path in found] == [*(p.name for p in sample_locks()), "gauges.toml"]
