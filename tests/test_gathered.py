"""What parts and checks declare, put together: in the order that readers and scripts know, under names that hold."""

import pytest

from core.checks import gathered
from core.files.project_reading import read_text
from core.layout.drawing import Measure
from core.layout.layout import Layout
from core.lock.lock import Lock, specs
from core.made.marking import mark_made
from core.report.data import report
from core.whole import assembly
from tests.designs import plausible
from tui.keys.of_work import WORK
from tui.plot.tones import FAMILIES
from tui.steps.walk import all_steps
from tui.themes import THEMES

OUTCOMES = (
    "throw", "driven_travel", "home_travel", "release_angle", "gap_width", "flank_foot", "bridge", "key_to_wall",
    "spring_spare", "nose_in_guide", "tail_spare", "lip_spare", "line_below_mark", "lean", "least_gap", "overlap",
)  # fmt: skip
"""What `compare --json` has had from the beginning: others may come between, none may go."""


def worked_out(layout: Layout) -> set[str]:
    return {compute.__name__ for compute in layout._known}


def test_outcomes_in_their_order() -> None:
    found = gathered.outcomes()
    assert [o.name for o in found if o.name in OUTCOMES] == list(OUTCOMES)
    assert len({o.name for o in found}) == len({o.label for o in found}) == len(found)
    assert len({o.order for o in found}) == len(found)


def test_what_is_better_more_of_it_or_less() -> None:
    # common practice, no source: more room, reach and driven way are better, less play, less force, less overlap
    less = {"home_travel", "over_locked", "over_unlocked", "overlap", "peak_torque"}
    neither = {"throw", "release_angle", "gap_width", "flank_foot", "line_below_mark", "lean"}
    for outcome in gathered.outcomes():
        wanted = -1 if outcome.name in less else 0 if outcome.name in neither else 1
        assert outcome.better == wanted, outcome.name
    assert [o.name for o in gathered.outcomes()][-3:] == [
        "peak_torque", "jamming_margin", "cocking_ratio",
    ]  # fmt: skip


def test_angles_among_the_outcomes_are_those_of_the_report() -> None:
    layout = Layout(plausible(3, roof="flat"))
    values, told = gathered.outcome_values(layout), report(layout)
    assert values["release_angle"] == pytest.approx(told["tooth"]["release_angle"])
    assert told["tooth"]["release_angle"] > 10
    assert values["lean"] == pytest.approx(told["centreline"]["lean"])


def test_quick_outcomes_need_no_turn_of_the_key() -> None:
    layout = Layout(plausible(1, roof="flat"))
    quick = gathered.quick_values(layout)
    assert "turn_check" not in worked_out(layout)
    whole = gathered.outcome_values(layout)
    assert "turn_check" in worked_out(layout)
    assert {name: whole[name] for name in quick} == quick
    turned = {"least_gap", "overlap", "peak_torque", "jamming_margin", "cocking_ratio"}
    assert set(whole) - set(quick) == turned


def test_what_is_wanted_is_judged_as_if_nothing_were_made() -> None:
    lock = Lock()
    for part in assembly.workpieces():
        lock = mark_made(lock, part)
    # a key too long for the plate on paper; the one that is made is not
    wrong = lock.with_value("key.radius", 30.0)
    wanted = gathered.wanted_findings(Layout(wrong))
    assert wanted == gathered.findings(Layout(Lock().with_value("key.radius", 30.0)))
    assert {"stop"} <= {finding.level for finding in wanted}
    assert not any(finding.code.startswith("made") for finding in wanted)


def test_each_outcome_is_a_number_or_none() -> None:
    for name, value in gathered.outcome_values(Layout(Lock())).items():
        assert value is None or isinstance(value, float), name


def test_each_table_of_a_file_belongs_to_a_step() -> None:
    steps = {step.name for step in all_steps()} | {act.name for act in WORK.acts if act.opens}
    every = read_text("format = 1\n").notes
    assert {path.partition(".")[0] for path in specs() if "." in path} <= {
        note.text[1:].partition("]")[0] for note in every if note.text.startswith("[")
    }
    assert {note.step for note in every} <= steps


def test_what_stands_out_at_a_step_is_drawn() -> None:
    drawn = assembly.drawn()
    for step in all_steps():
        assert set(step.parts) <= set(drawn), step.name


def test_everything_drawn_has_its_colours() -> None:
    layout = Layout(Lock())
    for mark in (*assembly.marks(layout), *assembly.moving(layout, 0.3, 2.0)):
        assert mark.part in assembly.drawn()
        assert not isinstance(mark, Measure) or mark.path in specs()
    for theme in THEMES:
        for thing in assembly.drawn().values():
            assert thing.role in FAMILIES
            assert {f"tone-{thing.role}", f"tone-{thing.role}-wanted"} <= set(theme.variables)
