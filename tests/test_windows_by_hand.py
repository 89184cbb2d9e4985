"""Ends of windows worked out by hand, and how the ends of several parts go together."""

import math

import pytest

from core.layout.codes import Code
from core.layout.layout import Layout
from core.layout.windows import Bound, merged
from core.lock.lock import Lock
from core.parts import pivot
from tests.designs import numbers
from tests.locks import changed
from tests.test_windows import PICKUP, bounds


def test_merged_takes_the_tightest_of_each_end() -> None:
    code = Code("made-up", "stop", "tooth", "For this test alone.")
    made = [Bound("key.radius", "low", 3.0, "a", code), Bound("key.radius", "low", 5.0, "b", code),
            Bound("key.radius", "high", 9.0, "c", code), Bound("key.radius", "high", 8.0, "d", code)]  # fmt: skip
    window = merged(made)["key.radius"]
    assert window.low is not None
    assert window.high is not None
    assert (window.low.by, window.high.by) == ("b", "d")
    assert [window.holds(x) for x in (4.9, 5.0, 8.0, 8.1)] == [False, True, True, False]
    assert window.place(5.0) == 0.0
    assert window.place(8.0) == 1.0
    assert not window.conflict
    crossed = merged([*made, Bound("key.radius", "high", 4.0, "e", code)])["key.radius"]
    assert crossed.conflict
    assert crossed.place(4.5) is None


def test_a_circle_that_fits_nowhere_lacks_half_on_either_side_of_the_middle() -> None:
    """By hand: on a round plate of 40 mm a rim of 4 leaves 16 mm about the middle; the circle has 20 + 0.2."""
    lock = Lock()
    for path, value in {
        "plate.outline": "round", "plate.width": 40.0, "plate.rim": 4.0, "pivot.across": 0.0,
        "key.radius": 20.0, "fit.key_clearance": 0.2,
    }.items():  # fmt: skip
        lock = lock.with_value(path, value)
    bounds = {
        bound.end: bound.value
        for bound in pivot.PART.bounds(Layout(lock))
        if bound.path == "pivot.below" and bound.code.name == "key-hits-wall"
    }
    assert bounds == pytest.approx({"low": 20.0 + 2.1, "high": 20.0 - 2.1}, abs=1e-6)


def test_on_a_plate_as_large_as_a_door_the_pivot_may_stand_a_circle_and_a_rim_below_its_edge() -> (
    None
):
    """By hand: a circle of 6 + 0.2 mm and a rim of 2, below a straight edge and above the lower one."""
    lock = changed(
        Lock(),
        {
            "plate.outline": "rectangle", "plate.width": 900.0, "plate.height": 1900.0, "plate.corner": 0.0,
            "plate.rim": 2.0, "key.radius": 6.0, "fit.key_clearance": 0.2, "pivot.below": 900.0,
        },
    )  # fmt: skip
    found = {
        bound.end: bound.value
        for bound in pivot.PART.bounds(Layout(lock))
        if bound.path == "pivot.below" and bound.code.name == "key-hits-wall"
    }
    assert found == pytest.approx({"low": 8.2, "high": 1900.0 - 8.2}, abs=1e-5)


@pytest.mark.parametrize(
    ("across", "room", "below", "gap"),
    [(80.0, 3.0, 36.0, 1.5), (80.0, 8.0, 42.0, 4.0), (88.0, 12.0, 46.0, 4.0)],
)
def test_a_longer_throw_ends_where_the_body_drawn_back_has_no_wall_the_springs_room_above_it(
    across: float, room: float, below: float, gap: float
) -> None:
    """By Pythagoras: the inner wall of a round plate, so high above the bolt line, is sqrt(r^2 - h^2) out."""
    lock = changed(
        Lock(),
        {
            "plate.outline": "round", "plate.width": across, "pivot.below": below, "pivot.across": 0.0,
            "bolt_line.spring_room": room, "shackle.gap": gap,
        },
    )  # fmt: skip
    inner, middle = across / 2 - lock.plate.rim, below - across / 2
    out = math.sqrt(inner**2 - (lock.bolt_line.height + room - middle) ** 2)
    # late, the unlocking flank stands half a bit from the centreline, and a throw farther drawn back
    body = lock.key.bit_thickness / 2 + lock.bolt.lobe_width + lock.shackle.engagement
    (end,) = (
        bound
        for bound in bounds(lock)
        if (bound.path, bound.end, bound.code.name) == ("shackle.gap", "high", "spring-room")
    )
    assert end.value == pytest.approx(out - body, abs=5e-4)


@pytest.mark.parametrize("table", ["front_guide", "rear_guide"])
@pytest.mark.parametrize("angle", [0.3, 0.8, 2.5])
def test_the_least_pickup_angle_is_that_at_which_the_body_just_clears_a_guide(
    table: str, angle: float
) -> None:
    # the tooth by the design's own iteration: an early pick-up brings both sides nearer the middle
    lock = Lock().with_value(PICKUP, 9.0)
    n = numbers(lock.with_value(PICKUP, angle))
    throw = lock.shackle.engagement + lock.shackle.gap
    side = n.flank if table == "front_guide" else n.offset + throw
    near = side + lock.bolt.lobe_width + lock.fit.slide_clearance
    at = lock.with_value(f"{table}.from_centreline", near)
    low = [b.value for b in bounds(at) if b.path == PICKUP and b.end == "low"]
    assert low == pytest.approx([angle], abs=1e-5)
