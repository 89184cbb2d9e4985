"""Rows at the desk and on the screen: added, copied, removed and renamed, with posts as the rows."""

from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from core.checks.gathered import findings
from core.errors import BadValueError
from core.layout.codes import rows_in
from core.layout.layout import Layout
from core.lock.lock import Lock, paths
from core.lock.row_changes import names_in
from tests.counts import of_all, tries
from tests.locks import NAMES, posted
from tests.sure import sure
from tests.tui_driving import NARROW, NARROW_BY_DEFAULT, WIDE, program, stored
from tui.change.state import begun, dimensions_of
from tui.desk import row_moves
from tui.desk.checking import checked
from tui.desk.desk import Desk
from tui.desk.mending import mended_at
from tui.desk.session import Session, layout_of
from tui.keys.of_work import KEYS
from tui.steps.walk import all_steps, place_of
from tui.widgets.desk_text import fit, row
from tui.work.help import help_page
from tui.work.row_name import RowName

NUMBER = next(n for n, step in enumerate(all_steps()) if step.rows == "posts")
THREE = posted((0.0, -26.0), (30.0, 40.0), (-26.0, -8.0, 5.0))


def at_posts(lock: Lock | None = None) -> Desk:
    """Return a desk at the step of the posts."""
    return Desk(Session(lock or Lock())).at_step(NUMBER)


# a step that has no prompt yet


def test_without_rows_the_step_has_no_prompt_and_everything_is_said_all_the_same() -> None:
    desk = at_posts()
    assert (desk.path, desk.text, desk.value, desk.row) == ("", "", None, "")
    assert desk.spec.label == "no posts yet"
    assert "None so far: Ctrl+F adds one." in fit(desk.spec, desk.value, None, "mm", 40).plain
    assert "None so far" in sure(desk.nudged(1).notice).text
    assert desk.taken("17").lock == Lock()
    assert not desk.taken("17").refused
    assert "NO POSTS YET" in help_page(desk).plain
    assert desk.on().step_number == NUMBER + 1
    assert desk.accepted("").step_number == NUMBER + 1
    assert desk.back().step_number == NUMBER - 1
    assert desk.at_step(NUMBER + 1).back().path == ""
    assert sure(desk.undone().notice).text == "Nothing to take back."
    for move in (row_moves.copied, row_moves.removed):
        assert sure(move(desk).notice).text == "There is no post yet: Ctrl+F adds one."
        assert move(desk).session is desk.session


def test_a_step_of_one_each_has_nothing_to_add() -> None:
    desk = Desk(Session(Lock()))
    for move in (row_moves.added, row_moves.copied, row_moves.removed):
        assert move(desk).session is desk.session
        assert sure(move(desk).notice).kind == "said"


# the acts


def test_posts_are_added_where_they_fit_and_are_one_change_each() -> None:
    desk = at_posts()
    for count in range(1, 5):
        desk = row_moves.added(desk)
        assert desk.row == "abcd"[count - 1]
        assert desk.path == f"posts.{desk.row}.across"
        assert len(desk.session.past) == count
        assert not [f for f in findings(Layout(desk.lock)) if f.step == "posts"]
    assert names_in(desk.lock, "posts") == ("a", "b", "c", "d")
    assert [change.what for change in desk.session.past][-1] == "post d added"
    for count in range(4, 0, -1):
        desk = desk.undone()
        assert sure(desk.notice).text == f"Taken back: post {'abcd'[count - 1]} added."
        assert len(names_in(desk.lock, "posts")) == count - 1
        assert desk.step_number == NUMBER
    assert desk.lock == Lock()
    assert desk.path == ""
    assert names_in(desk.redone().redone().lock, "posts") == ("a", "b")
    assert desk.redone().path == "posts.a.across"


def test_a_row_is_added_after_the_one_at_hand() -> None:
    desk = row_moves.added(at_posts(THREE).at_path("posts.a.diameter"))
    assert names_in(desk.lock, "posts") == ("a", "d", "b", "c")
    assert desk.path == "posts.d.across"


