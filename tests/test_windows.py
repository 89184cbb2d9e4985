"""Windows: just inside an end the finding that it names is gone, just outside it is there.

And at each end the part that sets it touches what it is held against, measured by shapely alone on a plate
and frames that are drawn without the program.
"""

import math
from collections import Counter
from collections.abc import Iterable
from functools import cache

import numpy as np
import pytest
from shapely.affinity import rotate, scale, translate
from shapely.geometry import LineString, Point, box

from core.checks import gathered
from core.errors import BadValueError
from core.geometry.path import Line
from core.layout.codes import Code
from core.layout.layout import Layout
from core.layout.windows import Bound, Window, merged
from core.lock.lock import Lock
from core.mechanism.law import STROKES
from core.parts import pivot, tooth
from core.parts.bolt_contour import bolt
from core.parts.least_sizes import LEAST_PLAY
from core.turning.turn_check import turn_check
from tests.config_space import outline, rig_of
from tests.designs import numbers, plausible, stretched
from tests.locks import changed
from tests.plates import inner_wall

BESIDE = 1e-4
"""How far [mm] on either side of an end the lock is looked at."""
PATHS = ("key.radius", "bolt_line.height", "pivot.below", "bolt.depth", "front_guide.from_centreline",
         "rear_guide.from_centreline", "shackle.drop")  # fmt: skip
LEGS = ("bolt.nose_height", "bolt.tail_height")
PICKUP, CHAMFER = "tooth.pickup_angle", "bolt.lobe_chamfer"
# without a tooth, or with one that is never driven, the tooth's other findings are not given
INSTEAD = {"no-tooth", "no-drive"}
# the parts that set windows are those that find what lies outside them; the others, the slow turn
# check first of all, would only be worked out for nothing
PARTS = tuple(part for part in gathered.all_checks() if any(part.bounds(Layout(Lock()))))


@cache
def codes(lock: Lock) -> frozenset[str]:
    layout = Layout(lock)
    return frozenset(finding.code for part in PARTS for finding in part.findings(layout))


def fouled(lock: Lock) -> set[str]:
    """Return what the turn of the key finds of the bolt, dear as it is."""
    return {"key-fouls-bolt" for foul in turn_check(Layout(lock)).fouls if foul.part == "bolt"}


@cache
def bounds(lock: Lock) -> tuple[Bound, ...]:
    layout = Layout(lock)
    return tuple(bound for part in PARTS for bound in part.bounds(layout))


def windows(lock: Lock) -> dict[str, Window]:
    return merged(bounds(lock))


def ends(window: Window) -> Iterable[tuple[Bound, int]]:
    """Give each end that is set, with the direction that leads inside."""
    if window.low is not None:
        yield window.low, 1
    if window.high is not None:
        yield window.high, -1


def look_beside(lock: Lock, seen: Counter[str]) -> None:
    for path, window in windows(lock).items():
        named = {bound.code.name for bound in bounds(lock) if bound.path == path}
        inside = named | INSTEAD if path == "key.radius" else named
        if path in LEGS:
            # a gap too narrow for the bit is no matter of the legs
            inside = inside - codes(lock).intersection({"key-fouls-bolt"})
        for bound, inwards in ends(window):
            what = f"{path} {bound.end}"
            try:
                beyond = lock.with_value(path, bound.value - inwards * BESIDE)
                out = codes(beyond) | (fouled(beyond) if path in LEGS else set())
            except BadValueError:  # an end at nothing, beyond which no lock can go
                seen[f"{what} illegal"] += 1
            else:
                superseded = bound.code.name not in out and bool(out & INSTEAD)
                assert superseded or bound.code.name in out, (what, bound)
                seen[f"{what} superseded" if superseded else f"{what} outside"] += 1
            if window.conflict:
                seen[f"{what} conflict"] += 1
                continue
            try:
                within = codes(lock.with_value(path, bound.value + inwards * BESIDE))
            except BadValueError:
                seen[f"{what} illegal"] += 1
                continue
            # nothing that any end of this window names, not only what this one does
            assert not within & inside, (what, bound, within & inside)
            seen[f"{what} inside"] += 1


