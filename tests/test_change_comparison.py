"""Two locks compared: outcomes against the tooth by iteration, findings against the report, and the command."""

import json
import math
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from core.change.comparison import Comparison, compare
from core.change.comparison_data import comparison_data
from core.change.comparison_text import comparison_text
from core.checks import gathered
from core.files.project_file import Project, save
from core.layout.layout import Layout
from core.lock.lock import Lock, specs
from core.made.marking import mark_made
from core.report.data import report
from tests.command_line import boltwright, refusal
from tests.counts import seeds
from tests.designs import numbers, plausible
from tests.loaded_locks import early

CLEAN = Lock().with_value("shackle.drop", 10.0)
"""A lock without findings, but for the note that its detent is taken on trust."""


def compared(old: Lock, new: Lock) -> Comparison:
    return compare(Layout(old), Layout(new))


def outcome(comparison: Comparison, name: str) -> Any:
    return next(c for c in comparison.outcomes if c.outcome.name == name)


@pytest.mark.parametrize("seed", seeds(4, 12))
@pytest.mark.first(1)
def test_every_dimension_that_differs_is_listed_and_the_tooth_is_the_iterations(seed: int) -> None:
    old, new = plausible(seed), plausible(seed + 100)
    found = compared(old, new)
    differing = {path for path in specs() if old.value(path) != new.value(path)}
    assert {c.path for c in found.changed} == differing
    for lock, side in ((old, "old"), (new, "new")):
        n = numbers(lock)
        throw = lock.shackle.engagement + lock.shackle.gap
        assert getattr(outcome(found, "driven_travel"), side) == pytest.approx(n.driven, abs=1e-6)
        assert getattr(outcome(found, "home_travel"), side) == pytest.approx(
            throw - n.driven, abs=1e-6
        )
        assert getattr(outcome(found, "flank_foot"), side) == pytest.approx(n.foot, abs=1e-6)


@pytest.mark.parametrize("seed", seeds(3, 6))
@pytest.mark.first(1)
def test_nothing_changed_is_nothing(seed: int) -> None:
    lock = plausible(seed)
    found = compared(lock, lock)
    assert not found.changed
    assert not found.came
    assert not found.went
    assert not found.worse
    assert not any(change.differs for change in found.outcomes)
    text = comparison_text(found)
    assert text.count("nothing") == 2
    assert "as before" in text


@pytest.mark.slow
def test_findings_come_go_and_stay() -> None:
    low = CLEAN.with_value("bolt_line.height", 15)
    here, there = compared(CLEAN, low), compared(low, CLEAN)
    assert {f.code for f in here.came} == {f.code for f in gathered.findings(Layout(low))} - {
        "detent-on-trust"
    }
    assert {f.code for f in there.went} == {f.code for f in here.came}
    assert not there.came
    assert here.worse[0] == next(c for c in here.findings if c.new and c.new.level == "stop")
    lower = compared(low, CLEAN.with_value("bolt_line.height", 14))
    stayed = {c.new.code: c.trend for c in lower.stayed if c.new}
    assert stayed["bridge-thin"] == "worse"
    assert {c.new.code: c.trend for c in compared(low, low).stayed if c.new}[
        "bridge-thin"
    ] == "other"


def test_outcomes_know_their_better_side() -> None:
    found = compared(CLEAN, CLEAN.with_value("key.radius", 20.5))
    trends = {c.outcome.name: c.trend for c in found.outcomes}
    assert trends["bridge"] == "worse"
    assert trends["throw"] == "other"
    back = compared(CLEAN.with_value("key.radius", 20.5), CLEAN)
    assert {c.outcome.name: c.trend for c in back.outcomes}["bridge"] == "better"


def test_a_dimension_that_leaves_its_window_is_told() -> None:
    found = compared(CLEAN, CLEAN.with_value("key.radius", 22.0))
    change = next(c for c in found.windows if c.path == "key.radius")
    assert (change.old_fits, change.new_fits) == (True, False)
    assert change in found.worse
    assert "outside" in comparison_text(found)