def test_a_copy_has_all_values_and_the_same_prompt() -> None:
    desk = row_moves.copied(at_posts(THREE).at_path("posts.c.diameter"))
    assert desk.path == "posts.d.diameter"
    assert desk.lock.value("posts.d.diameter") == 5.0
    assert desk.session.past[-1].what == "post d, a copy of post c"
    assert desk.undone().lock == THREE
    assert desk.undone().path == "posts.c.diameter" or desk.undone().path.startswith("posts.")
    assert "post-in-another:c,post-d" in {f.code for f in findings(Layout(desk.lock))}


def test_a_removed_row_gives_way_to_the_next_and_comes_back_in_its_place() -> None:
    desk = row_moves.removed(at_posts(THREE).at_path("posts.b.above"))
    assert names_in(desk.lock, "posts") == ("a", "c")
    assert desk.path == "posts.c.above"
    assert desk.session.past[-1].what == "post b removed"
    back = desk.undone()
    assert back.lock == THREE
    assert back.path == "posts.b.across"
    assert sure(back.notice).text == "Taken back: post b removed."
    assert back.redone().lock == desk.lock
    last = row_moves.removed(at_posts(THREE).at_path("posts.c.above"))
    assert last.path == "posts.b.above"
    assert row_moves.removed(at_posts(posted((1.0, 2.0)))).path == ""


def test_undo_leads_to_the_step_of_the_rows_from_anywhere() -> None:
    desk = row_moves.removed(at_posts(THREE)).at_step(0)
    assert desk.undone().path == "posts.a.across"
    desk = row_moves.added(at_posts()).at_step(0)
    assert (desk.undone().step_number, desk.undone().path) == (NUMBER, "")


def test_a_row_is_renamed_at_its_prompt() -> None:
    desk = row_moves.renamed(at_posts(THREE).at_path("posts.b.above"), "Top_1")
    assert desk.path == "posts.Top_1.above"
    assert sure(desk.notice).text == "Post b is called Top_1 now. Ctrl+Z takes it back."
    assert desk.session.past[-1].what == "post b called Top_1"
    assert desk.nudged(1).session.past[-1].what == "post Top_1 above"
    assert desk.nudged(1).undone().undone().lock == THREE
    with pytest.raises(BadValueError, match="There is a post c already"):
        row_moves.renamed(at_posts(THREE), "c")
    with pytest.raises(BadValueError, match="is no name for one of the posts"):
        row_moves.renamed(at_posts(THREE), "upper left")
    assert not row_moves.renamed(at_posts(THREE), "a").session.past


@settings(max_examples=tries(15, 60))
@example([("r", "a"), ("f", "a"), ("a", "a"), ("a", "a"), ("n", "a")])
@given(st.lists(st.tuples(st.sampled_from("acrnuyf+-"), NAMES), max_size=12))
def test_whatever_is_done_to_rows_the_desk_stands_at_a_prompt_of_its_lock(
    moves: list[tuple[str, str]],
) -> None:
    desk = at_posts(posted((0.0, -26.0)))
    for act, name in moves:
        match act:
            case "a":
                desk = row_moves.added(desk)
            case "c":
                desk = row_moves.copied(desk)
            case "r":
                desk = row_moves.removed(desk)
            case "n":
                try:
                    desk = row_moves.renamed(desk, name)
                except BadValueError:
                    # "f" may have led on to the step of another kind of row
                    assert name in names_in(desk.lock, desk.step.rows)
            case "u":
                desk = desk.undone()
            case "y":
                desk = desk.redone()
            case "f":
                desk = desk.on()
            case _:
                desk = desk.nudged(1 if act == "+" else -10)
        assert desk.path in (desk.step.asked(desk.lock) or ("",))
        assert desk.text == desk.spec.written(desk.value, "mm")
    while desk.session.past:
        desk = desk.undone()
    assert desk.lock == posted((0.0, -26.0))


# prompts, windows, findings


def test_every_value_of_every_row_is_asked_for_in_the_order_of_the_file() -> None:
    assert at_posts(THREE).step.asked(THREE) == paths(THREE)[-9:]
    assert place_of("posts.b.above") == (NUMBER, "posts.b.above")
    assert set(paths(THREE)[-9:]) <= set(dimensions_of(THREE))
    assert begun(THREE, "posts.c.diameter").nudged(1).lock.value("posts.c.diameter") == 5.1


