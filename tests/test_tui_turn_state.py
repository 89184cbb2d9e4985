"""The state of the turn view, and its drawing and charts, without a screen."""

import math
import random

import numpy as np
import pytest
import shapely

from core.files.project_file import load
from core.geometry.polygons import polygon
from core.layout import drawing
from core.layout.frames import hand, to_plate
from core.layout.layout import Layout
from core.lock.friction import CONDITIONS
from core.lock.lock import Lock
from core.mechanism.law import STROKES, Stroke, side, travel
from core.parts.bolt_contour import bolt
from core.parts.tooth import tooth
from core.shipped import sample_locks
from core.turning.binding import binding
from core.turning.follow import fouls_at, moment
from core.turning.troubles import troubles
from core.turning.turn_check import fouls_by_stroke, turn_check
from tests.counts import seeds
from tests.designs import plausible
from tests.loaded_locks import changed, early, loaded
from tests.sure import sure
from tui.turn import charts as turn_charts
from tui.turn import scene as turn_scene
from tui.turn import text as turn_reading
from tui.turn.state import Turn

SAMPLES = {path.stem: load(path).lock for path in sample_locks()}
NO_TOOTH = changed(Lock(), key__radius=5.0)
NO_DRIVE = changed(Lock(), bolt__depth=0.5)
JAMS = early(25, friction__condition="dry")


def at_key_in(lock: Lock) -> Turn:
    """Return the turn of a lock at key-in, seen as it is kept."""
    return Turn(Layout(lock), lock.friction.condition)


def degrees(turn: Turn) -> float:
    return math.degrees(turn.angle)


def mirrored(lock: Lock) -> Lock:
    return changed(lock, unlocks="left" if lock.unlocks == "right" else "right")


def played_out(turn: Turn, most: int = 800) -> list[Turn]:
    """Return every turn of a play to key-out, going on wherever it stops."""
    seen, now = [turn], turn.played()
    while len(seen) < most:
        now = now.frame()
        seen.append(now)
        if now.along >= math.pi - 1e-9:
            return seen
        if not now.playing:
            now = now.played()
    raise AssertionError("the key never came out")


def test_steps_stop_on_whole_degrees_and_at_the_ends() -> None:
    turn = at_key_in(SAMPLES["boathouse"])
    assert degrees(turn) == -180
    assert degrees(turn.stepped(-1)) == -180
    assert degrees(turn.stepped(1)) == -179
    assert degrees(turn.stepped(10).stepped(10).stepped(-1)) == pytest.approx(-161, abs=1e-9)
    released = turn.jumped("release")
    on, back = degrees(released.stepped(1)), degrees(released.stepped(-1))
    assert (round(on), round(back)) == (math.ceil(degrees(released)), math.floor(degrees(released)))
    assert on == pytest.approx(round(on), abs=1e-9)
    assert degrees(turn.jumped("key-out").stepped(10)) == 180


def test_the_other_stroke_runs_the_other_way() -> None:
    turn = at_key_in(SAMPLES["boathouse"]).other_way().jumped("key-in")
    assert degrees(turn) == 180
    assert degrees(turn.stepped(10)) == pytest.approx(170)
    assert degrees(turn.jumped("key-out")) == -180
    there = at_key_in(SAMPLES["boathouse"]).jumped("release")
    assert there.other_way().angle == there.angle


@pytest.mark.parametrize("seed", seeds(3, 8))
def test_pick_up_and_release_are_where_the_bolt_begins_and_ends_to_be_driven(seed: int) -> None:
    # outside source: the bolt's travel, sampled on both sides of the place
    layout = Layout(plausible(seed))
    cut, step = tooth(layout), math.radians(0.05)
    for stroke in STROKES:
        turn = Turn(layout, "clean", stroke)
        up, gone = turn.jumped("pick-up").angle, turn.jumped("release").angle
        way = side(stroke)
        before, after = travel(cut, np.array([up - way * step, up + way * step]), stroke)
        assert before in (0.0, cut.throw)
        assert after != before
        driven, home = travel(cut, np.array([gone - way * step, gone + way * step]), stroke)
        assert home in (0.0, cut.throw)
        assert driven != home