def test_the_data_is_json_and_has_its_keys() -> None:
    old = mark_made(mark_made(CLEAN, "bolt"), "back_plate")
    new = old.with_value("pivot.below", 54.4).with_value("key.radius", 20.6)
    found = comparison_data(compared(old, new))
    assert json.loads(json.dumps(found, allow_nan=False)) == found
    assert list(found) == [
        "format", "old", "new", "changed", "outcomes", "findings", "windows", "worse", "contours", "made",
    ]  # fmt: skip
    assert found["changed"] == [
        {"path": "pivot.below", "old": 54.0, "new": 54.4},
        {"path": "key.radius", "old": 20.0, "new": 20.6},
    ]
    whole = report(Layout(new))
    assert found["contours"]["new"] == whole["bolt"]["contour"]
    assert found["made"] == whole["made"]
    assert [entry["verdict"] for entry in found["made"]] == ["use", "file"]
    came = {f["code"] for f in found["findings"]["came"]}
    assert came == {f["code"] for f in whole["findings"]} - {"detent-on-trust"}
    tooth = {o["name"]: o["new"] for o in found["outcomes"]}
    assert tooth["driven_travel"] == whole["tooth"]["driven_travel"]


def test_the_text_fits_its_columns_and_shows_no_control_characters() -> None:
    old = replace(mark_made(CLEAN, "bolt"), title="a\x1b[2Jb")
    text = comparison_text(
        compared(old, old.with_value("key.radius", 22.5).with_value("units", "in"))
    )
    assert max(map(len, text.splitlines())) <= 80
    assert all(line.isprintable() for line in text.splitlines())


def test_the_command(tmp_path: Path) -> None:
    old, new = tmp_path / "old.toml", tmp_path / "new.toml"
    save(Project(None, CLEAN), old)
    save(Project(None, CLEAN.with_value("bolt_line.height", 15)), new)
    done = boltwright("compare", str(old), str(new))
    assert (done.returncode, done.stderr) == (1, b"")
    assert "bolt line" in done.stdout.decode()
    there = boltwright("compare", str(new), str(old), "--json")
    assert (there.returncode, there.stderr) == (0, b"")
    data = json.loads(there.stdout)
    assert data["old"]["stop"] is True
    assert data["new"]["stop"] is False
    assert "none.toml: there is no such file" in refusal(
        boltwright("compare", str(old), "none.toml")
    )
    assert "new.toml" not in refusal(boltwright("compare", "none.toml", str(new)))


@pytest.mark.parametrize("seed", seeds(3, 12))
@pytest.mark.first(1)
def test_what_got_worse_stands_first_in_the_text(seed: int) -> None:
    lines = comparison_text(compared(plausible(seed), plausible(seed + 1))).splitlines()
    begin = next(n for n, line in enumerate(lines) if line.startswith("WHAT COMES OF IT"))
    told = [line.split()[-1] for line in lines[begin + 1 : lines.index("", begin)] if line.strip()]
    trends = [word for word in told if word in ("worse", "better")]
    assert "worse" in trends
    assert trends == sorted(trends, reverse=True)


def test_torque_jamming_and_cocking_are_compared() -> None:
    # a wedge locks itself from tan(45 - p/2) on (any text of mechanics); L / (2 mu d) for the guides; twice the
    # spring, twice the torque, for the equations are linear in the load
    found = compared(early(20.0, spring__force=2.0), early(30.0, spring__force=4.0))
    assert found.old.lock.friction.condition == "clean"
    for change, wanted in (
        (outcome(found, "jamming_margin"), [math.tan(math.radians(45 - p / 2)) / 0.42 for p in (20, 30)]),
        (outcome(found, "cocking_ratio"), [_cocking(side.lock, 0.42) for side in (found.old, found.new)]),
    ):  # fmt: skip
        assert [change.old, change.new] == pytest.approx(wanted, rel=1e-3)
        assert change.outcome.kind == "ratio"
    assert outcome(found, "jamming_margin").trend == "worse"
    heavier = compared(early(20.0, spring__force=2.0), early(20.0, spring__force=4.0))
    torque = outcome(heavier, "peak_torque")
    assert torque.new == pytest.approx(2 * torque.old, rel=1e-6)
    assert torque.trend == "worse"
    assert [(c.outcome.name, c.trend) for c in heavier.outcomes if c.differs] == [
        ("peak_torque", "worse")
    ]
    line = next(line for line in comparison_text(heavier).splitlines() if "most torque" in line)
    assert line.split()[-1] == "worse"
    assert f"{torque.old / 1000:.3f} N m -> {torque.new / 1000:.3f} N m" in line
    units = {o["name"]: o["unit"] for o in comparison_data(heavier)["outcomes"]}
    assert (units["peak_torque"], units["jamming_margin"]) == ("N mm", None)


