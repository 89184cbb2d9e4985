"""The desk: what the maker's entries do to the lock, without any screen."""

from dataclasses import replace
from typing import NoReturn

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.checks.gathered import all_checks, findings, windows
from core.layout.layout import Layout
from core.lock.lock import Lock, spec_of, specs
from core.lock.numbers import LENGTH
from core.text import plain
from tests.counts import of_all, seeds, tries
from tests.held_locks import random_held
from tests.sure import sure
from tui.desk.checking import checked, checking
from tui.desk.desk import Desk
from tui.desk.mending import mended_at
from tui.desk.session import Session, layout_of
from tui.steps.walk import all_steps, place_of
from tui.widgets.desk_text import practised
from tui.work.help import help_page


def at(path: str, lock: Lock | None = None) -> Desk:
    """Return a desk at the prompt of a path."""
    return Desk(Session(lock or Lock())).at_path(path)


def test_every_value_of_a_lock_is_asked_for_in_exactly_one_step() -> None:
    asked = [prompt.path for step in all_steps() for prompt in step.prompts]
    assert sorted(asked) == sorted(specs())


def test_every_value_can_be_reached_by_enter_alone() -> None:
    # a prompt that does not apply is left out, so each word of each choice is tried, and with a strip and notches too
    # and each size has its own figure
    with_figures = Lock().with_value("spread.figures", "some")
    with_strip = with_figures.with_value("spring.kind", "flat strip").with_value(
        "detent.kind", "notches"
    )
    reached = set()
    for lock in (
        start.with_value(path, word)
        for start in (with_figures, with_strip)
        for path, spec in specs().items()
        for word in spec.choices
    ):
        desk = Desk(Session(lock))
        for _ in range(len(specs()) + 1):
            reached.add(desk.path)
            desk = desk.accepted("")
    # a step that asks for rows has no prompt as long as there is none
    assert reached == {*specs(), ""}


def test_the_first_seven_steps_are_in_the_order_of_the_mock_up() -> None:
    assert [step.name for step in all_steps()][:7] == [
        "plate", "pivot", "centreline", "bolt line", "key radius", "tooth", "rear guide",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "path", of_all([p for p, spec in specs().items() if spec.kind is LENGTH][::-1], 16)
)
def test_every_finding_names_a_step_that_there_is(path: str) -> None:
    # too large or, where large does no harm, too small
    lock = Lock().with_value(path, max(Lock().value(path), 0.1) * 3.0)
    if not findings(Layout(lock)):
        lock = Lock().with_value(path, max(Lock().value(path), 0.1) / 10.0)
    names = {step.name for step in all_steps()}
    assert {finding.step for finding in findings(Layout(lock))} <= names


def test_a_corner_radius_is_asked_of_a_rectangle_only() -> None:
    rectangle = Lock().with_value("plate.outline", "rectangle")
    assert "plate.corner" in all_steps()[0].asked(rectangle)
    assert "plate.corner" not in all_steps()[0].asked(Lock())


@pytest.mark.parametrize(
    ("typed", "mm"),
    [
        ("20", 20.0), ("20.5 mm", 20.5), ("20,5", 20.5), ("=20-0.3", 19.7),
        # one inch is 25.4 mm exactly: international yard and pound agreement, 1959
        ("13/16", 25.4 * 13 / 16), ('1 3/8"', 25.4 * 11 / 8),
    ],
)  # fmt: skip
def test_an_entry_is_taken_and_the_next_prompt_is_at_hand(typed: str, mm: float) -> None:
    desk = at("key.radius").accepted(typed)
    assert desk.lock.key.radius == pytest.approx(mm, abs=1e-9)
    assert desk.path == "key.bit_thickness"
    assert desk.session.dirty == (mm != 20.0)


@pytest.mark.parametrize(
    "typed",
    ["banana", "-5", "0", "1e3", "nan", "inf", "20 20", "9999 m", "12/0", "½½", "=", "2.0.0"],
)
def test_a_bad_entry_says_what_is_allowed_and_keeps_the_lock(typed: str) -> None:
    before = at("key.radius")
    desk = before.accepted(typed)
    assert desk.session is before.session
    assert desk.path == "key.radius"
    assert desk.refused
    sentence = sure(desk.notice).text
    assert "write it as" in sentence or "it takes" in sentence
    assert "\n" not in sentence


@settings(max_examples=tries(30, 200))
@given(st.sampled_from(sorted(specs())), st.text(max_size=70))
def test_no_entry_whatever_breaks_the_desk(path: str, text: str) -> None:
    lock = Lock()
    for only in [p.only for s in all_steps() for p in s.prompts if p.path == path and p.only]:
        lock = lock.with_value(only[0], only[1][0])
    desk = at(path, lock).accepted(text)
    assert not desk.refused or desk.lock == lock
    for value in (desk.lock.value(p) for p in specs()):
        assert not isinstance(value, float) or abs(value) <= 2000.0


