"""Spring, notches, what the hand feels of them and what knocks a bolt loose: by circle, polygon and balance alone."""

import math
import tomllib
from collections.abc import Callable, Iterator
from functools import cache, cached_property, partial
from pathlib import Path
from typing import Any

import numpy as np
from shapely.geometry import LineString, box

from core.checks import gathered
from core.errors import BadValueError
from core.geometry.polygons import polygon
from core.layout.windows import Bound
from core.lock.lock import Lock
from core.parts.strip_place import outline
from tests.designs import numbers
from tests.evidence.by_forces import Floats, friction
from tests.evidence.cases import Case, Found, Judge
from tests.plates import inner_wall
from tests.test_detent_torque import STROKES, Bench

BESIDE = 1e-7
"""How far [mm] beside a place the tip is looked at where two of its contacts meet."""
GRAVITY = 9.80665
"""Standard free fall [m/s2]: ISO 80000-3."""


@cache
def metal(name: str) -> dict[str, Any]:
    """Return a row of the shipped metals, read by the standard library alone."""
    table = tomllib.loads((Path(__file__).parents[2] / "shared" / "metals.toml").read_text("utf-8"))
    return next(row for row in table["metal"] if row["name"] == name)


def _last(true: Callable[[float], bool], begin: float, end: float) -> float:
    """Return the last place that is true between one that is and one that is not, by halving."""
    for _ in range(40):
        middle = (begin + end) / 2
        begin, end = (middle, end) if true(middle) else (begin, middle)
    return begin


def _most(of: Callable[[float], float], begin: float, end: float) -> float:
    """Return the most of something over a stretch: at 60 places, and at 60 more about the highest of them."""
    at = np.linspace(begin, end, 60)
    top = int(np.argmax([of(float(a)) for a in at]))
    near = np.linspace(at[max(top - 1, 0)], at[min(top + 1, 59)], 60)
    return max(of(float(a)) for a in near)


class Caught(Bench):
    """What the tip does to a bolt off its seat, by where circle and polygon touch."""

    def __init__(self, lock: Lock) -> None:
        super().__init__(lock)
        low, high = friction()[lock.friction.metals, lock.friction.condition]
        self.ends, self.drag = {"low": low, "high": high}, lock.friction.drag
        self.line, self.throw = lock.bolt_line.height, lock.shackle.engagement + lock.shackle.gap
        self.land = self.height(self.throw / 2)[0]
        self.drop = self.land - self.low
        # the notch of the locked seat, measured on the bolt
        edge = LineString([(self.tip + way * self.throw / 2, self.line - 1e-6) for way in (-1, 1)])
        gap = edge.difference(self.body)
        self.left, _, self.right, _ = gap.bounds
        self.deep = self._depth(self.tip)
        self.floor = [self._floor(way) for way in (1, -1)]
        free = _last(lambda off: self.height(off)[0] - self.low < 1e-10, 0.0, self.right - self.tip)
        self.play = free if free > 1e-6 else 0.0

    def _floor(self, way: int) -> float:
        """Return how far from the middle a floor ends: where the depth has changed by as much as can be seen."""

        def level(x: float) -> bool:
            return self.deep - self._depth(self.tip + way * x) < 1e-9

        return _last(level, 0.0, self.right - self.tip)

    def _depth(self, x: float) -> float:
        cut = LineString([(x, self.line - 8.0), (x, self.line + 1.0)]).intersection(self.body)
        return float(self.line - cut.bounds[3])

    def along(self, off: float, mu: float, way: int) -> float:
        """Return what draws a bolt to its locked seat [N] as it goes there, or holds it back as it goes away."""
        off = max(off, self.play + BESIDE)
        _, (fx, fy) = self.tip_force(off, mu, way)
        return -fx + way * (mu * abs(fy) + self.drag)

    def draws_over(self, mu: float) -> float:
        """Return how far off its seat the bolt is drawn home: from the steepest place outwards, by halving."""
        wide = self.right - self.tip
        offs = np.linspace(self.play + BESIDE, wide, 60)
        pulls = [self.along(float(off), mu, -1) for off in offs]
        best = int(np.argmax(pulls))
        if pulls[best] <= 0:
            return 0.0
        return _last(lambda off: self.along(off, mu, -1) > 0, float(offs[best]), wide)

    def rests_off(self, mu: float) -> float:
        """Return where a bolt that is drawn stops."""
        far = self.draws_over(mu)
        if far == 0.0 or self.along(self.play, mu, -1) > 0:
            return self.play
        near = far * 0.98
        return _last(lambda off: self.along(off, mu, -1) > 0, near, self.play)

    def holds(self, mu: float) -> float:
        """Return the greatest force on its way out of the notch, NaN where it jams."""
        if np.isnan(self._forces(mu)).any():
            return math.nan
        return _most(lambda off: self._leaves(off, mu), self.play, self.right - self.tip - BESIDE)

    def work(self, mu: float) -> float:
        """Return the work on its way out of the notch, by trapezes."""
        # over a floor tip and guides rub
        free = (2 * mu * self.press(self.low) + self.drag) * self.play
        return free + float(np.trapezoid(self._forces(mu), self._way_out))

    def _forces(self, mu: float) -> Floats:
        return np.array([self._leaves(float(off), mu) for off in self._way_out])

    def _leaves(self, off: float, mu: float) -> float:
        _, (x, _) = self.height(max(off, self.play + BESIDE))
        steep = math.asin(min((self.tip - x) / self.radius, 1.0)) + math.atan(mu)
        return math.nan if steep >= math.pi / 2 else self.along(off, mu, 1)

    @cached_property
    def _way_out(self) -> Floats:
        wide = self.right - self.tip
        return np.linspace(self.play + BESIDE, wide - BESIDE, 300)


