"""A lock in inches is one throughout: no text of it has a unit of the other system, and every conversion is held.

Sources of the conversions: pint 0.24's own tables (NIST SP 811), and the exact factors named in `core.systems`.
"""

import re
from collections.abc import Iterable, Iterator
from datetime import date
from fractions import Fraction
from pathlib import Path

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.change.comparison import compare
from core.change.comparison_text import comparison_text
from core.checks.gathered import findings, outcome_values, outcomes, windows
from core.files.project_file import Project, load, save
from core.layout.drawing import Label, Measure
from core.layout.layout import Layout
from core.lock.first_lock import first_lock
from core.lock.lock import Lock, paths, spec_of, specs
from core.made.marking import mark_made
from core.made.verdicts import verdicts
from core.report.bench_report import bench_report
from core.sheets.bench_card import bench_card
from core.sheets.faces import all_sheets
from core.sheets.furniture import Job, full_notes, heading, own_notes
from core.sheets.tables import tables
from core.shipped import sample_locks
from core.systems import in_words, show_area, show_both, show_force, show_pressure, show_torque
from core.whole.assembly import workpieces
from tests.finding_locks import LOCKS
from tests.locks import changed, posted
from tests.tui_driving import NARROW, WIDE, program
from tui.change.help import help_page as change_help
from tui.desk.desk import Desk
from tui.desk.session import Session
from tui.plot.views import upright
from tui.steps.walk import all_steps
from tui.widgets import desk_text
from tui.work.help import help_page

METRIC = re.compile(r"\b\d*(mm2?|cm|MPa|[Mm]illimet\w+|[Nn]ewtons?)\b|mm²|\d N\b|N m\b")
"""A unit of the other system."""
REAL: pint.UnitRegistry[float] = pint.UnitRegistry()


def in_inches(lock: Lock) -> Layout:
    return Layout(lock.with_value("units", "in"))


def assert_inches(texts: Iterable[str]) -> None:
    seen = 0
    for text in texts:
        assert not METRIC.search(text), text
        seen += 1
    assert seen


def samples() -> list[Lock]:
    return [load(path).lock for path in sample_locks()] + [
        posted((20.0, 18.0), (-14.0, -22.0)), changed(Lock(), {"spring.force": 400.0})
    ]  # fmt: skip


@pytest.mark.parametrize("code", LOCKS)
@pytest.mark.first(22)
def test_no_finding_and_no_window_of_it_has_a_metric_unit(code: str) -> None:
    layout = in_inches(changed(Lock(), LOCKS[code]))
    assert_inches([bench_report(layout), *(finding.text for finding in findings(layout))])
    ends = [end for window in windows(layout).values() for end in (window.low, window.high) if end]
    assert_inches(end.by for end in ends)


@pytest.mark.parametrize("lock", samples(), ids=lambda lock: lock.title)
@pytest.mark.first(1)
def test_nothing_that_is_read_has_a_metric_unit(lock: Lock) -> None:
    layout = in_inches(lock)
    assert_inches([bench_report(layout)])
    assert_inches(_prompts(layout.lock))
    assert_inches(mark.text for mark in upright(layout) if isinstance(mark, Label | Measure))
    values = outcome_values(layout)
    assert_inches(outcome.shown(layout, values[outcome.name]) for outcome in outcomes())
    for path in ("key.radius", "spring.force", "tooth.roof"):
        spec = spec_of(path)
        other = spec.nudged(layout.lock.value(path), "in", 10)
        changed_so = in_inches(layout.lock.with_value(path, other))
        assert_inches([comparison_text(compare(layout, changed_so))])


def _prompts(lock: Lock) -> Iterator[str]:
    desk = Desk(Session(lock))
    for path in paths(lock):
        if path == "units":
            continue  # names both
        spec = spec_of(path)
        yield help_page(desk.at_path(path)).plain
        yield change_help(spec, "in").plain
        yield desk_text.fit(spec, lock.value(path), None, "in", 40).plain
        yield desk_text.row(lock, path, None).plain
        if spec.kind.entering == "typed":
            for entry in ("", "abc", "1/0", "99999", "-99999"):
                refused = desk.at_path(path).taken(entry)
                yield refused.notice.text if refused.notice else ""
    for number in range(len(desk.step.prompts)):
        step = desk.at_step(number).step
        yield step.intro + step.caution + desk_text.readings(step.read_off, lock).plain