def test_an_empty_entry_and_an_untouched_one_keep_the_last_digit() -> None:
    odd = Lock().with_value("key.radius", 20.123456789012)
    desk = at("key.radius", odd)
    assert desk.accepted("").lock == odd
    assert desk.accepted(desk.text).lock == odd
    assert not desk.accepted(desk.text).session.past


def test_notes_of_several_lines_come_through_the_one_line_entry() -> None:
    lock = Lock().with_value("notes", "first\nsecond\r\nthird")
    desk = at("notes", lock)
    assert "\n" not in desk.text
    assert desk.accepted(desk.text).lock.notes == "first\nsecond\r\nthird"
    assert desk.accepted(desk.text + "!").lock.notes == "first\nsecond\nthird!"


def test_traced_corners_are_typed_and_read_back() -> None:
    lock = Lock().with_value("plate.outline", "traced")
    desk = at("plate.points", lock).accepted('-38, 0; 38, 0, -0.5; 1 3/8", -60')
    assert desk.lock.plate.points == ((-38.0, 0.0), (38.0, 0.0, -0.5), (34.925, -60.0))
    assert (
        at("plate.points", desk.lock).accepted(desk.at_path("plate.points").text).lock == desk.lock
    )
    assert at("plate.points", lock).accepted("1, 2, 3, 4").refused


def test_a_value_outside_its_window_is_taken_with_its_consequence() -> None:
    lock = Lock()
    window = windows(Layout(lock))["key.radius"]
    desk = at("key.radius").accepted(f"{sure(window.high).value + 1:.3f}")
    assert desk.lock.key.radius == pytest.approx(sure(window.high).value + 1, abs=1e-3)
    found = checked(layout_of(desk.lock))
    judged = desk.judged(found.windows)
    assert sure(judged.notice).kind == "outside"
    assert sure(window.high).by in sure(judged.notice).text
    assert any(finding.code == sure(judged.notice).code for finding in found.findings)
    # told once, and not again for the same value
    assert judged.judged(found.windows).fresh == ""
    inside = at("key.radius").accepted(f"{sure(window.high).value - 0.01:.3f}")
    assert inside.judged(checked(layout_of(inside.lock)).windows).notice is None


@pytest.mark.parametrize(
    ("units", "path", "steps", "change"),
    [
        ("mm", "key.radius", 1, 0.1), ("mm", "key.radius", -10, -1.0),
        # a 64th of an inch: 25.4 mm / 64
        ("in", "key.radius", 1, 25.4 / 64), ("in", "key.radius", 10, 25.4 * 10 / 64),
        ("mm", "tooth.pickup_angle", 1, 0.5),
    ],
)  # fmt: skip
def test_a_nudge_moves_by_its_step(units: str, path: str, steps: int, change: float) -> None:
    lock = Lock().with_value("units", units)
    desk = at(path, lock).nudged(steps)
    assert desk.lock.value(path) - lock.value(path) == pytest.approx(change, abs=1e-9)
    assert desk.path == path


def test_a_hundred_nudges_leave_no_crumbs_and_are_one_change() -> None:
    desk = at("key.radius")
    for _ in range(100):
        desk = desk.nudged(1)
    assert desk.lock.key.radius == 30.0
    assert len(desk.session.past) == 1
    assert desk.undone().lock == Lock()


def test_nudging_stops_at_what_is_allowed() -> None:
    desk = at("fit.key_clearance").nudged(-10)
    assert desk.lock.fit.key_clearance == 0.0


def test_a_choice_turns_both_ways_and_goes_by_its_letters() -> None:
    desk = at("plate.outline")
    assert desk.nudged(-1).lock.plate.outline == "lobed"
    assert desk.nudged(1).lock.plate.outline == "rectangle"
    assert desk.picked("ro").lock.plate.outline == "round"
    assert desk.picked("R").lock.plate.outline == "round"
    assert desk.picked("x").refused


def test_a_letter_goes_round_all_choices_that_begin_with_it() -> None:
    desk, met = at("plate.outline"), []
    for _ in range(3):
        desk = desk.picked("r", next_one=True)
        met.append(desk.lock.plate.outline)
    assert met == ["rectangle", "round", "rectangle"] or met == ["round", "rectangle", "round"]