FAR_OUT = {"fit.slide_clearance", "shackle.diameter"}
"""Sizes that no lock has as large as 30 mm, where all else is amiss too."""


@pytest.mark.parametrize(
    "new",
    [
        {},
        {"detent.kind": "notches", "spring.kind": "flat strip", "stops.unlocked": "guide face"},
        {"tooth.pickup_angle": 12.0},
        {"bolt.depth": 7.0, "shackle.catch": "notch"},
        {
            "detent.kind": "stop and spring",
            "unlocks": "left",
            "shackle.across": -Lock().shackle.across,
        },
    ],
    ids=["as it comes", "notches", "early", "shallow", "left-handed"],
)
@pytest.mark.first(3)
def test_every_end_is_where_its_finding_begins_the_tightest_or_not(new: dict[str, object]) -> None:
    # a little farther out than elsewhere: a mere corner of the bolt outside the wall is an area of nothing at first
    lock = changed(Lock(), new)
    held = 0
    # of ends that one finding is there for the tightest is where it begins
    told = (bound for part in gathered.all_checks() for bound in part.bounds(Layout(lock)))
    ends_of = sorted(told, key=lambda each: each.value * (1 if each.end == "low" else -1))
    tightest = {(each.path, each.end, each.code.name): each for each in ends_of}
    for bound in tightest.values():
        if bound.path in FAR_OUT and bound.value > 30.0:
            continue
        inwards = 1 if bound.end == "low" else -1
        try:
            out, within = (
                of_owner(
                    lock.with_value(bound.path, bound.value + way * inwards * 5 * BESIDE), bound
                )
                for way in (-1, 1)
            )
        except BadValueError:
            continue
        if not out & INSTEAD:
            assert bound.code.name in out, bound
            assert bound.code.name not in within, bound
            held += 1
    assert held > 80


def of_owner(lock: Lock, bound: Bound) -> set[str]:
    """Return what the part finds that has a bound's code, and whether there is a tooth."""
    asked = [
        part
        for part in gathered.all_checks()
        if part is tooth.PART
        or any(bound.code.name.endswith(code.name.removeprefix("{}")) for code in part.codes)
    ]
    layout = Layout(lock)
    found = {finding.code for part in asked for finding in part.findings(layout)}
    return found | fouled(lock) if bound.path in LEGS else found


@pytest.mark.slow
def test_findings_begin_at_the_ends_of_plausible_locks() -> None:
    seen: Counter[str] = Counter()
    rest: Counter[str] = Counter()
    locks = 8
    for seed in range(locks):
        # the roof sets no window, and proving a scribed one takes a whole turn of the key
        look_beside(plausible(seed, roof="flat"), seen)
    early = {what: seen.pop(what) for what in list(seen) if what.startswith(PICKUP)}
    # how early a pick-up may be always has an end; how late only where the body would reach a guide
    high = {
        what.removeprefix(f"{PICKUP} high "): n for what, n in early.items() if " high " in what
    }
    assert high["inside"] == high["outside"] + high.get("superseded", 0) == locks
    assert early[f"{PICKUP} low inside"] == early[f"{PICKUP} low outside"] >= 3
    # the least of all sizes, and what else has one end or an end only on some locks
    for what in [what for what in seen if not what.startswith((*PATHS, CHAMFER))]:
        rest[what] = seen.pop(what)
    for what in {what.rsplit(" ", 1)[0] for what in rest}:
        inside, outside = rest[f"{what} inside"], rest[f"{what} outside"]
        assert inside == outside + rest[f"{what} illegal"], what
    assert rest["bolt.lobe_width low outside"] == locks
    # a chamfer has an end wherever relief and lower edge meet in a corner
    corners = Counter({what: seen.pop(what) for what in list(seen) if what.startswith(CHAMFER)})
    assert corners[f"{CHAMFER} high inside"] == corners[f"{CHAMFER} high outside"]
    # nothing was passed over: every end of the other seven windows on both sides
    assert seen == {
        f"{path} {end} {side}": locks
        for path in PATHS
        for end in ("low", "high")
        for side in ("inside", "outside")
    }


