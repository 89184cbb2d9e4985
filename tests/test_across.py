"""Distances across: typed with their side or with their sign, and shown with their side."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import BadEntryError, BadValueError
from core.lock.in_mirror import unlocking_to
from core.lock.lock import Lock, paths, spec_of
from core.lock.row import Named
from core.lock.rows.posts import Post
from core.propose.first_page import asked_as
from core.units import parse_across, parse_length, show_entry
from tests.counts import tries
from tests.tui_driving import NARROW, program, stored
from tui.desk.desk import Desk
from tui.desk.session import Session
from tui.widgets.entry import Entry

PIVOT = spec_of("pivot.across")


@settings(max_examples=tries(40, 400))
@given(
    st.floats(-300, 300).filter(lambda mm: abs(mm) > 1e-3), st.sampled_from(["mm", "in"]), st.data()
)
def test_every_form_comes_back(mm: float, units: str, data: st.DataObject) -> None:
    side = "left" if mm < 0 else "right"
    size = show_entry(abs(mm), units)
    forms = (
        f"{size} {side}",
        f"{size} {side[0]}",
        f"{side.upper()}  {size}",
        f"{size}{units} {side[0].upper()}",
    )
    text = data.draw(st.sampled_from(forms))
    assert PIVOT.entered(text, units) == pytest.approx(mm, abs=1e-8)
    assert PIVOT.entered(show_entry(mm, units), units) == pytest.approx(mm, abs=1e-8)
    # what stands in the prompt is read back to the digits that it has
    written = PIVOT.written(mm, units)
    assert written.endswith(f" {side}")
    assert "-" not in written
    assert PIVOT.read(written, units) == pytest.approx(mm, abs=1e-8 if units == "mm" else 0.00127)
    assert PIVOT.shown(mm, units).endswith(f"{units} {side}")


@pytest.mark.parametrize(
    ("text", "mm"),
    [("5 l", -5.0), ("5r", 5.0), ("13/16 in left", -20.6375), ("=20-0.5 Left", -19.5), ("left 2 cm", -20.0),
     ("0 left", 0.0), ("-5", -5.0), ("5", 5.0), ("+5", 5.0)],
)  # fmt: skip
def test_forms(text: str, mm: float) -> None:
    value = PIVOT.entered(text, "mm")
    assert value == pytest.approx(mm, abs=1e-12)
    assert repr(value) != "-0.0"


@pytest.mark.parametrize(
    "text", ["-5 left", "left", "l", "r", "5 left right", "left 5 right", "5 up", "5 lr", ""]
)
def test_what_is_no_distance_across_is_refused(text: str) -> None:
    with pytest.raises(BadEntryError):
        PIVOT.entered(text, "mm")


def test_a_length_has_no_side() -> None:
    with pytest.raises(BadEntryError):
        spec_of("key.radius").entered("20 left", "mm")
    with pytest.raises(BadEntryError):
        parse_length("5 l", "mm")
    assert parse_across("5", "mm") == (5.0, "")


def test_the_limits_are_told_with_the_sides() -> None:
    with pytest.raises(BadValueError, match=r"up to 78\.74 in left or right"):
        PIVOT.entered("100 left", "in")


def test_the_first_page_takes_the_side_on_which_the_end_lies() -> None:
    for unlocks, side, other in (("right", "left", "right"), ("left", "right", "left")):
        spec = asked_as(unlocking_to(Lock(), unlocks), "shackle.across")
        assert spec.entered("26", "mm") == spec.entered(f"26 {side[0]}", "mm") == 26.0
        with pytest.raises(BadEntryError, match=f"the bolt locks to the {side}"):
            spec.entered(f"26 {other}", "mm")
        # what it is, and how it is measured, as F1 tells them
        assert "Middle of the shackle's end" in spec.what
        assert f"to the {side}" in spec.what
        assert spec.measure == spec_of("shackle.across").measure


def test_every_value_across_has_its_side() -> None:
    rows = Lock().rows.with_table("posts", (Named("a", Post(1.0, 2.0)),))
    lock = Lock(rows=rows)
    across = {path for path in paths(lock) if path.endswith("across")}
    assert {path for path in paths(lock) if spec_of(path).kind.name == "across"} == across
    assert "posts.a.across" in across


def test_a_lock_that_unlocks_to_the_other_side_is_seen_in_the_mirror() -> None:
    desk = Desk(Session(Lock().with_value("pivot.across", 2.0))).at_path("unlocks")
    other = desk.picked("left")
    assert (other.lock.unlocks, other.lock.pivot.across, other.lock.shackle.across) == (
        "left",
        -2.0,
        26.5,
    )
    assert other.lock.spring.foot_side == "left"
    assert other.notice is not None
    assert "mirror" in other.notice.text
    assert other.undone().lock == desk.lock
    # an end on the wrong side is put right by the other side
    wrong = (
        Desk(Session(Lock().with_value("shackle.across", 26.5))).at_path("unlocks").picked("left")
    )
    assert wrong.lock.shackle.across == 26.5


@pytest.mark.slow
async def test_the_side_is_typed_where_its_letter_is_a_key_too(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path), NARROW) as driver:
        driver.screen.set_desk(driver.desk.at_path("pivot.across"))
        await driver.settle()
        assert driver.desk.path == "pivot.across"
        driver.screen.query_one(Entry).keys_now = "jkl"
        await driver.type("2.5 left")
        assert driver.screen.query_one(Entry).value == "2.5 left"
        await driver.press("enter")
        assert driver.desk.lock.pivot.across == -2.5
        assert "2.5 mm left" in driver.text()
