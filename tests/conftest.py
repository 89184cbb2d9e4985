"""Settings of all tests."""

from pathlib import Path

import pytest
from hypothesis import settings

# modules to lay into the rooms of the program, which only there can be imported
collect_ignore = ["second_kind"]

# a test that fails because the machine was busy says nothing of the program: no deadline.
# `--hypothesis-profile=full` takes the full counts, here and in `tests/counts.py`; .ci/run does
settings.register_profile("default", deadline=None, max_examples=10)
settings.register_profile("full", deadline=None, max_examples=100)
settings.load_profile("default")


@pytest.fixture
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Run in a folder of the test's own, with the terminal's colours left to the program."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.delenv("COLORFGBG", raising=False)