@cache
def bench_of(lock: Lock) -> Caught:
    """Return what the tip does to the bolt of a lock."""
    return Caught(lock)


def _spring(case: Case) -> Found:
    said, bench, lock = case.said["spring"], bench_of(case.lock), case.lock
    spring, across = lock.spring, lock.spring.anchor == "both ends held"
    land = bench.press(bench.land)
    yield "spring.force", said["force"], bench.press(bench.low)
    yield "spring.force_on_land", said["force_on_land"], land
    yield "spring.rate", said["rate"], bench.rate
    moment = land * spring.free_length / (4 if across else 1)
    yield "spring.stress", said["stress"], moment / (spring.width * spring.thickness**2 / 6)
    yield "spring.yield", said["yield"], metal(spring.metal)["yield_low"]
    up, down = _band(case)
    yield "spring.room", said["room"], up
    yield "spring.clear", said["clear"], down
    reach = spring.free_length / (2 if across else 1)
    yield "spring.bend", said["bend"], math.degrees(math.atan2(spring.preload + bench.drop, reach))
    for seat, moved in (("locked", 0.0), ("unlocked", bench.throw)):
        nose = bench.body.bounds[0] + moved
        yield f"spring.tip_on_bolt.{seat}", said["tip_on_bolt"][seat], bench.tip - nose


def _band(case: Case) -> tuple[float, float]:
    """Return how high the drawn strip comes above the bolt line over the whole stroke, and how low beside its tip."""
    bench, up, down = bench_of(case.lock), -math.inf, math.inf
    made = bench.made
    for travel in [*np.linspace(0.0, 3.0, 25), bench.throw / 2]:
        _, low, _, high = polygon(outline(case.layout, made, float(travel))[0], 1e-4).bounds
        up, down = max(up, high - bench.line), min(down, low - bench.line)
    return up, down


def _detent(case: Case) -> Found:
    said, bench, lock = case.said["detent"], bench_of(case.lock), case.lock
    sign = 1 if lock.unlocks == "right" else -1
    yield "detent.depth", said["depth"], bench.deep
    yield "detent.half_width", said["half_width"], (bench.right - bench.left) / 2
    yield "detent.floor", said["floor"], sum(bench.floor)
    yield "detent.drop", said["drop"], bench.drop
    yield "detent.play", said["play"], bench.play
    round_tip = lock.spring.tip == "rolled"
    yield (
        "detent.tip_radius", said["tip_radius"],
        lock.spring.tip_radius if round_tip else lock.spring.thickness / 2,
    )  # fmt: skip
    middle = (bench.left + bench.right) / 2
    for seat, moved in (("locked", 0.0), ("unlocked", bench.throw)):
        yield f"detent.notches.{seat}", said["notches"][seat], sign * (middle - moved)
    high = bench.ends["high"]
    angle = math.degrees(math.atan(high))
    for k, wanted in enumerate((2 * angle, 90 - angle)):
        yield "detent.ramp_between[]", said["ramp_between"][k], wanted
    yield "detent.metal_left", said["metal_left"], _below(lock, bench)
    for end, mu in bench.ends.items():
        yield f"detent.draws_over.{end}", said["draws_over"][end], bench.draws_over(mu)
        yield f"detent.pull_home.{end}", said["pull_home"][end], bench.along(bench.play, mu, -1)
        yield f"detent.rests_off.{end}", said["rests_off"][end], bench.rests_off(mu)
        for key, wanted in (("leaves", bench.along(bench.play, mu, 1)), ("holds", bench.holds(mu))):
            if said[key][end] is not None:
                yield f"detent.{key}.{end}", said[key][end], wanted