def test_a_bolt_that_jams_takes_no_torque_and_one_that_is_freed_is_better() -> None:
    found = compared(early(30.0, friction__condition="dry"), early(14.0, friction__condition="dry"))
    torque = outcome(found, "peak_torque")
    assert torque.old is None
    assert torque.new > 0
    assert torque.trend == "better"
    assert outcome(found, "jamming_margin").old < 1 < outcome(found, "jamming_margin").new


def _cocking(lock: Lock, mu: float) -> float:
    front, rear, n = lock.front_guide, lock.rear_guide, numbers(lock)
    apart = front.from_centreline + front.width / 2 + rear.from_centreline + rear.width / 2
    return apart / (2 * mu * (lock.bolt_line.height - 3.0 - n.foot))


def test_it_says_which_guide_and_what_there_is_to_say_of_the_files(tmp_path: Path) -> None:
    old, new = tmp_path / "old.toml", tmp_path / "new.toml"
    old.write_text("[key]\nradius = 20\n[front_guide]\nwidth = 4\n", "utf-8")
    new.write_text(
        "[key]\nradius = 20\n[front_guide]\nwidth = 5\n[rear_guide]\nwidth = 5\n", "utf-8"
    )
    text = boltwright("compare", str(old), str(new)).stdout.decode()
    assert "front guide width" in text
    assert "rear guide width" in text
    assert "  guide width" not in text
    assert "OF THE FILES" in text
    assert max(map(len, text.splitlines())) <= 80


@pytest.mark.parametrize(("radius", "code"), [(20.0, 0), (36.0, 1)])
@pytest.mark.first(1)
def test_its_exit_status_is_of_the_new_lock(tmp_path: Path, radius: float, code: int) -> None:
    old = save(Project(None, CLEAN), tmp_path / "old.toml").path
    new = save(Project(None, CLEAN.with_value("key.radius", radius)), tmp_path / "new.toml").path
    assert boltwright("compare", str(old), str(new)).returncode == code
    assert boltwright("compare", str(new), str(old)).returncode == 0


def test_a_file_that_was_cut_short_says_so(tmp_path: Path) -> None:
    whole = save(Project(None, CLEAN), tmp_path / "old.toml").path
    assert whole is not None
    part = tmp_path / "part.toml"
    part.write_bytes(whole.read_bytes()[:-200])
    assert "cut short" in refusal(boltwright("compare", str(whole), str(part)))


def test_a_window_of_which_only_the_upper_end_moves_is_told() -> None:
    """By hand: with the bolt line 1 mm higher a floor may stand 1 mm higher, and its least metal stays."""
    higher = CLEAN.with_value("bolt_line.height", CLEAN.bolt_line.height + 1.0)
    lines = comparison_text(compared(CLEAN, higher)).splitlines()
    (line,) = [line for line in lines if line.startswith("  front guide floor")]
    old_low, old_high, new_low, new_high = (float(n) for n in re.findall(r"([\d.]+) mm", line))
    assert new_low == old_low
    assert new_high == pytest.approx(old_high + 1.0)


def test_a_finding_that_stays_is_told_with_its_way() -> None:
    """A pick-up a degree earlier moves both flanks inwards, so they cross by more."""
    old, new = (CLEAN.with_value("tooth.pickup_angle", angle) for angle in (30.0, 31.0))
    lines = comparison_text(compared(old, new)).splitlines()
    assert [line.split()[0] for line in lines if "No tooth can be cut" in line] == ["worse"]