@pytest.mark.slow
def test_findings_begin_at_the_ends_of_far_off_locks() -> None:
    seen: Counter[str] = Counter()
    for seed in range(12):
        look_beside(stretched(seed).with_value("tooth.roof", "flat"), seen)
    told: Counter[str] = Counter()
    for what, count in seen.items():
        told[what.split()[-1]] += count
    # 12 locks, 20 windows, 2 ends: what could not be looked at stays the smaller part
    assert told["outside"] >= 330
    assert told["inside"] >= 260
    assert told["conflict"] >= 15
    assert told["superseded"] <= 5
    assert told["illegal"] <= 30


@pytest.mark.slow
def test_every_code_that_sets_an_end_is_met() -> None:
    met = {
        bound.code.name
        for seed in range(20)
        for make in (plausible, stretched)
        for window in windows(make(seed)).values()
        for bound, _ in ends(window)
    }
    assert met >= {
        "key-hits-wall", "bridge-thin", "spring-room", "foot-at-shank", "home-travel", "bolt-shallow",
        "bolt-at-shank", "front-guide-at-body", "front-guide-in-key-circle", "front-guide-at-shackle",
        "rear-guide-at-body", "rear-guide-in-key-circle", "tail-hits-wall", "lip-thin",
        "shackle-in-key-circle", "shackle-outside-wall", "key-fouls-bolt",
    }  # fmt: skip


NEAR = 2e-3
"""Tolerance [mm] of the shapely side: its circles and the program's walls are both chords."""


SLIVER = 5e-3
"""How much deeper than touching [mm] a leg hangs where a thin wedge of it in the bit is 1e-6 mm2, and a foul."""


