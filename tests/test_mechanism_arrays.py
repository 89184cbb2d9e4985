"""Many locks in one pass: arrays against the same locks one by one, which know no numpy."""

import math
import warnings
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.mechanism.after_release import Course
from core.mechanism.contact import contact, touch
from core.mechanism.corner import half_angle, half_chord, lets_go_at
from core.mechanism.law import STROKES, phases, travel
from core.mechanism.lobe import Lobe
from core.mechanism.maths import Array, Number
from core.mechanism.narrow_gap import gap_needed
from core.mechanism.statics import Applied, Bearings, balance
from core.mechanism.takeover import takeover
from core.mechanism.tooth_numbers import Reason, Teeth, Tooth, tooth_from
from tests.counts import tries
from tests.designs import seeded

GIVEN = ("radius", "bit", "clearance", "throw", "pickup_angle", "bolt_line", "depth")
FOLLOWS = (
    "pickup_offset", "relief_foot", "flank_foot", "gap_width", "bridge", "flank", "release_angle",
    "driven_travel", "home_travel",
)  # fmt: skip
SAME = 1e-12
Row = tuple[float, ...]
SOUND: Row = (20.0, 3.0, 0.2, 12.0, 0.1, 24.0, 14.0)


def edge(low: float, high: float, *special: float) -> st.SearchStrategy[float]:
    """Return sizes to a thousandth, as a maker types them, with those at which a formula is on the edge."""
    sizes = st.integers(round(1000 * low), round(1000 * high)).map(lambda n: n / 1000)
    return st.one_of(sizes, sizes, st.sampled_from(special))


ROWS = st.tuples(
    edge(1, 60, 10.0, 20.0, 1.0),
    edge(0, 20, 0.0, 3.0, 20.0, 40.0),
    edge(0, 2, 0.0, 0.2),
    edge(0, 40, 0.0, 9.0, 12.0),
    st.one_of(st.just(0.0), edge(0, 25, 0.0), edge(0, 80, 45.0, 80.0)).map(math.radians),
    edge(0, 80, 10.0, 20.0, 24.0),
    edge(0, 60, 0.0, 4.0, 14.0),
)


def one(row: Row) -> Tooth:
    return tooth_from(**dict(zip(GIVEN, row, strict=True)))


def many(rows: list[Row]) -> Teeth:
    return tooth_from(**by_name(rows))


def varied(name: str, values: Array) -> Teeth:
    """Return a sound lock's tooth with one of its sizes varied, the others numbers."""
    sizes: dict[str, Number] = dict(zip(GIVEN, SOUND, strict=True))
    sizes[name] = values
    return tooth_from(**sizes)


def by_name(rows: list[Row]) -> Mapping[str, Array]:
    return dict(zip(GIVEN, np.array(rows, dtype=float).T.copy(), strict=True))


def chance(count: int, *, seed: int = 0) -> list[Row]:
    """Return plausible sizes and a good share of such as make no lock."""
    rng = seeded(f"arrays {seed}")

    def size(low: float, high: float, *special: float) -> float:
        return rng.choice(special) if rng.random() < 0.1 else rng.uniform(low, high)

    return [
        (
            size(10, 40, 20.0), size(0.5, 8, 0.0, 3.0, 80.0), size(0, 0.6, 0.0, 0.2), size(2, 24, 0.0, 9.0),
            math.radians(size(0, 30, 0.0, 0.0, 80.0)), size(10, 50, 24.0), size(2, 30, 0.0, 14.0),
        )
        for _ in range(count)
    ]  # fmt: skip