@pytest.mark.parametrize("name", sorted(SAMPLES))
@pytest.mark.parametrize("flip", [False, True], ids=["as it is", "other hand"])
@pytest.mark.parametrize("stroke", STROKES)
@pytest.mark.first(1)
def test_playing_goes_from_key_in_to_key_out_over_every_degree_of_the_drive(
    name: str, flip: bool, stroke: Stroke
) -> None:
    lock = mirrored(SAMPLES[name]) if flip else SAMPLES[name]
    start = Turn(Layout(lock), "clean", stroke).jumped("key-in")
    seen = played_out(start)
    along = np.degrees([turn.along for turn in seen])
    assert (along[0], along[-1]) == (-180, 180)
    assert (np.diff(along) > 0).all()
    cut = tooth(start.layout)
    drive = (-math.degrees(cut.pickup_angle), math.degrees(cut.release_angle))
    steps = np.diff(along)[(along[1:] > drive[0]) & (along[:-1] < drive[1])]
    assert steps.max() <= 1 + 1e-9
    # about twenty frames a second make this a matter of seconds
    assert 80 < len(seen) < 250


def test_frames_that_are_left_out_lead_to_the_same_place() -> None:
    turn = at_key_in(SAMPLES["boathouse"]).played()
    one_by_one = turn
    for _ in range(4):
        one_by_one = one_by_one.frame()
    assert turn.frame(4) == one_by_one


def test_playing_stops_where_something_fouls_and_goes_on_when_told() -> None:
    layout = Layout(SAMPLES["pump_house"])
    check = turn_check(layout).worst
    for stroke in STROKES:
        turn = Turn(layout, "clean", stroke).jumped("key-in").played()
        while turn.playing:
            turn = turn.frame()
        foul = fouls_by_stroke(layout)[stroke][0]
        assert turn.angle == foul.first
        assert [(t.kind, t.part) for t in turn.met] == [("foul", foul.part)]
        assert [found.part for found in fouls_at(layout, turn.angle, stroke)] == [foul.part]
        assert turn.played().frame().along > turn.along
    # the finding's own stroke and angle are among them
    assert sure(check).first in {fouls_by_stroke(layout)[stroke][0].first for stroke in STROKES}


def test_fouls_begin_where_they_are_said_to() -> None:
    # outside source: shapely's intersection of bit, shank and bolt at the angle and half a degree before
    met = 0
    for seed in range(12):
        rng = random.Random(seed)  # noqa: S311 - nothing secret is made here
        thick = rng.uniform(4, 7)
        layout = Layout(
            changed(plausible(seed), key__bit_thickness=thick, tooth__pickup_angle=12.0)
        )
        for stroke, fouls in fouls_by_stroke(layout).items():
            for foul in fouls:
                met += 1
                there = moment(layout, foul.first, stroke)
                assert foul.part in [found.part for found in there.fouls]
                before = moment(layout, foul.first - side(stroke) * math.radians(0.51), stroke)
                assert foul.part not in [found.part for found in before.fouls]
    assert met > 4


def test_the_next_trouble_goes_through_both_strokes_and_round() -> None:
    turn = at_key_in(SAMPLES["pump_house"])
    first = turn.at_trouble()
    second = first.at_trouble()
    assert (first.stroke, second.stroke) == STROKES
    assert second.at_trouble().angle == first.angle
    assert at_key_in(SAMPLES["boathouse"]).at_trouble().angle == -math.pi


def test_a_jam_is_a_trouble_where_the_statics_have_one() -> None:
    layout = Layout(JAMS)
    for kept in CONDITIONS:
        ends = binding(layout).conditions[kept]
        jams = [t for t in troubles(layout, kept) if t.kind == "jam"]
        assert bool(jams) == ends.jams
        for jam in jams:
            assert jam.sure == (ends.jam_low is not None)
        where = ends.jam_high or ends.jam_low
        if where is not None:
            assert (where.stroke, where.at) in {(jam.stroke, jam.angle) for jam in jams}
    turn = at_key_in(JAMS).played()
    while turn.playing:
        turn = turn.frame()
    assert turn.met[0].kind == "jam"
    assert moment(layout, turn.angle).torque["dry"][1] is None


