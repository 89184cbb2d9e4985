"""What is proposed of spring and notches holds: tried on the lock, by checks that do not share the search."""

import math

import pytest

from core.checks import gathered
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.parts.friction import own_friction
from core.parts.notches import detent, draws_from
from core.parts.strip import strip
from core.parts.tooth import tooth
from core.tables.stock import all_stock
from core.turning.binding import binding
from core.turning.detent_proposal import detent_proposal
from core.turning.hands import hands
from tests.designs import plausible
from tests.locks import changed
from tui.desk.desk import Desk
from tui.desk.proposing import proposed
from tui.desk.session import Session

LOCKS = [Lock(), *(plausible(seed) for seed in range(5)), plausible(3, early=True)]


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.title)
def test_what_is_proposed_keeps_every_promise(lock: Lock) -> None:
    before = Layout(lock)
    found = detent_proposal(before)
    assert found.reasons
    if not found.values:
        return
    after = Layout(found.taken(lock))
    held, made, own = detent(after), strip(after), own_friction(after)
    assert held is not None
    assert made is not None
    # drawn home from the release at the worst friction, in a notch that lets the key move it again
    assert draws_from(after, own.high) > tooth(after).home_travel
    assert math.degrees(held.notch.ramp) > 2 * math.degrees(math.atan(own.high))
    assert math.degrees(held.notch.ramp) < 90 - math.degrees(math.atan(own.high))
    # from stock, unyielding, in its room, and easy on the hand
    sizes = [t for s in all_stock() if s.stock == "spring strip" for t in s.thicknesses]
    assert any(made.beam.thickness == pytest.approx(t) for t in sizes)
    assert made.stress < made.metal.yield_low
    peak = binding(after).conditions[own.condition].peak_high
    assert peak is not None
    assert peak.value < hands().easy
    # nothing new stops the lock
    stops = [{f.code for f in gathered.findings(at) if f.level == "stop"} for at in (before, after)]
    assert stops[1] <= stops[0]


def test_most_plausible_locks_have_a_proposal() -> None:
    assert sum(bool(detent_proposal(Layout(lock)).values) for lock in LOCKS) >= 4


@pytest.mark.parametrize(
    ("values", "word"),
    [
        ({"friction.condition": "dry"}, "Grease"),
        ({"bolt_line.height": 30.0}, "drives nothing"),
        ({"fit.bridge_min": 5.8}, "no place"),
        ({"friction.drag": 9.0}, "drag"),
    ],
)
def test_without_a_proposal_it_says_what_stands_in_the_way(
    values: dict[str, object], word: str
) -> None:
    found = detent_proposal(Layout(changed(Lock(), values)))
    assert found.values == ()
    assert word in found.reasons[0]


def test_one_key_takes_it_and_one_takes_it_back() -> None:
    desk = Desk(Session(Lock())).at_named("detent")
    taken = proposed(desk)
    assert taken.lock.value("detent.kind") == "notches"
    assert taken.lock.value("spring.kind") == "flat strip"
    assert taken.notice is not None
    assert "Ctrl+Z" in taken.notice.text
    assert taken.undone().lock == Lock()
    again = proposed(taken)
    assert again.notice is not None
    assert "stands as proposed" in again.notice.text
    elsewhere = proposed(desk.at_named("plate"))
    assert elsewhere.lock == Lock()
    assert elsewhere.notice is not None
    assert "nothing to propose" in elsewhere.notice.text
