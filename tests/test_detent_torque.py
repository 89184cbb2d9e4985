"""Torque with the detent against an equilibrium solve of its own, and against the energy that goes in and comes out.

The referee knows neither the notch's formulas nor the statics': it finds where the tip stands by circle and polygon,
solves the three equations of the bolt with all four pairs of signs, and integrates what the key does.
"""

import itertools
import math
from functools import cache

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import Point

from core.geometry.polygons import polygon
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.detent_force import Way
from core.mechanism.law import Stroke
from core.mechanism.maths import Array
from core.parts.bolt_contour import bolt
from core.parts.friction import friction_ranges
from core.parts.guide_places import front_guide, rear_guide
from core.parts.notches import detent, tip_at
from core.parts.strip import strip, tip_radius
from core.parts.tooth import course, tooth
from core.turning.click import felt
from core.turning.effort import effort
from core.turning.friction_table import case_of
from tests.counts import seeds
from tests.held_locks import held, random_held

STROKES: tuple[tuple[Stroke, Way], ...] = (("unlocking", 1), ("locking", -1))


@cache
def locks() -> list[Lock]:
    """Return locks at random whose spring and detent fit and whose bolt the key drives without a jam."""
    found, seed = [held()], 0
    while len(found) < 9:
        lock = random_held(seed)
        seed += 1
        layout = Layout(lock)
        if (
            tooth(layout).drives
            and all(one.click for one in felt(layout).values())
            and felt(layout)
        ):
            found.append(lock)
    return found


