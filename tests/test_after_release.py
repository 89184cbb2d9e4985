"""The bolt after the release, the gap that the bit needs, and the lobe: against a sweep and an engine that know no law.

The sweep is `tests/config_space.py`; it and the engine are proved in `tests/test_simulators.py`.
"""

import math
from collections import Counter
from collections.abc import Iterable

import numpy as np
import pytest

from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.after_release import Course
from core.mechanism.bit_shape import BitShape
from core.mechanism.contact import DRAWN_HOME, HELD_BACK, PHASES, PUSHED_ON, SNAPPING, touch
from core.mechanism.gap_contact import GapSides, followed
from core.mechanism.lobe import Lobe
from core.mechanism.narrow_gap import gap_needed
from core.mechanism.tooth_numbers import tooth_from
from core.parts.tooth import course, lobe, tooth
from tests.config_space import follow, outline, rig_of, shut_out
from tests.confusion import LOCKS, STROKES, as_pasted, cases, pasted, table
from tests.designs import plausible, turned
from tests.loaded_locks import changed, said_to_foul_once
from tests.rigid_body import pieces, turn_key

SOME = (0, 3, 7, 8, 9, 10, 13, 14, 17, 25, 48)
"""Locks for the default run: late and early, some whose trailing face holds the bolt back, some that foul."""
ALL = range(LOCKS)
"""Locks for the study."""
WITHIN = 1e-3
"""Travel [mm] to which law and sweep agree: the sweep's arcs are chords."""


def courses(lock: Lock) -> dict[float, Course]:
    """Return the lock's course with its own detent, with none, and with some that reach less far, by their reach."""
    layout = Layout(lock)
    cut, beside = tooth(layout), lobe(layout)
    reaches = (0.0, 0.3, lock.fit.detent_capture, 0.9 * cut.home_travel, 0.6 * cut.home_travel)
    return {reach: Course(cut, beside, reach) for reach in reaches}


def assert_as_swept(lock: Lock, seen: Counter[str]) -> None:
    """Hold every course of a lock against the sweep, all the way where no detent draws, else after the release.

    Before the release a detent draws the bolt ahead of the key as soon as it is near; the law tells what the key
    enforces.
    """
    layout = Layout(lock)
    cut, rig = tooth(layout), rig_of(layout)
    for reach, way in courses(lock).items():
        # where it is caught all but nowhere chords decide, and between two detents in reach of each other nobody knows
        if (reach and abs(way.lobe.rests_off - reach) < 2e-3) or 2 * reach > cut.throw:
            continue
        begins = cut.release_angle + 1e-6 if reach else -math.pi
        at = np.unique(np.concatenate([np.linspace(begins, math.pi, 200), way.corners + 2e-3]))
        at = at[at >= begins]
        # where the bolt jumps, both are right
        clear = np.abs(at[:, None] - way.corners).min(axis=1) > 1e-3
        for stroke, sign in zip(STROKES, (1, -1), strict=True):
            run = follow(rig, stroke, capture=reach or None, at=np.unique(sign * at))
            assert run.blocked is None
            found = way.travel(sign * at, stroke)
            assert found[clear] == pytest.approx(run.at(sign * at)[clear], abs=WITHIN)
        phases = set(touch(way, at).phase.tolist())
        seen.update(PHASES[phase] for phase in phases)
    seen["early" if lock.tooth.pickup_angle else "top"] += 1


@pytest.mark.parametrize("seed", SOME[:6])
@pytest.mark.first(2)
def test_a_bolt_that_snaps_home_goes_where_the_sweep_puts_it_all_the_way(seed: int) -> None:
    layout = Layout(turned(seed))
    cut, beside, rig = tooth(layout), lobe(layout), rig_of(layout)
    if gap_needed(beside) > cut.gap_width:
        return
    for more in (0.3, 0.1 * cut.throw):
        way = Course(cut, beside, cut.home_travel + more, snaps=True)
        assert way.caught_angle < cut.release_angle
        at = np.unique(np.concatenate([np.linspace(-math.pi, math.pi, 300), way.corners + 2e-3]))
        clear = np.abs(at[:, None] - way.corners).min(axis=1) > 1e-3
        for stroke, sign in zip(STROKES, (1, -1), strict=True):
            run = follow(rig, stroke, capture=cut.home_travel + more, at=np.unique(sign * at))
            found = way.travel(sign * at, stroke)
            assert found[clear] == pytest.approx(run.at(sign * at)[clear], abs=WITHIN)
        # what it is called goes with it: no contact while it is ahead of the key
        told = touch(way, at)
        ahead = (at > way.caught_angle) & (at < cut.release_angle)
        assert set(told.phase[ahead].tolist()) <= {SNAPPING, HELD_BACK, DRAWN_HOME}
        assert (told.place[ahead & (told.phase != HELD_BACK)] == 0).all()


