"""What is said of a spread of locks: as text, as data, and by the command."""

import json
from dataclasses import fields
from pathlib import Path

import pytest

from core.files.project_file import Project, save
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.filed_parts import FiledParts, Outcomes
from core.report.data import report
from core.spread.spread_text import NO_DRIVE, percent, spread_text
from core.spread.study import LOCKS, study
from core.spread.whole import spreading
from tests.command_line import boltwright, refusal
from tests.loaded_locks import changed
from tests.test_spread import DEMO, plan, whole


def test_everything_that_is_said_is_in_the_report_as_planned() -> None:
    found, said = whole(DEMO), report(Layout(DEMO))["tooth"]
    assert found.planned.unlocking_home == pytest.approx(said["home_travel"])
    assert found.planned.locked_shut_out == pytest.approx(said["shut_out"])
    assert found.planned.bridge == pytest.approx(said["bridge"])


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.first(1)
def test_text_keeps_to_its_width_and_says_what_it_found(units: str) -> None:
    layout = Layout(changed(DEMO, units=units))
    found = list(spreading(layout, 20_000))[-1]
    text = spread_text(layout, found)
    assert max(map(len, text.splitlines())) <= 78
    assert percent(found.study.share) in text
    for limit in found.study.plan.limits:
        assert limit.label in text
    counted = [line for line in text.splitlines() if " on " in line and "#" in line]
    assert len(counted) >= 8
    assert (" mm" in text) is (units == "mm")
    assert (" in " in text) is True


@pytest.mark.parametrize(
    ("works", "of", "told"),
    [
        (20_000, 20_000, "100.0 %"), (19_999, 20_000, "> 99.9 %"), (19_989, 20_000, "99.9 %"),
        (10_000, 20_000, "50.0 %"), (11, 20_000, "0.1 %"), (1, 20_000, "< 0.1 %"), (0, 20_000, "0.0 %"),
    ],
)  # fmt: skip
def test_all_and_none_are_told_only_where_it_is_all_or_none(works: int, of: int, told: str) -> None:
    assert percent(works / of) == told


def test_nothing_is_said_of_a_key_that_drives_nothing() -> None:
    layout = Layout(changed(DEMO, bolt__depth=3.5))
    assert list(spreading(layout)) == []
    assert NO_DRIVE in spread_text(layout, None)


def test_nothing_off_is_one_lock() -> None:
    exact = changed(DEMO, spread__filed=0.0, fit__slide_clearance=0.0)
    found = whole(exact, 1000)
    assert found.study.share == 1.0
    assert spread_text(Layout(exact), found).count("100.0 %") >= 1
    assert found.worst["clearance"] == pytest.approx(0.2)


# the command


def write(folder: Path, lock: Lock) -> str:
    file = folder / "lock.toml"
    save(Project(file, lock))
    return str(file)


@pytest.mark.slow
def test_command_prints_text_and_data(tmp_path: Path) -> None:
    file = write(tmp_path, DEMO)
    text = boltwright("spread", file, "--locks", "2000")
    assert text.returncode == 0
    assert "of 2,000 locks by chance (seed 1)" in text.stdout.decode()
    data = json.loads(boltwright("spread", file, "--locks", "2000", "--json").stdout)
    assert (data["format"], data["locks"], data["seed"], data["law"]) == (1, 2000, 1, "anywhere")
    assert data["share"] == study(plan(DEMO), "anywhere", 2000).share
    assert [size["name"] for size in data["sizes"]] == [field.name for field in fields(FiledParts)]
    by_name = {outcome["name"]: outcome for outcome in data["outcomes"]}
    assert set(by_name) == {field.name for field in fields(Outcomes)}
    assert by_name["bridge"]["limit"] == {"least": 2.5}
    assert all(sum(o["histogram"]["counts"]) == 2000 for o in data["outcomes"])
    assert data["hold"]
    assert data["place"]


def test_command_on_a_lock_that_drives_nothing(tmp_path: Path) -> None:
    file = write(tmp_path, changed(DEMO, bolt__depth=3.5))
    data = json.loads(boltwright("spread", file, "--json").stdout)
    assert data["share"] is None
    assert data["outcomes"] == []


@pytest.mark.parametrize("bad", ["0", "-3", "1e5", "many", "99", "10000001", "9" * 5000])
@pytest.mark.first(2)
def test_command_refuses_what_is_no_number_of_locks(tmp_path: Path, bad: str) -> None:
    file = write(tmp_path, DEMO)
    said = refusal(boltwright("spread", file, f"--locks={bad}"))
    assert "whole number from 100 to" in said


def test_a_hundred_thousand_are_studied_if_nothing_is_said() -> None:
    assert LOCKS == 100_000