def touching(lock: Lock, bound: Bound) -> tuple[float, float] | None:
    """Return what is measured at the end and what it should be [mm]; None where nothing is told."""
    at = lock.with_value(bound.path, bound.value)
    n, slide, line = numbers(at), at.fit.slide_clearance, at.bolt_line.height
    relief = at.key.radius + at.fit.key_clearance
    throw = at.shackle.engagement + at.shackle.gap
    sign = 1.0 if at.unlocks == "right" else -1.0
    face = -sign * at.shackle.across - at.shackle.diameter / 2

    def drive_box(x0: float, y0: float, x1: float, y1: float) -> tuple[float, float, float, float]:
        left, right = sorted((sign * x0, sign * x1))
        return (left, y0, right, y1)

    def wall_from(x0: float, y0: float, x1: float, y1: float) -> float:
        """Distance of a box from the wall around it, less than nothing where it crosses the wall."""
        wall, area = inner_wall(at), box(*drive_box(x0, y0, x1, y1))
        if wall.contains(area):
            return float(wall.exterior.distance(area))
        return -float(area.difference(wall).area)

    def guide(side: int, leg: float, near: float, width: float, floor: float) -> float:
        low = line - leg - slide - floor
        area = box(*drive_box(side * near, low, side * (near + width), line + slide))
        return float(area.distance(Point(0, 0)))

    match bound.code.name:
        case "key-hits-wall":
            return float(inner_wall(at).exterior.distance(Point(0, 0))), relief
        case "spring-room":
            left = -n.flank - at.bolt.lobe_width
            right = n.offset + at.bolt.lobe_width + throw
            return wall_from(left, line, right, line + at.bolt_line.spring_room), 0.0
        case "tail-hits-wall":
            guide_end = at.rear_guide.from_centreline + at.rear_guide.width
            return wall_from(0.0, line - at.bolt.tail_height, guide_end + throw + slide, line), 0.0
        case "shackle-outside-wall":
            return wall_from(-face - at.shackle.diameter, line - at.shackle.drop, -face, line), 0.0
        case "shackle-in-key-circle":
            edge = LineString([(-sign * face, line), (-sign * face, line - at.shackle.drop)])
            return float(edge.distance(Point(0, 0))), relief
        case "front-guide-in-key-circle":
            g = at.front_guide
            return guide(-1, at.bolt.nose_height, g.from_centreline, g.width, g.floor), relief
        case "rear-guide-in-key-circle":
            r = at.rear_guide
            return guide(1, at.bolt.tail_height, r.from_centreline, r.width, r.floor), relief
        case "foot-at-shank":
            return n.on_relief, at.key.shank / 2 + at.fit.key_clearance
        case "home-travel":
            return throw - n.driven, at.fit.detent_capture
        case "bolt-shallow":
            return line - at.bolt.depth, n.on_relief
        case "bridge-thin":
            return line - relief, at.fit.bridge_min
        case "front-guide-at-body":
            return at.front_guide.from_centreline - n.flank - at.bolt.lobe_width, slide
        case "rear-guide-at-body":
            reach = n.offset + throw + at.bolt.lobe_width
            return at.rear_guide.from_centreline - reach, slide
        case "front-guide-at-shackle":
            return face - at.front_guide.from_centreline - at.front_guide.width, slide
        case "front-guide-outside-wall" | "rear-guide-outside-wall" as name:
            rear = name.startswith("rear")
            side, own = (1 if rear else -1), (at.rear_guide if rear else at.front_guide)
            leg = at.bolt.tail_height if rear else at.bolt.nose_height
            far, low = own.from_centreline + own.width, line - leg - slide - own.floor
            return wall_from(side * own.from_centreline, low, side * far, line + slide), 0.0
        case "bolt-outside-wall":
            return bolt_in_wall(at), 0.0
        case "nose-too-short":
            return face + at.shackle.engagement - n.flank - at.bolt.lobe_width, 0.0
        case "nose-leaves-guide":
            return face - at.shackle.gap - at.front_guide.from_centreline, 0.0
        case "home-budget":
            return budget_of(at), at.fit.detent_capture
        case "play-over-clearance":
            return (at.pivot.hole - at.key.shank) / 2 + slide, at.fit.key_clearance
        case "pivot-hole-small":
            return at.pivot.hole, at.key.shank
        case "spring-off-bolt":
            tail = at.rear_guide.from_centreline + at.rear_guide.width
            tip = sign * at.spring.tip_across
            return min(tip + face - at.shackle.gap, tail - tip), 0.0
        case "lip-thin":
            return sheared(at), at.bolt.nose_height * at.bolt.thickness
        case "lip-none":
            return at.shackle.drop - at.bolt.nose_height - slide, at.fit.metal_min
        case "cheeks-thin":
            return beside_eye(at), at.fit.metal_min
        case "nose-gap-small":
            return at.shackle.gap, slide
        case "key-clearance-small":
            return at.fit.key_clearance, slide
        case "slide-clearance-none":
            return slide, LEAST_PLAY
        case name if name.endswith("-thin"):
            return float(at.value(bound.path)), at.fit.metal_min
        case "bolt-at-shank":
            return line - at.bolt.depth - at.key.shank / 2, at.fit.key_clearance
        case "chamfer-large":
            return chamfer_spare(at), 0.0
        case "key-fouls-bolt" if bound.path in LEGS:
            return bound.value, leg_met(at, bound.path)
        case "key-fouls-bolt":
            return narrowest_room(at), 0.0
        case _:
            return None