def assert_same(rows: list[Row], found: Teeth) -> None:
    for k, row in enumerate(rows):
        single = one(row)
        assert Reason(int(found.reason[k])) is single.reason, row
        assert bool(found.fits[k]) is single.fits
        assert bool(found.drives[k]) is single.drives
        for name in FOLLOWS:
            value, wanted = float(getattr(found, name)[k]), float(getattr(single, name))
            # NaN exactly where the single one says that there is no tooth
            assert math.isnan(value) is not single.fits, (name, row)
            assert math.isnan(value) or abs(value - wanted) <= SAME * max(1.0, abs(wanted)), (
                name,
                row,
            )
        for name in ("radius", "half_bit", "throw", "lower_edge", "relief_radius", "half_angle"):
            assert float(getattr(found, name)[k]) == pytest.approx(getattr(single, name), rel=SAME)


@given(st.lists(ROWS, min_size=1, max_size=40))
@settings(max_examples=tries(15, 60))
def test_arrays_are_the_single_locks(rows: list[Row]) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert_same(rows, many(rows))


def test_thousands_of_locks_and_every_reason_among_them() -> None:
    rows = chance(5000)
    found = many(rows)
    assert_same(rows, found)
    counts = np.bincount(found.reason, minlength=len(Reason))
    assert (
        counts[[Reason.FITS, Reason.DRIVES_NOTHING, Reason.FLANK_OUTSIDE, Reason.FLANKS_CROSS]]
        > 200
    ).all()
    assert counts[Reason.NO_NUMBER] == 0


@pytest.mark.parametrize("name", GIVEN)
def test_what_is_no_number_is_nan_with_its_reason_and_no_warning(name: str) -> None:
    none = np.array([math.nan, math.inf, -math.inf, 1e300])
    found = varied(name, np.append(none, SOUND[GIVEN.index(name)]))
    assert found.reason.tolist() == [Reason.NO_NUMBER] * 4 + [Reason.FITS]
    for value in FOLLOWS:
        assert np.isnan(getattr(found, value)).tolist() == [True] * 4 + [False]


def test_circles_of_no_size_and_a_pickup_of_a_quarter_turn() -> None:
    for name, values in {
        "radius": [0.0, -20.0, 1e-200], "clearance": [-20.0, -30.0], "pickup_angle": [math.pi / 2, -2.0],
    }.items():  # fmt: skip
        found = varied(name, np.array(values))
        assert (found.reason == Reason.NO_NUMBER).all()
        assert np.isnan(found.driven_travel).all()


def test_odd_shapes_broadcast() -> None:
    radius, depth = np.linspace(18, 24, 4)[:, None, None], np.linspace(6, 14, 3)[:, None]
    pickup = np.array([0.0, 0.2])
    found = tooth_from(
        radius=radius, bit=3.0, clearance=0.2, throw=np.array(12.0), pickup_angle=pickup, bolt_line=25.0, depth=depth
    )  # fmt: skip
    for name in (*FOLLOWS, *GIVEN[:1], "half_bit", "reason", "fits", "drives"):
        assert getattr(found, name).shape == (4, 3, 2), name
    for i, j, k in np.ndindex(4, 3, 2):
        single = one(
            (float(radius[i, 0, 0]), 3.0, 0.2, 12.0, float(pickup[k]), 25.0, float(depth[j, 0]))
        )
        assert found.home_travel[i, j, k] == pytest.approx(single.home_travel, abs=SAME)
    empty = varied("radius", np.zeros(0))
    lone = varied("radius", np.array(20.0))
    assert lone.driven_travel == pytest.approx(one(SOUND).driven_travel, abs=SAME)
    assert {np.shape(getattr(lone, name)) for name in (*FOLLOWS, "reason", "fits")} == {()}
    assert empty.driven_travel.shape == empty.reason.shape == (0,)
    with pytest.raises(ValueError, match="broadcast"):
        tooth_from(
            radius=np.zeros(2), bit=np.zeros(3), clearance=0.2, throw=12.0, pickup_angle=0.0,
            bolt_line=24.0, depth=14.0,
        )  # fmt: skip


def test_one_lock_of_numbers_stays_numbers() -> None:
    single = one(SOUND)
    assert isinstance(single, Tooth)
    assert {type(getattr(single, name)) for name in FOLLOWS} == {float}
    assert type(single.reason) is Reason
    assert type(travel(single, 0.1)) is float
    assert phases(single, 0.1).on_flank is True