def hold_against_sweep(seeds: Iterable[int]) -> Counter[str]:
    seen: Counter[str] = Counter()
    for seed in seeds:
        layout = Layout(turned(seed))
        if gap_needed(lobe(layout)) <= tooth(layout).gap_width:
            assert_as_swept(layout.lock, seen)
    return seen


@pytest.mark.parametrize(
    ("radius", "bit", "clearance", "throw", "early", "line", "depth"),
    [
        (12.4, 4.3, 0.30, 10.7, 9, 14.8, 2.6),
        (18.1, 2.9, 0.36, 13.4, 12, 22.2, 4.3),
        (15.3, 2.3, 0.32, 8.1, 8, 21.2, 6.0),
    ],
)
def test_gap_needed_without_a_relief_is_what_contact_alone_finds(
    radius: float, bit: float, clearance: float, throw: float, early: float, line: float, depth: float
) -> None:  # fmt: skip
    # two upright flanks followed by contact: 0.01 less than needed blocks the bit, 0.01 more does not. The bit comes
    # up late enough to stand above the feet first, which then decides, not how it comes up under them
    cut = tooth_from(
        radius=radius, bit=bit, clearance=clearance, throw=throw, pickup_angle=math.radians(early), bolt_line=line,
        depth=depth,
    )  # fmt: skip
    beside = Lobe(cut, 6.5)
    assert not beside.relieved
    right = np.array([[cut.pickup_offset, cut.flank_foot], [cut.pickup_offset, line]])
    corners = np.array([-cut.pickup_angle, cut.release_angle])
    blocked = []
    for gap in (gap_needed(beside) - 0.01, gap_needed(beside) + 0.01):
        sides = GapSides(right - np.array([gap, 0.0]), right, line)
        way = followed(sides, BitShape.even(radius, bit / 2), throw, -1.0, corners)
        blocked.append(math.isfinite(way.blocked))
    assert blocked == [True, False]


@pytest.mark.slow
def test_bolt_goes_where_the_sweep_puts_it() -> None:
    seen = hold_against_sweep(SOME)
    assert min(seen["early"], seen["top"]) >= 2
    # without notches nothing snaps
    assert min(seen[word] for word in PHASES if word != PHASES[SNAPPING]) >= 1


@pytest.mark.slow
def test_bolt_goes_where_the_sweep_puts_it_in_every_lock() -> None:
    seen = hold_against_sweep(ALL)
    assert seen["early"] + seen["top"] > 200
    assert min(seen[word] for word in PHASES if word != PHASES[SNAPPING]) >= 20


@pytest.mark.slow
def test_key_fouls_the_bolt_where_simulators_are_blocked() -> None:
    found = list(cases(SOME, every=2))
    assert {case.judge for case in found} == {"sweep", "engine"}
    assert sum(case.true for case in found) >= 2
    assert [case.lock.title for case in found if case.missed or case.false] == []


def test_pasted_table_says_that_nothing_was_missed_and_nothing_false() -> None:
    rows = [line.strip("| ").split(" | ") for line in pasted()[2:]]
    assert {judge for judge, *_ in rows} == {"sweep", "engine"}
    assert all(row[-2:] == ["0", "0"] for row in rows)
    assert [int(row[2]) >= 200 for row in rows if row[:2] == ["sweep", "all"]] == [True]


@pytest.mark.slow
def test_confusion_table() -> None:
    found = list(cases(ALL))
    assert sum(case.judge == "sweep" for case in found) >= 200
    assert sum(case.true for case in found if case.judge == "sweep") >= 40
    assert as_pasted(table(found)) == table(found)
    assert [case.lock.title for case in found if case.missed or case.false] == []