def _below(lock: Lock, bench: Bench) -> float:
    """Return the least metal below either notch, each stretch of the bolt as high as it is at its lowest."""
    n, sizes = numbers(lock), lock.bolt
    line, throw = lock.bolt_line.height, lock.shackle.engagement + lock.shackle.gap
    body = -n.flank - sizes.lobe_width, n.offset + sizes.lobe_width
    stretches = (
        (bench.body.bounds[0], body[0], sizes.nose_height),
        (-n.flank, n.offset, line - lock.key.radius - lock.fit.key_clearance),
        (*body, sizes.depth), (body[1], bench.body.bounds[2], sizes.tail_height),
    )  # fmt: skip
    found, half = [], lock.detent.half_width
    for at in (bench.tip, bench.tip - throw):
        for left, right, high in stretches:
            if at + half > left and at - half < right:
                deep = min(lock.detent.depth, half * math.tan(math.radians(lock.detent.ramp)))
                found.append(high - deep)
    return min(found)


def _too_deep(lock: Lock, bound: Bound) -> float:
    """Return where a tip that moves outwards over an end has its notch too deep."""

    def fits(across: float) -> bool:
        moved = lock.with_value(bound.path, across)
        return _below(moved, Bench(moved)) >= lock.fit.bridge_min - 1e-9

    inwards = 1e-3 if bound.end == "low" else -1e-3
    return _last(fits, bound.value + inwards, bound.value - inwards)


def _felt(case: Case) -> Found:
    bench, n, lock = bench_of(case.lock), case.tooth, case.lock
    mu, key = bench.ends["high"], lock.key
    reached = n.offset + bench.throw - bench.draws_over(mu)
    begin = -math.radians(lock.tooth.pickup_angle) + 1e-9
    caught = min(
        math.asin(min(reached / key.radius, 1.0)) - math.asin(key.bit_thickness / 2 / key.radius),
        n.release,
    )
    for stroke, way in STROKES:
        said = case.said["felt"].get(stroke)
        if said is None:
            continue
        if said["snaps"] is not None:
            yield f"felt.{stroke}.snaps", said["snaps"], way * math.degrees(caught)
        for key_of in ("click", "drive"):
            if said[key_of] is None:
                continue
            told, at = said[key_of]["torque"], math.radians(said[key_of]["at"])
            here = bench.torque(way * at, mu, way)
            yield f"felt.{stroke}.{key_of}.at", told, math.nan if here is None else here
        out = _last(lambda a: bench.travelled(a) < bench.right - bench.tip, begin, caught)
        for key_of, first, last in (("click", begin, min(out, caught)), ("drive", out, caught)):
            if said[key_of] is not None:
                takes = partial(_takes, bench, mu, way)
                most = _most(takes, first, last - 1e-6)
                yield f"felt.{stroke}.{key_of}.torque", said[key_of]["torque"], most


def _takes(bench: Bench, mu: float, way: int, along: float) -> float:
    return bench.torque(along, mu, way) or 0.0


DENSITY = {
    "brass": "free-cutting brass C360",
    "steel": "structural steel S275",
    "bronze": "phosphor bronze C510",
}


def _held(case: Case) -> Found:
    said, bench, lock = case.said["held"], bench_of(case.lock), case.lock
    density = metal(DENSITY[lock.friction.metals.split()[0]])["density"]
    grams = bench.body.area * lock.bolt.thickness * density * 1e-6
    yield "held.mass", said["mass"], grams
    weight = grams * 1e-3 * GRAVITY
    yield "held.pulled_by", said["pulled_by"], 100.0
    front, rear = lock.front_guide, lock.rear_guide
    at_front, at_rear = (
        -(front.from_centreline + front.width / 2),
        rear.from_centreline + rear.width / 2,
    )
    nose = -abs(lock.shackle.across)
    borne = np.linalg.solve(
        np.array([[1.0, 1.0], [at_front, at_rear]]), np.array([-100.0, -100.0 * nose])
    )
    yield "held.front", said["front"], float(borne[0])
    yield "held.rear", said["rear"], float(borne[1])
    for end, mu in bench.ends.items():
        rubs = mu * float(np.abs(borne).sum())
        yield f"held.holds.{end}", said["holds"][end], rubs + mu * 100.0
        slope = _last(partial(_stays, mu, rubs), 0.0, math.radians(89.9))
        yield f"held.backs_out.{end}", said["backs_out"][end], math.degrees(slope)
        for key, wanted in (
            ("push", bench.holds(mu)), ("shake", bench.holds(mu) / weight), ("fall", bench.work(mu) / weight),
        ):  # fmt: skip
            if said[key] is not None and said[key][end] is not None:
                yield f"held.{key}.{end}", said[key][end], wanted