@given(
    st.lists(ROWS, min_size=1, max_size=12),
    st.lists(edge(-4, 4, 0.0, math.pi, -math.pi / 2), min_size=1, max_size=12),
)
@settings(max_examples=tries(10, 40))
def test_law_of_many_locks_at_many_angles(rows: list[Row], turn: list[float]) -> None:
    cut, singles = many(rows), [one(row) for row in rows]
    angles = np.array(turn)[:, None]
    for stroke in STROKES:
        moved = travel(cut, angles, stroke)
        assert moved.shape == (len(turn), len(rows))
        for (i, angle), (k, single) in (
            (a, b) for a in enumerate(turn) for b in enumerate(singles)
        ):
            if not single.fits:
                assert math.isnan(moved[i, k])
                continue
            near = min(
                abs(abs(angle) - at) for at in (single.pickup_angle, abs(single.release_angle))
            )
            if 0 < near < 1e-12:  # a rounding would put it in another phase
                continue
            # a rounding of the angle moves the bolt by as much times the key radius at most
            wanted = travel(single, angle, stroke)
            assert moved[i, k] == pytest.approx(wanted, abs=SAME * max(1.0, single.radius))


@pytest.mark.slow
def test_law_of_one_lock_at_many_angles_is_that_at_each() -> None:
    turn = np.linspace(-math.pi, math.pi, 721)
    for row in chance(60, seed=1):
        single = one(row)
        for stroke in STROKES:
            wanted = [travel(single, float(angle), stroke) for angle in turn]
            assert travel(single, turn, stroke) == pytest.approx(wanted, rel=SAME, abs=SAME)
            # a single lock's bolt that nothing drives stays where it is, tooth or none
            assert single.drives or not np.diff(travel(single, turn, stroke)).any()


def test_law_of_many_locks_at_one_angle() -> None:
    rows = chance(200, seed=2)
    found = travel(many(rows), 0.2)
    wanted = [travel(row, 0.2) if row.fits else math.nan for row in map(one, rows)]
    assert found == pytest.approx(wanted, abs=SAME, nan_ok=True)


@pytest.mark.slow
def test_contact_of_many_locks_is_that_of_each() -> None:
    rows = chance(40, seed=3)
    cut, angles = many(rows), np.linspace(-1.2, 1.2, 31)
    for stroke in STROKES:
        course = Course(cut, Lobe(cut, np.full(40, 6.0), np.full(40, 0.3)), np.linspace(0, 2, 40))
        every = touch(course, angles[:, None], stroke)
        assert every.phase.shape == every.place.shape == (31, 40)
        assert every.at.shape == (31, 40, 2)
        for k, single in enumerate(map(one, rows)):
            own = Course(single, Lobe(single, 6.0, 0.3), float(np.linspace(0, 2, 40)[k]))
            alone = touch(own, angles, stroke)
            assert (every.phase[:, k] == alone.phase).all()
            assert (every.place[:, k] == alone.place).all()
            assert every.at[:, k] == pytest.approx(alone.at, abs=SAME, nan_ok=True)


@pytest.mark.slow
def test_course_of_many_locks_is_that_of_each() -> None:
    rows = chance(200, seed=6)
    cut, angles = many(rows), np.linspace(-1.2, 1.2, 61)
    width, chamfer, reach = (np.linspace(low, high, 200) for low, high in ((1, 12), (0, 1), (2, 0)))
    lobe = Lobe(cut, width, chamfer)
    course = Course(cut, lobe, reach)
    moved, needed, caught = course.travel(angles[:, None]), gap_needed(lobe), course.caught_angle
    for k, single in enumerate(map(one, rows)):
        alone = Lobe(single, float(width[k]), float(chamfer[k]))
        own = Course(single, alone, float(reach[k]))
        if single.fits:
            assert moved[:, k] == pytest.approx(own.travel(angles), abs=SAME, nan_ok=True)
        assert bool(np.isnan(moved[:, k]).all()) is not single.fits
        assert needed[k] == pytest.approx(gap_needed(alone), abs=1e-9)
        assert caught[k] == pytest.approx(own.caught_angle, abs=1e-9)
        if single.drives:
            assert lobe.shut_out[k] == pytest.approx(alone.shut_out, abs=SAME)
            assert lobe.rests_off[k] == pytest.approx(alone.rests_off, abs=SAME)


