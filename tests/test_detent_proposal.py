"""What is proposed of spring and notches holds: tried on the lock, by checks that do not share the search."""

import math

import numpy as np
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
from tests.counts import seeds
from tests.designs import numbers, plausible
from tests.evidence.by_detent import Caught
from tests.locks import changed
from tui.desk.desk import Desk
from tui.desk.proposing import proposed
from tui.desk.session import Session

LOCKS = [Lock(), *(plausible(seed) for seed in range(5)), plausible(3, early=True)]


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.title)
@pytest.mark.first(3)
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


@pytest.mark.parametrize(("units", "step"), [("mm", 0.05), ("in", 0.002 * 25.4)])
def test_its_sizes_are_round_ones_that_a_maker_can_set(units: str, step: float) -> None:
    lock = Lock().with_value("units", units)
    found = dict(detent_proposal(Layout(lock)).values)
    for path in ("detent.half_width", "detent.depth"):
        steps = float(str(found[path])) / step
        assert steps == pytest.approx(round(steps), abs=1e-6), (path, found[path])
    # of strip that is sold in those units
    sold = {
        t
        for s in all_stock()
        if s.stock == "spring strip" and s.unit == units
        for t in s.thicknesses
    }
    assert found["spring.thickness"] in sold
    # so deep that the tip stands on both ramps: it drops by h - r (1 / cos - 1), the design's section on the detent
    ramp, half, tip = (
        math.radians(float(str(found["detent.ramp"]))), float(str(found["detent.half_width"])),
        float(str(found["spring.thickness"])) / 2,
    )  # fmt: skip
    drop = half * math.tan(ramp) - tip * (1 / math.cos(ramp) - 1)
    assert drop < float(str(found["detent.depth"])) < drop + 0.5


def test_most_plausible_locks_have_a_proposal() -> None:
    assert sum(bool(detent_proposal(Layout(lock)).values) for lock in LOCKS) >= 4


@pytest.mark.parametrize(
    ("values", "word"),
    [
        ({"friction.condition": "dry"}, "Grease"),
        ({"friction.drag": 9.0}, "drag"),
        ({"bolt_line.height": 30.0}, "drives nothing"),
        ({"fit.bridge_min": 5.8}, "no place"),
    ],
)
@pytest.mark.first(2)
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


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(4, 12, first=20))
def test_what_is_proposed_does_it_by_circle_and_polygon(seed: int) -> None:
    # the referee finds where the tip stands by shapely, and the key's torque by three equations with all signs tried
    lock = plausible(seed)
    found = detent_proposal(Layout(lock))
    if not found.values:
        assert found.reasons[0].endswith(".")
        return
    taken = found.taken(lock)
    bench, cut, key = Caught(taken), numbers(taken), taken.key
    mu = bench.ends["high"]
    drawn = bench.draws_over(mu)
    assert drawn > bench.throw - cut.driven
    reached = (cut.offset + bench.throw - drawn) / key.radius
    leaves = min(
        math.asin(min(reached, 1.0)) - math.asin(key.bit_thickness / 2 / key.radius), cut.release
    )
    begin = -math.radians(taken.tooth.pickup_angle) + 1e-9
    for way in (1, -1):
        for angle in np.linspace(begin, leaves - 1e-6, 70):
            torque = bench.torque(float(angle), mu, way)
            assert torque is not None
            assert torque < hands().easy
