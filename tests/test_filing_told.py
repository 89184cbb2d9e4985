"""What is told of an edge that is being filed, and how readings are kept with the lock."""

import math
from pathlib import Path

import pytest

from core.errors import BadEntryError, BadFileError
from core.files.project_file import Project, load, save
from core.files.project_reading import read_text
from core.files.project_text import fresh_text
from core.filing.advice import advice, checked_reading
from core.filing.as_filed import MEASURES, NAMES, as_filed, measure_called
from core.filing.strokes_left import readings_in, removal
from core.layout.layout import Layout
from core.lock.lock import Lock
from tests.sheet_reading import SAMPLES
from tui.command import main


@pytest.mark.parametrize("name", NAMES)
def test_what_is_finished_is_left_alone_and_what_is_full_is_taken_off(name: str) -> None:
    layout = Layout(
        SAMPLES[0].with_value("filing.relief", 0.1).with_value("filing.lower_edge", 0.1)
    )
    measure = measure_called(name)
    assert (
        "as wanted, leave it" in advice(layout, {name: measure.finished(layout)}, name)
        or "foot" in name
    )
    text = advice(layout, {name: measure.full(layout)}, name)
    assert "take " in text or "foot" in name
    assert "Stop when it measures" in text or "foot" in name
    assert text.count("\n") == 0


@pytest.mark.parametrize("units", ["mm", "in"])
def test_roof_and_feet_are_filed_to_the_plan_for_a_key_as_planned_and_for_a_short_one_to_the_key(
    units: str,
) -> None:
    layout, said = Layout(Lock().with_value("units", units)), "That is not the plan's size"
    planned = layout.lock.key.radius
    for name in ("bridge", "unlocking-foot", "locking-foot"):
        full = measure_called(name).finished(layout) + 0.15
        for radius, plan in ((planned, True), (planned + 0.1, True), (planned - 0.1, False)):
            text = advice(layout, {name: full, "radius": radius, "gap": 12.5}, name)
            assert "take " in text
            assert (said in text) is not plan, (name, radius)


@pytest.mark.parametrize(("radius", "spare"), [(20.05, "0.15 mm"), (20.1, "0.1 mm")])
def test_a_long_key_that_passes_is_told_what_it_has_to_spare(radius: float, spare: str) -> None:
    """By hand: the relief is cut to 20 + 0.2 mm; a bolt with a tail 1 mm too high has no travel to give away."""
    layout = Layout(Lock())
    assert layout.lock.key.radius + layout.lock.fit.key_clearance == pytest.approx(20.2)
    readings = {"radius": radius, "tail-height": layout.lock.bolt.tail_height + 1.0}
    assert f"it passes with {spare} to spare" in advice(layout, readings, "radius")


def test_nobody_is_told_to_take_off_less_than_is_written() -> None:
    # a foot filed lower leaves a long tip less to lose: what is lost by 0.85 is lost by 0.89 to a hair, and a hair is
    # less than half of the hundredth that is written
    layout = Layout(Lock())
    foot = measure_called("unlocking-foot").finished(layout)
    told = []
    for low in (0.85, 0.888):
        read = {"radius": 20.3, "unlocking-foot": foot - low}
        left = removal(layout, as_filed(layout, read), "radius", 20.3)
        told.append(0.0 if left is None else left.amount)
    assert told == [pytest.approx(0.035, abs=0.005), 0.0]


def test_a_foot_takes_full_flanks_for_granted_only_where_none_was_measured() -> None:
    layout, said = Layout(Lock()), "That is for flanks still"
    full = {name: measure_called(name).full(layout) for name in NAMES}
    foot = {"unlocking-foot": full["unlocking-foot"] + 0.3}
    assert said in advice(layout, foot, "unlocking-foot")
    for other in ("gap", "unlocking-lobe", "locking-lobe"):
        assert said not in advice(layout, {**foot, other: full[other]}, "unlocking-foot")
    assert said not in advice(layout, {**foot, "bridge": full["bridge"]}, "bridge")


def test_nothing_is_taken_off_that_cannot_be_put_back() -> None:
    layout = Layout(SAMPLES[0].with_value("detent.kind", "as felt"))
    short = {"radius": 19.3}
    assert "no file puts it back" in advice(layout, short, "radius")
    assert "19.67 mm" in advice(layout, short, "radius")
    # the relief then follows the key that there is
    both = {"radius": 19.8, "bridge": 4.3}
    text = advice(layout, both, "bridge")
    assert "Stop when it measures 4.0 mm" in text
    assert "the key that you have" in text
    deep = {"unlocking-foot": 6.7, "gap": 12.5, "radius": 20.4}
    assert "no file puts it back" in advice(layout, deep, "unlocking-foot")
    # the roof, not the relief that is too wide, says how long the key may be
    assert "Stop when it measures 20.0 mm" in advice(layout, deep, "radius")


def test_a_reading_that_no_part_can_have_is_refused_in_a_sentence() -> None:
    layout = Layout(SAMPLES[0])
    for name, reading in (
        ("gap", 50.0),
        ("radius", 0.0),
        ("bit", -3.0),
        ("colour", 3.0),
        ("gap", math.nan),
    ):
        with pytest.raises(BadEntryError) as refused:
            checked_reading(layout, name, reading)
        assert str(refused.value).count("\n") == 0
    for measure in MEASURES:
        for lock in SAMPLES:
            here = Layout(lock)
            assert checked_reading(here, measure.name, measure.full(here)) > 0
    # of a key of 20: up to half of it and 2 more off, either way
    assert SAMPLES[0].key.radius == 20.0
    for end, beyond in ((8.0, 7.99), (32.0, 32.01)):
        assert checked_reading(layout, "radius", end) == end
        with pytest.raises(BadEntryError, match="cannot measure"):
            checked_reading(layout, "radius", beyond)


def test_readings_are_kept_with_the_lock(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "lock.toml"
    save(Project(None, SAMPLES[0]), path)
    assert main(["measure", str(path)]) == 0
    assert "roof and relief" in capsys.readouterr().out.lower()
    assert main(["measure", str(path), "gap=11.9", "radius=20.2"]) == 0
    out = capsys.readouterr().out
    assert "off each flank" in out
    assert "Stop when it measures 20.0 mm" in out
    assert readings_in(Layout(load(path).lock)) == {"radius": 20.2, "gap": 11.9}
    assert main(["measure", str(path)]) == 0
    assert "WHAT TO DO NEXT" in capsys.readouterr().out
    before = path.read_bytes()
    for wrong in ("gap", "gap=", "gap=500", "hue=3", "radius=0"):
        assert main(["measure", str(path), wrong]) == 2
        assert capsys.readouterr().err.count("\n") == 1
    assert main(["measure", str(path), "--forget", "hue"]) == 2
    assert path.read_bytes() == before
    assert main(["measure", str(path), "--forget", "gap"]) == 0
    assert main(["measure", str(path), "--forget", "all"]) == 0
    assert load(path).lock == SAMPLES[0]


@pytest.mark.parametrize(
    "line",
    [
        "[filed.bolt.measured]\ngap = -1.0",
        "[filed.bolt.measured]\ngap = 'wide'",
        "[filed.bolt]\nmeasured = 3",
    ],
)
def test_a_reading_in_the_file_that_is_none_is_refused_in_a_sentence(line: str) -> None:
    text = fresh_text(Lock()).replace("# end of lock\n", f"{line}\n\n# end of lock\n")
    with pytest.raises(BadFileError, match=r"filed\.bolt\.measured.* is not allowed"):
        read_text(text)
