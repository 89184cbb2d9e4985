"""What was measured, with its day and a line of notes; and what was filed off a part since that stays made."""

import math
import tomllib
from pathlib import Path

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from core.errors import BadEntryError, BadFileError, BadValueError
from core.files.project_file import Project, load, save
from core.files.project_reading import read_text
from core.files.project_text import edited_text, fresh_text
from core.layout.layout import Layout
from core.lock.facts import as_made, dated, made_to, record_of, settled, with_measured, with_note
from core.lock.lock import Lock
from core.made.filed_since import after_filing, filed_off
from core.made.marking import is_made, mark_made
from core.report.data import report
from core.text import plain
from core.whole import assembly
from tests import benchwork
from tests.sure import sure
from tests.tui_driving import SIZES, program
from tui.made import state as made_state

pytestmark = pytest.mark.usefixtures("own_folder")

DAY = "2026-05-31"


def made(lock: Lock, *parts: str) -> Lock:
    for part in parts or assembly.workpieces():
        lock = mark_made(lock, part)
    return lock


NOTED = with_note(
    with_measured(made(Lock(), "bolt"), "bolt", "bolt.depth", 10.2, DAY),
    "bolt",
    "bolt.depth",
    "cold",
)


def test_day_and_note_stand_in_the_file_beside_the_value() -> None:
    text = fresh_text(NOTED)
    bolt = tomllib.loads(text)["made"]["bolt"]
    assert bolt["dated"] == {"bolt": {"depth": DAY}}
    assert bolt["noted"] == {"bolt": {"depth": "cold"}}
    assert read_text(text).lock == NOTED
    assert not any("unknown" in note.code for note in read_text(text).notes)


@given(st.text(max_size=300), st.sampled_from(("", DAY)))
def test_any_note_comes_back_from_the_file_as_one_plain_line(note: str, day: str) -> None:
    lock = with_measured(made(Lock(), "bolt"), "bolt", "as_cut.roof", 0.2, day)
    lock = with_note(lock, "bolt", "as_cut.roof", note)
    assert read_text(fresh_text(lock)).lock == lock
    edited = edited_text(fresh_text(Lock()), Lock(), lock)
    assert read_text(edited).lock == lock
    told = sure(record_of(lock, "bolt")).told("as_cut.roof")
    assert plain(told) == told
    assert len(told) <= 212


def test_a_day_written_as_toml_has_dates_and_what_is_none_are_read_and_kept() -> None:
    head = 'title = "x"\n[made.bolt.measured]\nbolt.depth = 9.8\n'
    reading = read_text(f"{head}[made.bolt.dated]\nbolt.depth = 2026-05-31\n")
    assert dict(reading.lock.made[0].dated) == {"bolt.depth": DAY}
    odd = f'{head}[made.bolt.dated]\nbolt.depth = "some time in May"\n[made.bolt.noted]\nbolt.thickness = "thin"\n'
    reading = read_text(odd)
    assert (reading.lock.made[0].dated, reading.lock.made[0].noted) == ((), ())
    told = " ".join(note.text for note in reading.notes)
    assert "made.bolt.dated.bolt.depth is unknown" in told
    new = with_measured(reading.lock, "bolt", "bolt.thickness", 2.9)
    text = edited_text(odd, reading.lock, new)
    assert "some time in May" in text
    with pytest.raises(BadFileError) as refused:
        read_text(f"{head}[made.bolt]\nnoted = 3\n")
    assert "it takes a table" in str(refused.value)


def test_a_note_goes_with_its_value_and_a_day_with_a_new_one() -> None:
    bolt = sure(record_of(with_measured(NOTED, "bolt", "bolt.depth", 10.3, "2026-06-01"), "bolt"))
    assert bolt.told("bolt.depth") == "2026-06-01: cold"
    bolt = sure(record_of(with_measured(NOTED, "bolt", "bolt.depth", None), "bolt"))
    assert (bolt.measured, bolt.dated, bolt.noted) == ((), (), ())
    wished = settled(NOTED, "bolt.depth")
    assert (wished.made[0].dated, wished.made[0].noted) == ((), ())
    assert with_note(NOTED, "bolt", "bolt.thickness", "none measured").made == NOTED.made
    assert dated(NOTED, NOTED, "2026-07-01") == NOTED
    later = sure(record_of(dated(Lock(), NOTED, "2026-07-01"), "bolt"))
    assert later.told("bolt.depth") == "2026-07-01: cold"


def test_the_findings_tell_day_and_note() -> None:
    found = report(Layout(NOTED))
    texts = [finding["text"] for finding in found["findings"] if finding["code"] == "made-measured"]
    assert [text.split(" (")[1].split(")")[0] for text in texts] == [f"{DAY}: cold"]


@pytest.mark.parametrize(
    ("text", "units", "off"),
    [
        ("filed 0.2 since", "mm", 0.2), ("Filed 0,2", "mm", 0.2), ("filed 1/64 off", "in", 25.4 / 64),
        ("filed 0.2 mm since", "in", 0.2), ("filed 1/64 in off since", "mm", 25.4 / 64), ("9.8", "mm", None),
        ("", "mm", None), ("filed", "mm", None),
    ],
)  # fmt: skip
def test_what_was_filed_off_is_read_in_any_unit(text: str, units: str, off: float | None) -> None:
    assert filed_off(text, units) == (None if off is None else pytest.approx(off))