def test_changes_are_taken_back_and_made_again_by_name() -> None:
    desk = at("key.radius").accepted("21").accepted("4")
    assert [change.what for change in desk.session.past] == ["key radius", "bit thickness"]
    back = desk.undone()
    assert back.lock.key.bit_thickness == 3.0
    assert back.lock.key.radius == 21.0
    assert back.path == "key.bit_thickness"
    assert back.undone().lock == Lock()
    assert back.undone().redone().redone().lock == desk.lock
    assert not back.undone().undone().session.past
    # a new change after taking one back starts a new branch
    assert not back.accepted("5").session.ahead


def test_taking_back_a_shape_leaves_a_prompt_that_does_not_apply() -> None:
    desk = at("plate.outline").picked("rec")
    corner = desk.at_path("plate.corner")
    assert corner.path == "plate.corner"
    assert corner.undone().path in corner.undone().step.asked(corner.undone().lock)


def test_checking_bit_by_bit_comes_to_the_same_as_all_at_once() -> None:
    layout = Layout(Lock().with_value("key.radius", 25.0))
    *_, last = checking(layout)
    assert last == checked(layout)
    assert last.findings == findings(layout)
    assert dict(last.windows) == dict(windows(layout))


@pytest.mark.parametrize("seed", seeds(1, 6))
def test_what_is_in_view_is_known_before_all_else_and_the_same(seed: int) -> None:
    lock = random_held(seed)
    for number in range(seed % 3, len(all_steps()), 3):
        desk = replace(Desk(Session(lock)).at_step(number), fresh="key.radius")
        known = checking(Layout(lock), (), desk.in_view)
        first, heard, last = (stage for stage in known if stage is not None)
        assert not first.findings
        assert heard.windows == first.windows
        assert heard.findings == last.findings == findings(Layout(lock))
        assert dict(last.windows) == dict(windows(Layout(lock)))
        assert first.windows == {p: w for p, w in last.windows.items() if p in desk.in_view}
        assert {"key.radius", desk.path, *desk.step.asked(lock)} - {""} == set(desk.in_view)


def test_a_finding_leads_on_though_not_all_windows_are_known() -> None:
    lock = Lock().with_value("key.radius", 40.0)
    _, heard, last = (stage for stage in checking(layout_of(lock), (), ("key.radius",)) if stage)
    assert set(heard.windows) < set(last.windows)
    for finding in last.findings:
        desk = Desk(Session(lock))
        assert mended_at(desk, finding, heard) == mended_at(desk, finding, last)


def test_a_fault_in_what_is_in_view_is_told_once(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(_: Layout) -> NoReturn:
        raise ZeroDivisionError("by nothing")

    broken = tuple(
        replace(part, bounds=fails) if part.name == "plate" else part for part in all_checks()
    )
    monkeypatch.setattr("tui.desk.checking.all_checks", lambda: broken)
    layout = Layout(Lock())
    stages = [stage for stage in checking(layout, (), ("key.radius", "plate.rim")) if stage]
    for stage in stages[1:]:
        assert [finding.code for finding in stage.findings].count("fault") == 1


def test_a_fault_in_one_part_is_told_and_the_others_are_checked_all_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def fails(_: Layout) -> NoReturn:
        raise ZeroDivisionError("by nothing")

    broken = tuple(
        replace(part, findings=fails) if part.name == "plate" else part for part in all_checks()
    )
    monkeypatch.setattr("tui.desk.checking.all_checks", lambda: broken)
    found = checked(layout_of(Lock().with_value("key.radius", 25.0)))
    (told,) = [finding for finding in found.findings if finding.code == "fault"]
    assert "by nothing" in told.text
    assert told.level == "stop"
    assert told.step == "plate"
    assert len(found.findings) > 1


def test_a_finding_leads_to_the_prompt_that_mends_it() -> None:
    lock = Lock().with_value("key.radius", 40.0)
    found = checked(layout_of(lock))
    for finding in found.findings:
        desk = mended_at(Desk(Session(lock)), finding, found)
        assert desk.path in desk.step.asked(lock)
        assert desk.step.name == finding.step or any(
            bound is not None and bound.code.name == finding.code and bound.path == desk.path
            for window in found.windows.values()
            for bound in (window.low, window.high)
        )


@pytest.mark.parametrize("path", sorted(specs()))
def test_the_help_of_each_prompt_says_what_it_is(path: str) -> None:
    shape = place_of(path)
    assert shape is not None
    text = help_page(Desk(Session(), shape[0], path)).plain
    spec = specs()[path]
    assert spec.what in text
    assert spec.measure in text
    assert practised(spec.usual) in text


def test_what_stands_in_a_prompt_is_plain_and_reads_back() -> None:
    hostile = "[bold]x[/] \x1b[2J \u202eabc"
    lock = Lock().with_value("title", hostile)
    shown = spec_of("title").written(hostile, "mm")
    assert shown == plain(hostile)
    assert at("title", lock).accepted(shown).lock == lock