def test_balance_of_many_locks_is_that_of_each() -> None:
    sound = [row for row in chance(200, seed=4) if one(row).drives]
    cut, mu = many(sound), np.array([0.1, 0.3, 0.7])[:, None, None]
    share = np.linspace(0.0, 0.99, 9)[:, None]
    angles = -cut.pickup_angle + share * (cut.release_angle + cut.pickup_angle)
    pull = np.full(len(sound), -3.0)
    guides = Bearings(cut.throw - 20.0, cut.throw + 20.0, cut.bolt_line - 2.0, cut.bolt_line - 3.0)
    every = balance(
        contact(cut, angles), guides, Applied(pull, np.zeros(len(sound)), cut.bolt_line * 3.0), mu
    )
    assert every.push.shape == (3, 9, len(sound))
    for k, single in enumerate(map(one, sound)):
        along = Bearings(
            np.array([single.throw - 20.0]), np.array([single.throw + 20.0]),
            single.bolt_line - 2.0, single.bolt_line - 3.0,
        )  # fmt: skip
        load = Applied(np.array([-3.0]), np.zeros(1), np.array([single.bolt_line * 3.0]))
        alone = balance(contact(single, angles[:, k]), along, load, mu[:, 0])
        for name in ("push", "front", "rear", "torque"):
            found = getattr(every, name)[:, :, k]
            assert found == pytest.approx(getattr(alone, name), rel=1e-9, abs=1e-9, nan_ok=True)
        assert (every.jams[:, :, k] == alone.jams).all()
    assert 0 < every.jams.mean() < 1


def test_takeover_of_many_locks_is_that_of_each() -> None:
    rows, capture = chance(400, seed=5), np.linspace(0.0, 3.0, 5)[:, None]
    found = takeover(many(rows), capture)
    assert found.angle.shape == found.flank_left.shape == (5, 400)
    for k, single in enumerate(map(one, rows)):
        for i, reach in enumerate(capture[:, 0]):
            alone = takeover(single, float(reach))
            assert found.angle[i, k] == pytest.approx(alone.angle, abs=SAME, nan_ok=True)
            assert found.flank_left[i, k] == pytest.approx(alone.flank_left, abs=SAME, nan_ok=True)
            assert math.isnan(alone.angle) is not single.drives


def test_one_lock_with_many_captures_is_each() -> None:
    single, capture = one(SOUND), np.linspace(0.0, 3.0, 7)
    found = takeover(single, capture)
    for k, reach in enumerate(capture):
        alone = takeover(single, float(reach))
        assert found.angle[k] == pytest.approx(alone.angle, abs=SAME)
        assert found.flank_left[k] == pytest.approx(alone.flank_left, abs=SAME)


FORMULAS: dict[Any, tuple[int, ...]] = {
    half_angle: (0, 1),
    half_chord: (1, 2),
    lets_go_at: (0, 1, 2),
}


@pytest.mark.parametrize("formula", FORMULAS)
@pytest.mark.parametrize("many", range(3))
def test_an_array_among_numbers_is_the_numbers_one_by_one(formula: Any, many: int) -> None:
    sizes, shares = (1.5, 20.0, 17.0), np.array([0.9, 1.0, 1.05])

    def given(share: Number) -> list[Number]:
        return [sizes[n] * (share if n == many else 1.0) for n in FORMULAS[formula]]

    alone = [formula(*given(float(share))) for share in shares]
    assert formula(*given(shares)) == pytest.approx(np.array(alone), abs=SAME)