@pytest.mark.parametrize("lock", [NO_TOOTH, NO_DRIVE], ids=["no tooth", "no drive"])
@pytest.mark.parametrize("flip", [False, True], ids=["as it is", "other hand"])
@pytest.mark.first(1)
def test_a_lock_in_which_nothing_is_driven_turns_too(lock: Lock, flip: bool) -> None:
    turn = at_key_in(mirrored(lock) if flip else lock)
    assert not turn.drives
    assert turn.jumped("pick-up").angle == turn.jumped("release").angle == turn.angle
    for stroke in STROKES:
        start = Turn(turn.layout, "dry", stroke).jumped("key-in")
        for now in played_out(start)[::20]:
            there = moment(now.layout, now.angle, stroke)
            rows = turn_reading.panel(now, there, "", 34, 16)
            assert any("the key drives nothing" in row[0][0] for row in rows)
            assert turn_scene.spots(now, there) is not None
        assert turn_charts.travel_plan(start).xs == (-180.0, 180.0)


# what is drawn


@pytest.mark.parametrize("seed", seeds(3, 6))
@pytest.mark.first(1)
def test_bolt_and_bit_are_drawn_where_the_law_of_motion_has_them(seed: int) -> None:
    # outside source: shapely's affine map of the bolt's area, and its distance of bit and contact
    layout = Layout(loaded(seed))
    cut = tooth(layout)
    to_paper = hand(layout).then(to_plate(layout))
    for angle in np.linspace(-cut.pickup_angle + 1e-6, cut.release_angle - 1e-6, 7):
        there = moment(layout, float(angle))
        moved, key = (polygon(mark.path, 1e-4) for mark in turn_scene.moving(layout, there))
        bolt_there = shapely.affinity.translate(polygon(bolt(layout).contour, 1e-4), there.travel)
        wanted = shapely.transform(bolt_there, to_paper.points)
        assert moved.symmetric_difference(wanted).area < 1e-3
        x, y = to_plate(layout).point(sure(there.contact_at))
        assert key.exterior.distance(shapely.Point(x, y)) < 1e-3
        assert moved.exterior.distance(shapely.Point(x, y)) < 1e-3


@pytest.mark.parametrize("name", sorted(SAMPLES))
def test_what_stands_still_has_neither_bolt_nor_key(name: str) -> None:
    layout = Layout(SAMPLES[name])
    parts = {mark.part for mark in turn_scene.still(layout)}
    assert {"front guide", "rear guide", "inner wall", "shackle", "key circle"} <= parts
    assert not {"bolt", "key"} & parts
    left, bottom, right, top = turn_scene.region(layout, "mechanism")
    for path in (
        *turn_scene.swept(layout),
        *(
            m.path
            for m in turn_scene.still(layout)
            if isinstance(m, drawing.Stroke) and m.part == "key circle"
        ),
    ):
        x0, y0, x1, y1 = path.bounds()
        assert left < x0 < x1 < right
        assert bottom < y0 < y1 < top


# the charts


@pytest.mark.parametrize("stroke", STROKES)
@pytest.mark.parametrize("name", sorted(SAMPLES))
@pytest.mark.first(1)
def test_the_charts_show_what_the_core_works_out(name: str, stroke: Stroke) -> None:
    layout = Layout(SAMPLES[name])
    turn = Turn(layout, "clean", stroke)
    moved, forces = turn_charts.travel_plan(turn), turn_charts.torque_plan(turn)
    inches = layout.lock.units == "in"
    unit = 25.4 if inches else 1.0
    turning = 112.984829 if inches else 1000.0  # N mm in an in lbf, or in a N m
    for degree in range(-60, 61, 7):
        there = moment(layout, math.radians(degree), stroke)
        (curve,) = moved.curves
        at = int(np.argmin(np.abs(curve.xs - degree)))
        assert curve.ys[at] * unit == pytest.approx(there.travel, abs=1e-9)
        for end, curve in enumerate(forces.curves):
            at = int(np.argmin(np.abs(curve.xs - degree)))
            assert curve.ys[at] * turning == pytest.approx(there.torque["clean"][end], rel=1e-8)
    assert (
        forces.ys[1] * turning >= sure(binding(layout).conditions["clean"].peak_high).value * 0.999
    )
    cut = tooth(layout)
    assert moved.xs[1] > math.degrees(max(abs(cut.pickup_angle), cut.release_angle))