def leg_met(lock: Lock, path: str) -> float:
    """Return the height [mm] from which on a leg is met by the key, from corners and sides of a bit drawn anew.

    The bit turns in steps of 0.02 degrees, the bolt goes by the law: that is held against a rigid-body engine.
    """
    way, n, half = tooth.course(Layout(lock)), numbers(lock), lock.key.bit_thickness / 2
    angles = np.radians(np.arange(-180.0, 180.0, 0.02))[:, None]
    lobe = lock.bolt.lobe_width
    beside, side = (-n.flank - lobe, -1) if path == LEGS[0] else (n.offset + lobe, 1)
    across = np.linspace(-half, half, 9)
    tip = np.stack([across, np.sqrt(lock.key.radius**2 - across**2)], 1)
    x, y = np.concatenate([[[-half, 0.0]], tip, [[half, 0.0], [-half, 0.0]]]).T
    highest = -math.inf
    for stroke in STROKES:
        right = x * np.cos(angles) + y * np.sin(angles)
        past = (right - way.travel(angles[:, 0], stroke)[:, None] - beside) * side
        high = y * np.cos(angles) - x * np.sin(angles)
        highest = max(highest, float(high[past > 0].max(initial=-math.inf)))
        # where a side of the bit crosses the leg's own, between two corners
        one, other, low, top = past[:, :-1], past[:, 1:], high[:, :-1], high[:, 1:]
        crosses = one * other < 0
        share = one[crosses] / (one - other)[crosses]
        at = low[crosses] + share * (top - low)[crosses]
        highest = max(highest, float(at.max(initial=-math.inf)))
    return lock.bolt_line.height - highest


def bolt_in_wall(lock: Lock) -> float:
    """Return how near [mm] the bolt comes to the inner wall at either seat; below 0 it cuts into it."""
    wall, body = inner_wall(lock), outline(Layout(lock))
    if lock.unlocks == "left":
        wall = scale(wall, -1.0, 1.0, origin=(0.0, 0.0))
    seats = (body, translate(body, lock.shackle.engagement + lock.shackle.gap))
    return min(
        float(wall.exterior.distance(seat)) - math.sqrt(seat.difference(wall).area)
        for seat in seats
    )


def budget_of(lock: Lock) -> float:
    """Return what is left to the detent at the most [mm], each play measured by a turning bit on a flank that is moved.

    The bit is a fine outline, the flank a box whose foot is where the iteration has it: no law of motion.
    """
    n, slide = numbers(lock), lock.fit.slide_clearance
    throw = lock.shackle.engagement + lock.shackle.gap
    raised = n.driven - pushed(lock, up=slide)
    tilted = max(n.driven - pushed(lock, lean=leaning(lock), way=way) for way in (1, -1))
    shank = max(lock.pivot.hole - lock.key.shank, 0.0) / 2
    return throw - n.driven + n.driven - pushed(lock, away=shank) + max(raised, tilted)


def leaning(lock: Lock) -> float:
    """Return the angle [rad] at which a leg as high as the mean of both touches roof and floor, by halving."""
    leg = (lock.bolt.nose_height + lock.bolt.tail_height) / 2
    front, rear = lock.front_guide, lock.rear_guide
    span = front.from_centreline + front.width + rear.from_centreline + rear.width
    low, high = 0.0, 1.0
    for _ in range(60):
        t = (low + high) / 2
        strip = rotate(box(-span, 0, 2 * span, leg), t, use_radians=True)
        turned = strip.intersection(box(0, -span, span, 2 * span)).bounds
        low, high = (
            (t, high) if turned[3] - turned[1] < leg + 2 * lock.fit.slide_clearance else (low, t)
        )
    return low


def pushed(
    lock: Lock, *, up: float = 0.0, lean: float = 0.0, way: int = 1, away: float = 0.0
) -> float:
    """Return how far [mm] a turning bit pushes a flank that is raised or leans, its pivot so far away.

    The flank is a box; of each bit what lies above the flank's foot pushes, by its point farthest ahead.
    """
    n, front, rear = numbers(lock), lock.front_guide, lock.rear_guide
    leg = (lock.bolt.nose_height + lock.bolt.tail_height) / 2
    middle = way * (rear.from_centreline + rear.width - front.from_centreline - front.width) / 2
    high = lock.bolt_line.height - leg / 2
    foot = complex(n.offset + n.driven - middle, n.foot - high) * np.exp(1j * lean)
    foot += complex(middle, high + up)
    angles = n.release + np.linspace(-0.12, 0.12, 24001)
    r, half = lock.key.radius, lock.key.bit_thickness / 2
    corner = r * np.exp(1j * (math.pi / 2 - angles - math.asin(half / r))) - away
    above = corner.imag >= foot.imag
    # the flank leans with the bolt: where the corner touches it above the foot it stands that much farther back
    ahead = corner.real + (corner.imag - foot.imag) * math.tan(lean)
    return float(n.driven + (ahead[above] - foot.real).max())