class Bench:
    """A lock on the bench: its bolt as a polygon, its tip as a circle, its spring by a handbook's stiffness."""

    def __init__(self, lock: Lock) -> None:
        self.lock, self.layout = lock, Layout(lock)
        self.body = polygon(bolt(self.layout).contour, 1e-4)
        self.radius, self.tip = tip_radius(lock), tip_at(self.layout)
        self._heights: dict[float, tuple[float, tuple[float, float]]] = {}
        made = strip(self.layout)
        assert made is not None
        self.made, spring = made, lock.spring
        bent = spring.width * spring.thickness**3 / 12
        # Roark, table 8.1, cases 1a and 1e (memory): an end held fast and loaded, two held up and loaded in the middle
        share = 48 if spring.anchor == "both ends held" else 3
        self.rate = share * made.metal.modulus_low * bent / spring.free_length**3
        self.low = self.height(0.0)[0]

    def height(self, travel: float) -> tuple[float, tuple[float, float]]:
        """Return how high the tip's middle stands when the bolt has moved so far, and where the two touch."""
        if (
            travel not in self._heights
        ):  # asked for at every friction, and for all that follows from a force
            self._heights[travel] = self._height(travel)
        return self._heights[travel]

    def _height(self, travel: float) -> tuple[float, tuple[float, float]]:
        moved = affinity.translate(self.body, xoff=travel)
        line = self.lock.bolt_line.height
        low, high = line - 6.0, line + self.radius + 1.0
        for _ in range(50):
            middle = (low + high) / 2
            # nothing from the bolt where it is within it
            free = shapely.distance(moved, shapely.points((self.tip, middle))) > self.radius
            low, high = (low, middle) if free else (middle, high)
        touch = shapely.shortest_line(moved, Point(self.tip, high)).coords[0]
        return high, (float(touch[0]), float(touch[1]))

    def press(self, height: float) -> float:
        """Return what the spring does [N] with its tip so high."""
        return self.rate * (self.lock.spring.preload + height - self.low)

    def tip_force(
        self, travel: float, mu: float, way: int
    ) -> tuple[tuple[float, float], tuple[float, float]]:
        """Return where the tip touches the bolt that goes a `way`, and the force of it on the bolt."""
        height, (x, y) = self.height(travel)
        nx, ny = (self.tip - x) / self.radius, (height - y) / self.radius
        tx, ty = ny, -nx  # along the edge, to +x
        normal = self.press(height) / (ny + way * mu * ty)
        return (x, y), (-normal * (nx + way * mu * tx), -normal * (ny + way * mu * ty))

    def travelled(self, along: float) -> float:
        """Return how far the bolt has gone at an angle of the stroke."""
        return float(course(self.layout).travel(np.array([along]))[0])

    def torque(self, along: float, mu: float, way: int) -> float | None:
        """Return the torque [N mm] at an angle of the stroke; None where no push is enough, 0 where none is needed."""
        cut, lock = tooth(self.layout), self.lock
        moved = self.travelled(along)
        travel = moved if way > 0 else cut.throw - moved
        (x, y), n, t = self._contact(along, moved)
        x, n, t = way * x, (way * n[0], n[1]), (way * t[0], t[1])
        push = np.array([n[0] + mu * t[0], n[1] + mu * t[1], 0.0])
        push[2] = x * push[1] - y * push[0]
        at, force = self.tip_force(travel, mu, way)
        line, drag = lock.bolt_line.height, lock.friction.drag
        rubs = line - (lock.bolt.nose_height + lock.bolt.tail_height) / 4
        loads = np.array(
            [
                force[0] - way * drag,
                force[1],
                at[0] * force[1] - at[1] * force[0] + rubs * way * drag,
            ]
        )
        found = []
        for signs in itertools.product((1, -1), repeat=2):
            columns = [push]
            for sign, (gx, gy) in zip(signs, self._guides(travel), strict=True):
                # a reaction V, up positive, with mu |V| against the motion
                rubbing = -way * mu * sign
                columns.append(np.array([rubbing, 1.0, gx - gy * rubbing]))
            try:
                n_push, front, rear = np.linalg.solve(np.array(columns).T, -loads)
            except np.linalg.LinAlgError:
                continue
            if n_push > -1e-9 and signs[0] * front > -1e-9 and signs[1] * rear > -1e-9:
                found.append(float(n_push))
        if not found:
            return None
        return float(min(found) * way * (y * push[0] - x * push[1]))

    def _guides(self, travel: float) -> list[tuple[float, float]]:
        front, rear, line = (
            front_guide(self.layout),
            rear_guide(self.layout),
            self.lock.bolt_line.height,
        )
        nose = min(bolt(self.layout).nose_tip + travel, -front.near)
        return [
            (max(-(front.near + front.far) / 2, nose), line - self.lock.bolt.nose_height / 2),
            ((rear.near + rear.far) / 2, line - self.lock.bolt.tail_height / 2),
        ]

    def _contact(
        self, along: float, moved: float
    ) -> tuple[tuple[float, float], tuple[float, float], tuple[float, float]]:
        """Return where the bit pushes, the way it pushes and the way it drags, seen as it unlocks."""
        key, cut = self.lock.key, tooth(self.layout)
        if along > 0:
            up = math.sqrt(key.radius**2 - key.bit_thickness**2 / 4)
            x = key.bit_thickness / 2 * math.cos(along) + up * math.sin(along)
            y = up * math.cos(along) - key.bit_thickness / 2 * math.sin(along)
            return (x, y), (1.0, 0.0), (0.0, -1.0)
        foot = (cut.pickup_offset + moved, cut.flank_foot)
        face = (math.sin(along), math.cos(along))
        # the foot slips along the face by how its distance from the pivot, read along the face, changes
        step = 1e-6
        farther = course(self.layout).travel(np.array([along + step]))[0]
        there = (cut.pickup_offset + farther, cut.flank_foot)
        turned = (math.sin(along + step), math.cos(along + step))
        slips = there[0] * turned[0] + there[1] * turned[1] - foot[0] * face[0] - foot[1] * face[1]
        # the face goes the other way under the foot, and drags it along
        drags = -math.copysign(1.0, slips)
        return foot, (math.cos(along), -math.sin(along)), (drags * face[0], drags * face[1])


@pytest.mark.parametrize("index", range(9))
@pytest.mark.first(1)
def test_torque_with_the_detent_against_an_equilibrium_solve(index: int) -> None:
    lock = locks()[index]
    bench, own = Bench(lock), lock.friction.condition
    ends, cut = friction_ranges(bench.layout)[own], tooth(bench.layout)
    leaves = min(cut.release_angle, course(bench.layout).caught_angle)
    along = np.linspace(-cut.pickup_angle + 1e-4, leaves - 1e-4, 23)
    highest = 0.0
    for stroke, way in STROKES:
        takes = effort(bench.layout, way * along, stroke)
        for end, mu in (("low", ends.low), ("high", ends.high)):
            ours = takes.torque[case_of(own, end)]
            highest = max(highest, float(ours.max()))
            for angle, torque in zip(along, ours, strict=True):
                found = bench.torque(float(angle), mu, way)
                # where nothing has to be pushed the spring runs ahead of the key
                found = 0.0 if found is None and torque == 0.0 else found
                assert found is not None
                assert torque == pytest.approx(found, rel=0.01, abs=1e-3 * highest)


