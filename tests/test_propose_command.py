"""What the command that proposes prints, saves and refuses."""

import json
from pathlib import Path
from typing import Any

import pytest

from core.files.project_file import Project, load, save
from core.layout.layout import Layout
from core.lock.first_lock import first_lock
from core.lock.lock import Lock
from core.propose.given import AT_HAND, SETTLED
from core.propose.proposals import (
    proposals,
)
from core.propose.proposals_text import WIDTH, proposals_text
from tests.command_line import boltwright, refusal
from tests.test_propose_limits import stops

SMALL = {"plate.width": 38.0, "plate.height": 30.0, "plate.straight": 10.0}
DEMO = Lock()


@pytest.mark.parametrize("units", ["mm", "in"])
def test_text_keeps_to_its_width(units: str) -> None:
    lock = first_lock(units)
    text = proposals_text(Layout(lock), proposals(lock))
    assert max(map(len, text.splitlines())) <= WIDTH
    assert "Nearest limit: " in text
    assert (" mm" in text) == (units == "mm")


def write(folder: Path, lock: Lock) -> str:
    file = folder / "lock.toml"
    save(Project(file, lock))
    return str(file)


def test_command_prints_text_and_data(tmp_path: Path) -> None:
    file = write(tmp_path, DEMO)
    text = boltwright("propose", file, "--keep", "key.radius")
    assert text.returncode == 0
    assert "Nearest limit" in text.stdout.decode()
    data: dict[str, Any] = json.loads(
        boltwright("propose", "--set", "plate.outline=oval", "--set", "plate.width=3 1/8\"", "--json").stdout
    )  # fmt: skip
    assert data["format"] == 1
    assert data["refusal"] is None
    assert all(set(one["values"]) == {*SETTLED, *AT_HAND} for one in data["proposals"])
    assert all(one["margin"] >= 0 for one in data["proposals"])


def test_command_saves_one(tmp_path: Path) -> None:
    new = tmp_path / "new.toml"
    given = (
        "--set",
        "plate.outline=round",
        "--set",
        "plate.width=70",
        "--set",
        "shackle.across=-25",
    )
    asked = ("propose", *given, "--most", "key.radius=12", "--take", "1", "--to", str(new))
    assert boltwright(*asked).returncode == 0
    lock = load(new).lock
    assert not stops(lock)
    assert (lock.plate.outline, lock.plate.width) == ("round", 70.0)
    assert lock.key.radius <= 12
    assert "already" in refusal(boltwright(*asked))


def test_command_says_that_there_is_none() -> None:
    small = [f"--set={path}={value}" for path, value in SMALL.items()]
    done = boltwright("propose", *small)
    assert done.returncode == 1
    assert b"What falls first" in done.stdout
    data = json.loads(boltwright("propose", *small, "--json").stdout)
    assert data["proposals"] == []
    assert data["refusal"]["short"] > 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--set", "plate.wdth=80"], "a lock has no 'plate.wdth'"),
        (["--set", "plate.width"], "takes PATH=VALUE"),
        (["--set", "plate.width=wide"], "wide"),
        (["--keep", "nothing"], "a lock has no 'nothing'"),
        (["--least", "plate.width=80"], "nothing that is proposed"),
        (["--take", "1"], "go together"),
    ],
)
def test_command_refuses_in_one_sentence(words: list[str], said: str) -> None:
    assert said in refusal(boltwright("propose", *words))