def sheared(lock: Lock) -> float:
    """Return what shears [mm2] below the nose, the end's round section cut by shapely where eye or notch ends."""
    r, slot = lock.shackle.diameter / 2, lock.bolt.thickness + 2 * lock.fit.slide_clearance
    eye = lock.shackle.catch == "eye"
    planes = (-slot / 2, slot / 2) if eye else (r - lock.shackle.engagement,)
    disc = Point(0, 0).buffer(r, quad_segs=500)
    cut = sum(disc.intersection(LineString([(x, -2 * r), (x, 2 * r)])).length for x in planes)
    return float(cut) * (lock.shackle.drop - lock.bolt.nose_height - lock.fit.slide_clearance)


def beside_eye(lock: Lock) -> float:
    """Return the metal [mm] on either side of the eye, across the middle of the end."""
    r, slot = lock.shackle.diameter / 2, lock.bolt.thickness + 2 * lock.fit.slide_clearance
    across = LineString([(0, -r), (0, r)])
    return float(across.difference(box(-r, -slot / 2, r, slot / 2)).length / 2)


def chamfer_spare(lock: Lock) -> float:
    """Return how far [mm] the chamfer's line ends from the flank's foot or from the lobe's side, whichever is less."""
    n = numbers(lock)
    slanting = [
        s for s in bolt(Layout(lock)).contour.segments
        if isinstance(s, Line) and s.start[0] != s.end[0] and abs(s.start[1] - s.end[1]) > 1e-3
    ]  # fmt: skip
    line = max(slanting, key=lambda s: s.start[0])
    (low_x, _), (_, high_y) = sorted((line.start, line.end), key=lambda p: p[1])
    return min(abs(high_y - n.foot), abs(n.offset + lock.bolt.lobe_width - low_x))


def narrowest_room(lock: Lock) -> float:
    """Return the least room [mm] that a sweep without the law finds for the bolt while the bit is in the gap."""
    rig, n = rig_of(Layout(lock)), numbers(lock)
    angles = np.linspace(-abs(n.release), abs(n.release), 201)
    rig.look(angles)
    rooms = [
        [end - begin for begin, end in rig.free(float(t)).gaps if end - begin < math.inf] or [0.0]
        for t in angles
    ]
    return min(min(room) for room in rooms)


@pytest.mark.slow
def test_what_sets_an_end_touches_there() -> None:
    seen: Counter[str] = Counter()
    ends_of: Counter[str] = Counter()
    for seed in range(20):
        lock = plausible(seed)
        for window in windows(lock).values():
            for bound, _ in ends(window):
                told = touching(lock, bound)
                assert told is not None, bound
                near = SLIVER if bound.path in LEGS else NEAR
                assert told[0] == pytest.approx(told[1], abs=near), (seed, bound)
                seen[bound.code.name] += 1
                ends_of[bound.path] += 1
    assert 20 < ends_of.pop(PICKUP) < 40
    assert ends_of.pop(CHAMFER) >= 3
    more = {path: ends_of.pop(path) for path in list(ends_of) if path not in PATHS}
    assert sum(more.values()) >= 20 * 12
    assert sum(ends_of.values()) == 20 * 14
    assert seen["key-fouls-bolt"] >= 4
    for code, least in {
        "key-hits-wall": 20, "spring-room": 20, "tail-hits-wall": 14, "shackle-outside-wall": 8,
        "shackle-in-key-circle": 4, "home-travel": 10, "bridge-thin": 25, "bolt-shallow": 20,
    }.items():  # fmt: skip
        assert seen[code] >= least, seen


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