def test_only_the_row_at_hand_stands_out() -> None:
    desk = at_posts(THREE).at_path("posts.b.above")
    assert desk.parts == ("post b",)
    assert at_posts().parts == ()


def test_a_long_name_leaves_room_for_what_it_is() -> None:
    lock = row_moves.renamed(at_posts(THREE), "the-upper-left-corner").lock
    line = row(lock, "posts.the-upper-left-corner.diameter", None).plain
    assert "diameter" in line
    assert "…" in line


def test_a_finding_leads_to_the_row_that_it_is_about() -> None:
    lock = posted((0.0, -26.0), (1.0, 5.0), (30.0, 40.0), (0.0, 22.0), (29.0, 40.0))
    found = checked(layout_of(lock))
    about = [finding for finding in found.findings if finding.step == "posts"]
    assert len(about) > 4
    for finding in about:
        desk = mended_at(Desk(Session(lock)), finding, found)
        assert desk.row
        assert desk.row in rows_in(finding.code) or f"post-{desk.row}" in rows_in(finding.code)


def test_a_value_outside_its_window_is_told_of_in_rows_too() -> None:
    desk = at_posts(THREE).taken("200")
    judged = desk.judged(checked(layout_of(desk.lock)).windows)
    assert sure(judged.notice).kind == "outside"
    assert sure(judged.notice).code == "post-outside-wall:a"
    gone = row_moves.removed(desk)
    assert sure(gone.judged(checked(layout_of(gone.lock)).windows).notice).kind == "said"


# on the screen


@pytest.mark.usefixtures("own_folder")
@NARROW_BY_DEFAULT
@pytest.mark.slow
async def test_a_journey_with_three_posts(tmp_path: Path, size: tuple[int, int]) -> None:
    async with program(tmp_path, stored(tmp_path), size=size) as driver:
        await driver.press("f9", *str(NUMBER + 1), "enter")
        assert driver.desk.step_number == NUMBER
        assert "None so far: Ctrl+F adds one." in driver.words()
        assert driver.screen.focused.id == "entry"
        hints = driver.words("#hints")
        assert all(
            word in hints for word in ("Ctrl+F add", "F11 copy", "F12 name", "Ctrl+X remove")
        )
        await driver.type("17x?")  # nothing to type into; ? is help
        await driver.press(
            "escape", "up", "pagedown", "left", "backspace", "ctrl+x", "ctrl+a", "ctrl+b"
        )
        assert "There is no post yet" in driver.words()
        assert driver.desk.lock == Lock()
        for _ in range(3):
            await driver.press("ctrl+f")
        assert names_in(driver.desk.lock, "posts") == ("a", "b", "c")
        assert "post c across" in driver.words()
        assert "fits" in driver.words("#panel")
        await driver.press("ctrl+b")
        assert isinstance(driver.screen, RowName)
        await driver.type("b\n")
        assert "There is a post b already" in driver.text().replace("\n", " ")
        await driver.press("shift+home", "delete")
        await driver.type("upper left\n")
        assert "is no name" in driver.text()
        await driver.press("shift+home", "delete")
        await driver.type("upper_left\n")
        assert driver.desk.path == "posts.upper_left.across"
        assert "Post c is called upper_left now." in driver.words()
        before = driver.desk.lock.value("posts.upper_left.across")
        await driver.press("up", "up", "pageup")
        assert driver.desk.lock.value("posts.upper_left.across") == pytest.approx(before + 1.2)
        await driver.press("ctrl+z")
        assert driver.desk.lock.value("posts.upper_left.across") == before
        await driver.press("enter", "enter", "ctrl+a")
        assert driver.desk.path == "posts.c.diameter"
        await driver.press("ctrl+x")
        assert "Post c removed." in driver.words()
        await driver.press("f2")
        text = (tmp_path / "lock.toml").read_text(encoding="utf-8")
        assert "[posts.upper_left]" in text
        kept = driver.desk.lock
    async with program(tmp_path, tmp_path / "lock.toml", size=size) as driver:
        assert driver.desk.lock == kept
        await driver.press("ctrl+z")
        assert sure(driver.desk.notice).text == "Taken back: post c removed."
        assert names_in(driver.desk.lock, "posts") == ("a", "b", "upper_left", "c")
        await driver.press(*["ctrl+z"] * 5)
        assert driver.desk.lock == Lock()
        assert driver.desk.path == ""
        await driver.press("f4")
        assert driver.desk.step_number == NUMBER + 1