def _stays(mu: float, rubs: float, slope: float) -> bool:
    """Say whether what 100 N push along a bolt with such a nose, less its friction, is less than the guides hold."""
    along = 100 * (math.sin(slope) - mu * math.cos(slope))
    return along < rubs * (math.cos(slope) + mu * math.sin(slope))


def _windows(case: Case) -> Found:
    for path, window in gathered.windows(case.layout).items():
        if path.split(".")[0] not in ("spring", "detent") or window.conflict:
            continue
        for end, bound in (("low", window.low), ("high", window.high)):
            if bound is None:
                continue
            assert case.said["windows"][path][end] == bound.value
            try:
                at = Case(case.lock.with_value(path, bound.value))
            except BadValueError:  # an end at nothing, where no lock can be
                continue
            for measured, wanted in _at_end(at, bound):
                yield f"windows.{path}.{end}", measured, wanted


def _at_end(at: Case, bound: Bound) -> Iterator[tuple[float, float]]:
    """Measure at the end of a window what sets it, and give what it should be there."""
    lock, bench = at.lock, Caught(at.lock)
    n, mu, own = numbers(lock), bench.ends["high"], lock.detent
    x = polygon(outline(at.layout, bench.made, 0.0)[0], 1e-4).bounds
    sign = 1 if lock.unlocks == "right" else -1
    match bound.code.name:
        case "spring-past-yield":
            yield at.said["spring"]["stress"], float(metal(lock.spring.metal)["yield_low"])
        case "spring-too-high":
            yield _band(at)[0], lock.bolt_line.spring_room
        case "spring-rubs":
            yield _band(at)[1], 0.0
        case "spring-outside-wall":
            room = max(lock.bolt_line.spring_room, 1e-3)
            left, right = sorted((sign * x[0], sign * x[2]))
            yield (
                float(
                    inner_wall(lock).exterior.distance(
                        box(left, bench.line, right, bench.line + room)
                    )
                ),
                0.0,
            )
        case "spring-at-shackle":
            yield x[0], -(-sign * lock.shackle.across - lock.shackle.diameter / 2)
        case "spring-off-bolt":
            nose, _, tail, _ = bench.body.bounds
            yield min(bench.tip - bench.throw - nose, tail - bench.tip), 0.0
        case "tip-in-guide":
            clear = (
                bench.tip - bench.radius + lock.front_guide.from_centreline,
                lock.rear_guide.from_centreline - bench.tip - bench.radius,
            )
            yield min(clear), 0.0
        case "detent-ramp-shallow":
            yield bound.value, 2 * math.degrees(math.atan(mu))
        case "detent-ramp-steep":
            yield bound.value, 90 - math.degrees(math.atan(mu))
        case "detent-stops-short":
            yield bench.rests_off(mu), lock.fit.key_clearance
        case "detent-notch-deep":
            if bound.path == "spring.tip_across":
                # a notch comes over another part of the bolt, and from one place to the next is too deep
                yield bound.value, _too_deep(lock, bound)
            else:
                yield _below(lock, bench), lock.fit.bridge_min
        case "detent-tip-wide":
            yield bench.radius * math.sin(math.radians(own.ramp)), own.half_width
        case "detent-notches-meet":
            yield bench.right - bench.left, bench.throw
        case "detent-notch-off-bolt":
            nose, _, tail, _ = bench.body.bounds
            off = min(bench.tip - bench.throw - nose, tail - bench.tip)
            yield off, own.half_width
        case "home-travel":
            drawn, asked = bench.draws_over(mu), bench.throw - n.driven
            if bound.path == "detent.ramp" and drawn > asked + 1e-6:
                # from one ramp to the next it no longer draws at all
                yield bound.value, 2 * math.degrees(math.atan(mu))
            else:
                yield drawn, asked


JUDGES = (
    Judge(
        "strip", "stiffness and moment by a handbook's beam, height by the drawn strip over the whole stroke",
        "Roark, table 8.1, cases 1a and 1e (memory); metals read by tomllib; `tests/test_spring.py`",
        ("spring.*",), _spring,
    ),
    Judge(
        "notch", "the notch measured on the bolt's outline, forces from where circle and outline touch",
        "shapely; Coulomb's friction; `tests/test_detent_torque.py`", ("detent.*",), _detent,
    ),
    Judge(
        "felt", "three equations solved for each choice of the guides' sides, at 120 angles of a stretch",
        "shapely, numpy; `tests/test_detent_torque.py`", ("felt.*",), _felt,
    ),
    Judge(
        "held", "the outline's area, work out of the notch by trapezes, a beam on two supports, slopes by halving",
        "Newton; densities read by tomllib", ("held.*",), _held,
    ),
    Judge(
        "beside", "what sets an end of the window of a size of spring or notch measured on a lock at that end",
        "the same", ("windows.spring.*", "windows.detent.*"), _windows,
    ),
)  # fmt: skip