@pytest.mark.parametrize("lock", samples(), ids=lambda lock: lock.title)
@pytest.mark.first(2)
def test_no_sheet_has_a_metric_unit(lock: Lock) -> None:
    job = Job(in_inches(lock), "lock.toml", date(2024, 5, 1))
    sheets = all_sheets(job.layout)
    told = [line for line, _ in (*heading(job), *full_notes(job, sheets))]
    for sheet in sheets:
        told += [sheet.title, *(line for line, _ in own_notes(sheet))]
        told += [mark.text for mark in sheet.marks if isinstance(mark, Label | Measure)]
    for table in (*tables(job), *bench_card(job.layout)):
        told += [
            table.title,
            *table.columns,
            *table.notes,
            *(cell for row in table.rows for cell in row),
        ]
    assert_inches(told)


def test_no_verdict_on_a_made_part_has_a_metric_unit() -> None:
    lock = first_lock("in")
    for piece in workpieces():
        lock = mark_made(lock, piece)
    for path in ("key.radius", "pivot.across", "plate.width", "bolt.depth"):
        off = Layout(lock.with_value(path, lock.value(path) + 1.0))
        assert_inches([bench_report(off), *(repr(verdict) for verdict in verdicts(off))])


@pytest.mark.slow
@pytest.mark.usefixtures("own_folder")
@pytest.mark.first(1)
async def test_no_screen_has_a_metric_unit(tmp_path: Path) -> None:
    path = save(Project(None, first_lock("in")), tmp_path / "lock.toml").path
    async with program(tmp_path, path, size=NARROW) as driver:
        for keys in ("", "f1", "f5", "ctrl+n", "ctrl+o", "ctrl+r", "ctrl+p", "f10"):
            if keys:
                await driver.press(keys)
            rows = "\n".join(driver.rows())
            assert_inches([rows.replace("New lock in millimetres", "")])
            if keys == "ctrl+n":
                await driver.press("f10")
            elif keys in ("f1", "f5", "ctrl+o", "ctrl+r", "ctrl+p"):
                await driver.press("escape")


@pytest.mark.slow
@pytest.mark.usefixtures("own_folder")
@pytest.mark.parametrize(
    ("key", "then", "away"),
    [
        ("f5", ["right", "pagedown", "f7", "f7", "f7", "f7", "f6", "end", "f1", "escape"], "f10"),
        ("ctrl+n", ["up", "pageup", "f4", "up", "f4", "up", "f7", "f1", "escape"], "f10"),
        ("ctrl+o", ["down", "enter", "tab", "down", "down", "f1", "escape"], "f10"),
        ("ctrl+r", ["down", "down", "f1", "escape"], "f10"),
        ("ctrl+p", ["down", "down", "down", "tab", "down", "f1", "escape"], "f10"),
        ("alt+m", ["right", "up", "d", "x", "escape", "f1", "escape"], "escape"),
        ("alt+l", ["down", "down", "right", "f1", "escape"], "escape"),
    ],
    ids=["turn", "change", "made", "read off", "sheets", "map", "proposals"],
)  # fmt: skip
async def test_no_wide_screen_over_an_inch_lock_has_a_metric_unit(
    tmp_path: Path, key: str, then: list[str], away: str
) -> None:
    lock = changed(first_lock("in"), {"spring.kind": "flat strip", "detent.kind": "notches"})
    path = save(Project(None, lock), tmp_path / "lock.toml").path
    async with program(tmp_path, path, size=WIDE) as driver:
        work = driver.screen
        await driver.press(key)
        assert driver.screen is not work
        for pressed in then:
            await driver.press(pressed)
            assert_inches(row for row in driver.rows() if "millimetres" not in row)
        await driver.press(away)


@pytest.mark.slow
@pytest.mark.usefixtures("own_folder")
async def test_no_step_of_an_inch_lock_has_a_metric_unit_anywhere_on_the_screen(
    tmp_path: Path,
) -> None:
    """Each prompt of each step by Enter, with the help of each step, and a word searched for in it."""
    lock = posted((0.8 * 25.4, 0.75 * 25.4), lock=first_lock("in"))
    lock = changed(
        lock, {"spring.kind": "flat strip", "detent.kind": "notches", "spread.figures": "some"}
    )
    path = save(Project(None, lock), tmp_path / "lock.toml").path
    seen: set[str] = set()
    async with program(tmp_path, path, size=WIDE) as driver:
        while True:
            desk = driver.desk
            if desk.path != "units":  # whose choice names both
                assert_inches(driver.rows())
            if desk.step.name not in seen:
                seen.add(desk.step.name)
                await driver.key("f1")
                assert_inches(row for row in driver.rows() if "millimetres" not in row)
                await driver.key("escape")
            await driver.key("enter")
            if driver.desk.ended:
                break
        await driver.press("f1", *"mm")
        assert "Nothing in the help begins with mm" in driver.text()
    assert seen == {step.name for step in all_steps()}


