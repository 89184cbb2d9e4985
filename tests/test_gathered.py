"""What parts and checks declare, put together: in the order that readers and scripts know."""

from core.checks import gathered
from core.layout.layout import Layout
from core.lock.lock import Lock
from tests.designs import plausible

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


def test_quick_outcomes_need_no_turn_of_the_key() -> None:
    layout = Layout(plausible(1, roof="flat"))
    quick = gathered.quick_values(layout)
    assert "turn_check" not in worked_out(layout)
    whole = gathered.outcome_values(layout)
    assert "turn_check" in worked_out(layout)
    assert {name: whole[name] for name in quick} == quick
    assert set(whole) - set(quick) == {"least_gap", "overlap"}


def test_each_outcome_is_a_number_or_none() -> None:
    for name, value in gathered.outcome_values(Layout(Lock())).items():
        assert value is None or isinstance(value, float), name
