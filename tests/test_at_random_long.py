"""Twenty thousand things at random, in a file of its own: no other takes as long."""

from pathlib import Path

import pytest

from tests.fault_table import proven
from tests.test_at_random import travelled

pytestmark = pytest.mark.usefixtures("own_folder")


PARTS = 20


@pytest.mark.slow
@pytest.mark.parametrize("part", range(PARTS))
def test_twenty_thousand_things_at_random(tmp_path: Path, part: int) -> None:
    found = [travelled(seed, 200, tmp_path) for seed in range(1000 + part, 1100, PARTS)]
    wrong = [each.wrong for each in found if each.wrong]
    assert not wrong, "\n".join(wrong)
    proven(
        "a key, text, paste, click or size of the window at random",
        sum(each.done for each in found),
        sum(bool(each.wrong) for each in found),
        PARTS,
    )