@pytest.mark.parametrize(
    "text", ["filed banana", "filed 0", "filed -0.2 since", "filed 0.2 x since"]
)
def test_what_no_file_takes_off_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(BadEntryError) as refused:
        filed_off(text, "mm")
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("part", ["key", "bolt", "back_plate", "front_plate"])
def test_filing_takes_metal_off_and_puts_none_on(part: str) -> None:
    """shapely alone: after each filing the part has less metal than before, and none where it had none."""
    lock = made(Lock(), part)
    shape, tried = benchwork.SHAPES[part], 0
    for path in made_state.measurable(lock, part):
        if not assembly.workpieces()[part].filed_way(path):
            continue
        before = made_to(lock, part)
        new = with_measured(lock, part, path, after_filing(lock, part, path, 0.2))
        if path.startswith("as_cut.") or path.endswith(("thickness", "rim")):
            continue  # not in the tests' own shapes: those of the first kind are tried below
        own, old = shape(made_to(new, part)), shape(before)
        if own.equals(old):
            continue
        tried += 1
        assert own.difference(old).area < 1e-3, path
        assert old.difference(own).area > 1e-3, path
    assert tried


def test_filing_off_the_lines_of_a_bolt_takes_metal_off_too() -> None:
    lock, piece = made(Lock().with_value("bolt.depth", 9.0), "bolt"), assembly.workpieces()["bolt"]
    before = piece.shape(Layout(made_to(lock, "bolt"))).body
    old = shapely.Polygon(sure(before).points(1e-4))
    tried = [path for path in made_state.measurable(lock, "bolt") if path.startswith("as_cut.")]
    assert len(tried) == 11
    for path in tried:
        new = with_measured(lock, "bolt", path, after_filing(lock, "bolt", path, 0.2))
        own = shapely.Polygon(sure(piece.shape(Layout(made_to(new, "bolt"))).body).points(1e-4))
        assert own.difference(old).area < 1e-3, path
        assert old.difference(own).area > 5e-3, path


def test_filing_goes_on_from_what_was_measured_last_and_the_part_stays_made() -> None:
    lock = with_measured(made(Lock(), "bolt", "back_plate"), "bolt", "bolt.depth", 10.3)
    assert after_filing(lock, "bolt", "bolt.depth", 0.2) == pytest.approx(10.1)
    assert after_filing(lock, "bolt", "as_cut.roof", 0.2) == pytest.approx(0.2)
    lock = with_measured(lock, "bolt", "as_cut.roof", -0.3)
    assert after_filing(lock, "bolt", "as_cut.roof", 0.2) == pytest.approx(-0.1)
    assert after_filing(lock, "back_plate", "pivot.hole", 0.1) == pytest.approx(6.1)
    for path in ("pivot.below", "bolt_line.height", "rear_guide.from_centreline"):
        with pytest.raises(BadEntryError, match="No file changes this"):
            after_filing(lock, "back_plate", path, 0.1)
    with pytest.raises(BadValueError):
        after_filing(lock, "bolt", "bolt.nose_height", 9.0)
    with pytest.raises(KeyError):
        after_filing(lock, "key", "key.radius", 0.1)


@SIZES
@pytest.mark.slow
async def test_filed_since_day_and_note_are_typed_at_the_bench(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1780185600")  # by GNU date: 2026-05-31 00:00 UTC
    file = sure(save(Project(None, made(Lock())), tmp_path / "made.toml").path)
    async with program(tmp_path, file, size=size) as driver:
        await driver.press("ctrl+o", "down", "down", "down", "enter")
        await driver.type("10.3; cold, twice\n")
        await driver.press("shift+tab")
        bolt = sure(record_of(driver.screen.at_hand, "bolt"))
        assert bolt.told("bolt.depth") == f"{DAY}: cold, twice"
        assert f"Measured {DAY}: cold, twice." in driver.words("#how")
        await driver.press("shift+home", "delete")
        await driver.type("filed 0.2 since\n")
        lock = driver.screen.at_hand
        assert is_made(lock, "bolt")
        assert as_made(lock).bolt.depth == pytest.approx(10.1)
        assert "10.3 mm and 0.2 mm filed off since" in driver.words("#told")
        await driver.press("shift+tab", "shift+home", "delete")
        await driver.type("filed banana\n")
        assert "is no length" in driver.words("#told")
        assert driver.screen.at_hand == lock
        await driver.press("shift+home", "delete")
        await driver.type("filed 0.2; now\n")
        assert math.isclose(as_made(driver.screen.at_hand).bolt.depth, 9.9)
        await driver.press("ctrl+z")
        assert driver.screen.at_hand == lock
        await driver.type("; a note on nothing\n")
        assert "Nothing is measured yet" in driver.words("#told")
        assert driver.screen.at_hand == lock
        await driver.press("escape", "escape", "f2")
    assert load(file).lock == lock