def test_a_held_bolt_follows_the_trailing_face_until_it_leaves_the_gap() -> None:
    # the design's section on the release: s(t) = T - s(-t) until t = p, as the mirror image drives
    layout = Layout(said_to_foul_once())
    way, cut = course(layout), tooth(layout)
    assert way.holds_back
    held = np.linspace(cut.release_angle + 1e-6, cut.pickup_angle - 1e-6, 9)
    assert way.travel(held) == pytest.approx(cut.throw - way.travel(-held), abs=1e-12)
    assert set(touch(way, held).phase) == {HELD_BACK}
    assert (way.travel(held) < cut.throw).all()
    assert way.travel(np.array([cut.pickup_angle + 1e-6]))[0] == cut.throw


def test_a_bolt_out_of_the_detents_reach_is_pushed_on_until_it_is_within() -> None:
    # rest = sqrt(Rc^2 - y^2) - sqrt(R^2 - y^2), the corner at y = R cos(t + beta): 0.35 between 0.3721 and 0.2787
    layout = Layout(changed(Lock(), fit__detent_capture=0.35))
    way, cut = course(layout), tooth(layout)
    y = 20 * math.cos(way.caught_angle + cut.half_angle)
    assert math.sqrt(20.2**2 - y * y) - math.sqrt(20**2 - y * y) == pytest.approx(0.35, abs=1e-8)
    before, after = way.caught_angle - 1e-6, way.caught_angle
    assert way.travel(np.array([before, after])) == pytest.approx([9.15, 9.5], abs=1e-5)
    assert set(touch(way, np.array([before])).phase) == {PUSHED_ON}


@pytest.mark.parametrize("chamfer", [0.0, 0.3, 0.8])
@pytest.mark.slow
def test_shut_out_is_where_the_sweep_stops_the_bit(chamfer: float) -> None:
    tried = 0
    for seed in range(9):
        lock = plausible(seed, early=bool(seed % 2), roof="flat")
        layout = Layout(changed(lock, bolt__lobe_chamfer=chamfer))
        beside = lobe(layout)
        if chamfer and not beside.cornered:
            continue
        rig = rig_of(layout)
        for stroke in STROKES:
            found = shut_out(rig, stroke, 5.0)
            assert found == pytest.approx(beside.shut_out, abs=5e-3), (seed, stroke)
        tried += 1
    assert tried >= 3


def test_shut_out_by_the_engine() -> None:
    for chamfer, wanted in ((0.0, 0.2787), (0.5, 0.7787)):
        layout = Layout(changed(Lock(), bolt__lobe_chamfer=chamfer))
        assert lobe(layout).shut_out == pytest.approx(wanted, abs=1e-4)
        rig, slider = rig_of(layout), pieces(outline(layout, 1e-3))
        for off, passes in ((wanted - 0.02, True), (wanted + 0.03, False)):
            engine = turn_key(rig.bit, slider, throw=9.5, start=off)
            assert (engine.stopped is None) is passes


@pytest.mark.slow
def test_a_chamfer_changes_nothing_of_the_drive_and_the_law_holds_with_it() -> None:
    chamfered = 0
    for seed in ALL:
        # most relieved lobes end before their relief meets the lower edge in a corner: these are wider
        own = turned(seed)
        wider = {"bolt__lobe_width": own.bolt.lobe_width + 4.0}
        lock = changed(own, bolt__lobe_chamfer=0.1 + 0.01 * (seed % 90), **wider)
        layout = Layout(lock)
        if gap_needed(lobe(layout)) <= tooth(layout).gap_width:
            assert_as_swept(lock, Counter())
            chamfered += lobe(layout).cut > 0
    assert chamfered > 80


def test_greatest_chamfer_leaves_the_flank_its_foot() -> None:
    for seed in range(30):
        beside = lobe(Layout(plausible(seed, roof="flat")))
        most = beside.greatest_chamfer
        if not beside.cornered:
            assert most == 0
            continue
        x, y = Lobe(beside.tooth, beside.width, 10.0).relief_end
        # it runs into the relief at the foot, or below it where the lobe's side is nearer
        assert y <= beside.tooth.flank_foot + 1e-9
        assert math.hypot(x, y) == pytest.approx(beside.tooth.relief_radius)
        out = beside.meets + most
        at_foot = y == pytest.approx(beside.tooth.flank_foot, abs=1e-6)
        assert at_foot or out == pytest.approx(beside.far)
