"""What a key costs on a slow line: how much is sent to the terminal for it."""

from pathlib import Path
from statistics import median

import pytest

from tests.hand import in_turns


@pytest.mark.slow
def test_a_nudge_sends_what_changed_and_no_more(tmp_path: Path) -> None:
    # a screen of 120 x 40 sent whole is some 30,000 bytes: each cell, and the colours between them
    nudges = in_turns(tmp_path, 3).nudges
    assert median(stroke.size for stroke in nudges) < 10_000