@pytest.mark.parametrize("index", seeds(2, 9))
@pytest.mark.slow
def test_energy_over_a_full_turn(index: int) -> None:
    # what the key puts in over both strokes is what friction takes, and what the spring lets go as it snaps home twice
    lock = locks()[index]
    bench, own = Bench(lock), lock.friction.condition
    cut, notches, mu = (
        tooth(bench.layout),
        detent(bench.layout),
        friction_ranges(bench.layout)[own].high,
    )
    assert notches is not None
    leaves = min(cut.release_angle, course(bench.layout).caught_angle)
    given = rubbed = let_go = 0.0
    for stroke, way in STROKES:
        nodes, weights = _gauss(bench, leaves)
        takes = effort(bench.layout, way * nodes, stroke)
        row = case_of(own, "high")
        given += float(takes.torque[row] @ weights)
        moved = course(bench.layout).travel(nodes)
        speed = _speeds(bench, nodes)  # of the bolt for each rad of the key
        at = moved if way > 0 else cut.throw - moved
        slope = notches.slope(at, way)
        press = bench.rate * (lock.spring.preload + notches.lifted(at))
        on_tip = press / (np.cos(slope) - mu * np.sin(slope))
        rubbed += float((mu * on_tip / np.cos(slope) * speed) @ weights)
        guides = np.abs(takes.front_reaction[row]) + np.abs(takes.rear_reaction[row])
        rubbed += float(((mu * guides + lock.friction.drag) * speed) @ weights)
        rubbed += float((mu * takes.flank_force[row] * _slips(bench, nodes)) @ weights)
        last = float(course(bench.layout).travel(np.array([leaves - 1e-12]))[0])
        lift = notches.lifted(last if way > 0 else cut.throw - last)
        hang = lock.spring.preload
        let_go += bench.rate / 2 * ((hang + lift) ** 2 - hang**2)
    assert given == pytest.approx(rubbed + let_go, rel=1e-6)


def _gauss(bench: Bench, leaves: float) -> tuple[Array, Array]:
    """Return angles and weights of Gauss's rule over each piece on which the tip's way is smooth."""
    cut, notches = tooth(bench.layout), detent(bench.layout)
    assert notches is not None
    form, begin = notches.notch, -cut.pickup_angle
    corners = {begin, leaves, 0.0}
    for off in (form.play, form.slope_end, form.half_width):
        for travel in (off, cut.throw - off):
            low, high = begin, leaves
            for _ in range(80):
                middle = (low + high) / 2
                short = float(course(bench.layout).travel(np.array([middle]))[0]) < travel
                low, high = (middle, high) if short else (low, middle)
            corners.add(low)
    x, w = np.polynomial.legendre.leggauss(30)
    edges = sorted(corner for corner in corners if begin <= corner <= leaves)
    halves = [((a + b) / 2, (b - a) / 2) for a, b in itertools.pairwise(edges)]
    nodes = np.concatenate([middle + half * x for middle, half in halves])
    return nodes, np.concatenate([half * w for _, half in halves])


def _speeds(bench: Bench, nodes: Array) -> Array:
    """Return how fast the bolt goes for each rad of the key [mm]: by the corner, or by the face through the foot."""
    cut, key = tooth(bench.layout), bench.lock.key
    up = math.sqrt(key.radius**2 - key.bit_thickness**2 / 4)
    corner = up * np.cos(nodes) - key.bit_thickness / 2 * np.sin(nodes)
    # the foot is x0 + s, y on the face x cos - y sin = b / 2: differentiated
    x = (key.bit_thickness / 2 + cut.flank_foot * np.sin(nodes)) / np.cos(nodes)
    face = (cut.flank_foot * np.cos(nodes) + x * np.sin(nodes)) / np.cos(nodes)
    speeds: Array = np.where(nodes > 0, corner, face)
    return speeds


def _slips(bench: Bench, nodes: Array) -> Array:
    """Return how fast key and flank slip on each other for each rad of the key [mm]."""
    cut, key = tooth(bench.layout), bench.lock.key
    up = math.sqrt(key.radius**2 - key.bit_thickness**2 / 4)
    corner = up * np.sin(nodes) + key.bit_thickness / 2 * np.cos(nodes)
    x = (key.bit_thickness / 2 + cut.flank_foot * np.sin(nodes)) / np.cos(nodes)
    # the foot's way along the face: its own speed along it, less what the turning face does there
    along = _speeds(bench, nodes) * np.sin(nodes) + (
        x * np.cos(nodes) - cut.flank_foot * np.sin(nodes)
    )
    slips: Array = np.where(nodes > 0, corner, np.abs(along))
    return slips


def test_a_bolt_that_is_drawn_right_home_is_off_its_seat_by_no_minus() -> None:
    made = detent(Layout(held()))
    assert made is not None
    assert f"{made.rests_off(0.1):.2f}" == "0.00"
    assert [f"{off:.2f}" for off in made.rests_off(np.array([0.1, 0.2]))] == ["0.00", "0.00"]