@pytest.mark.usefixtures("own_folder")
@pytest.mark.parametrize("key", of_all(["enter", "f4", "tab"], 1))
@pytest.mark.slow
async def test_a_step_without_a_prompt_is_left_by_every_key_that_leads_on(
    tmp_path: Path, key: str
) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.press("f9", *str(NUMBER + 1), "enter", key)
        assert driver.desk.step_number == NUMBER + 1
        await driver.press("shift+tab")
        assert driver.desk.step_number == NUMBER
        await driver.press("f3")
        assert driver.desk.step_number == NUMBER - 1


@pytest.mark.slow
@pytest.mark.usefixtures("own_folder")
async def test_every_key_of_the_working_screen_in_a_step_without_a_prompt(tmp_path: Path) -> None:
    keys = {key for stand in KEYS.stands for act in stand.acts for key in act.keys}
    async with program(tmp_path, stored(tmp_path)) as driver:
        work = driver.screen
        for key in sorted(keys - {"f10", "ctrl+q", "ctrl+c", "ctrl+f", "insert"}):
            work.set_desk(work.desk.at_step(NUMBER))
            work.action_rest()
            await driver.press(key)
            while driver.screen is not work:
                await driver.press("escape")
        assert work.desk.lock == Lock()


@pytest.mark.slow
@pytest.mark.usefixtures("own_folder")
async def test_rows_by_the_mouse(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path), size=WIDE) as driver:
        await driver.press("f9", *str(NUMBER + 1), "enter")
        for word in ("add", "add", "copy", "remove"):
            await driver.click_key(f" {word} ")
        assert names_in(driver.desk.lock, "posts") == ("a", "b")
        shown = driver.rows()
        y = next(k for k, text in enumerate(shown) if "post a above" in text)
        await driver.click(offset=(shown[y].index("post a above") + 2, y))
        assert driver.desk.path == "posts.a.above"
        await driver.click_key(" name ")
        assert isinstance(driver.screen, RowName)
        await driver.press("ctrl+c")
        assert not isinstance(driver.screen, RowName)
        # in a step of one each the line says nothing of rows
        await driver.press("f3")
        assert "Ctrl+F" not in driver.words("#hints")
        await driver.press("ctrl+f")
        assert "one of each" in driver.words()


@pytest.mark.slow
@pytest.mark.usefixtures("own_folder")
async def test_the_prompt_at_hand_is_in_sight_in_a_long_step(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path), size=NARROW) as driver:
        await driver.press("f9", *str(NUMBER + 1), "enter", *["ctrl+f"] * 7)
        for _ in range(3):
            assert driver.screen.focused.id == "entry"
            place = driver.screen.query_one("#entry").region
            shown = driver.rows()[place.y]
            assert f"> post {driver.desk.row}" in shown
            assert "fits" in driver.words("#panel")
            await driver.press("enter")
        await driver.press("f3")
        assert "> post a across" in driver.text()


@pytest.mark.slow
@pytest.mark.usefixtures("own_folder")
async def test_what_is_typed_is_taken_before_a_row_is_added(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path), size=NARROW) as driver:
        await driver.press("f9", *str(NUMBER + 1), "enter", "ctrl+f")
        await driver.type("-20")
        await driver.press("ctrl+f")
        assert driver.desk.lock.value("posts.a.across") == -20.0
        await driver.type("banana")
        await driver.press("f11")
        assert driver.desk.refused
        assert names_in(driver.desk.lock, "posts") == ("a", "b")
        await driver.press("ctrl+x")
        assert names_in(driver.desk.lock, "posts") == ("a",)