@pytest.mark.parametrize(
    ("said", "inches"),
    [
        ("1.5 to 3 mm in steel", "1/16 to 1/8 in in steel"), ("6 mm", "1/4 in"), ("25 mm", "1 in"),
        ("0.8 mm", "1/32 in"),
        ("12 to 20 mm", "1/2 to 3/4 in"), ("0.2 to 0.5 mm", "0.008 to 0.02 in"),
        ("0.1 mm", "0.004 in"),
    ],
)  # fmt: skip
def test_a_usual_value_is_the_coarsest_fraction_that_is_near_or_else_a_decimal(
    said: str, inches: str
) -> None:
    # worked out by hand; each number, by pint, within the 6 % that what is usual may be off, a decimal within its digit
    assert in_words(said, "in") == inches
    assert in_words(said, "mm") == said
    number = r"\d+(?:[./]\d+)?"
    for metric, text in zip(re.findall(number, said), re.findall(number, inches), strict=True):
        exact = REAL.Quantity(float(metric), "mm").to("inch").magnitude
        assert float(Fraction(text)) == pytest.approx(exact, rel=0.06)


def test_units_are_switched_without_moving_a_length() -> None:
    desk = Desk(Session(Lock())).at_path("units")
    switched = desk.picked("in")
    assert switched.lock == Lock().with_value("units", "in")
    for path in specs():
        if path == "units":
            continue
        there = switched.at_path(path)
        # an entry that nobody touched keeps the value to its last digit, though fewer are shown
        assert there.taken(there.text).lock == switched.lock
    assert switched.picked("mm").lock == Lock()


def test_a_new_lock_in_inches_is_on_the_rule_and_as_sound_as_one_in_mm() -> None:
    lock = first_lock("in")
    assert lock.units == "in"
    for path, spec in specs().items():
        value = lock.value(path)
        if spec.kind.name in ("length", "position", "across"):
            of_rule = REAL.Quantity(value, "mm").to("inch").magnitude * (
                64 if abs(value) >= 1.5 else 1000
            )
            assert of_rule == pytest.approx(round(of_rule), abs=1e-9), path
            assert value == pytest.approx(Lock().value(path), abs=0.2)
    codes = {finding.code for finding in findings(Layout(lock)) if finding.level == "stop"}
    assert not codes
    assert first_lock("mm") == Lock()


def number(text: str) -> float:
    return float(text.split()[0])


@given(st.floats(0.01, 900.0))
def test_conversions_are_those_of_pint(value: float) -> None:
    def other(unit: str, to: str) -> float:
        return float(REAL.Quantity(value, unit).to(to).magnitude)

    force, pounds = show_force(value, "in"), other("newton", "force_pound")
    if force.endswith("oz"):
        assert number(force) == pytest.approx(pounds * 16, abs=0.051)
        assert number(force) < 16
    else:
        assert number(force) == pytest.approx(pounds, abs=0.0051)
    assert number(show_torque(value, "in")) == pytest.approx(
        other("newton * millimeter", "inch * force_pound"), abs=0.0051
    )
    assert number(show_area(value, "in")) == pytest.approx(other("mm**2", "inch**2"), abs=0.000051)
    assert number(show_pressure(value, "in")) == pytest.approx(other("MPa", "psi"), abs=51)
    shown = show_both(value, "in")
    if "(" in shown:
        assert float(shown.split("(")[1].rstrip(")")) == pytest.approx(
            other("mm", "inch"), abs=0.000051
        )


@given(st.floats(0.01, 60.0))
def test_typed_forces_are_those_of_pint(value: float) -> None:
    spec = spec_of("spring.force")
    for unit, name in (("oz", "force_ounce"), ("lbf", "force_pound"), ("N", "newton")):
        newtons = spec.read(f"{value:.6f} {unit}", "in")
        assert newtons == pytest.approx(
            float(REAL.Quantity(round(value, 6), name).to("newton").magnitude), rel=1e-6
        )
    assert spec.read(f"{value:.6f}", "in") == spec.read(f"{value:.6f} oz", "in")
