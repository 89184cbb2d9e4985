"""From sheet to seat: a notched bolt as ezdxf reads it from its DXF file, under a spring in a rigid-body engine.

From where the key lets it go it is drawn home by the detent alone, both ways; not with ramps too flat for the friction.
"""

import math

import pytest
from shapely import affinity
from shapely.geometry import Point, Polygon

from core.layout.layout import Layout
from core.lock.lock import Lock
from core.parts.guide_places import front_guide, rear_guide
from core.parts.strip import strip, tip_radius
from core.parts.tooth import tooth
from tests.designs import numbers
from tests.detent_rig import settles
from tests.held_locks import held
from tests.rigid_body import pieces
from tests.sheet_reading import SAMPLES, closed_outlines, read_dxf

MU = 0.19
"""Brass on steel, greased, at its high end: table A.1 of an open physics textbook (`shared/friction.toml`)."""
RHO = math.degrees(math.atan(MU))
DEMO = next(lock for lock in SAMPLES if lock.title == "Boathouse padlock")
GATE = next(lock for lock in SAMPLES if lock.title == "Orchard gate padlock")


def comes_to(lock: Lock, seat: str) -> tuple[float, float]:
    """Return where a bolt cut from its sheet comes to lie [mm] that the key lets go; and where its seat is."""
    (body,) = closed_outlines(read_dxf(lock, "bolt"))
    layout, throw = Layout(lock), lock.shackle.engagement + lock.shackle.gap
    assert isinstance(body, Polygon)
    made = strip(layout)
    assert made is not None
    # the tests' own numbers: how far the key drives
    driven = numbers(lock).driven
    begin, home = (driven, throw) if seat == "unlocked" else (throw - driven, 0.0)
    radius, across = tip_radius(lock), lock.spring.tip_across
    rest = stands(body, home, across, radius)
    line = lock.bolt_line.height
    guides = []
    for guide in (front_guide(layout), rear_guide(layout)):
        ends = sorted((guide.side * guide.near, guide.side * guide.far))
        floor = line - guide.leg
        guides.append(
            [(ends[0], floor - 1), (ends[1], floor - 1), (ends[1], floor), (ends[0], floor)]
        )
    found = settles(
        pieces(body), guides, moved=begin, tip=(across, stands(body, begin, across, radius) + 1e-3, radius), mu=MU,
        press=lambda height: made.rest + made.beam.rate * (height - rest), beyond=2 * throw,
    )  # fmt: skip
    return found, home


def stands(body: Polygon, moved: float, across: float, radius: float) -> float:
    """Return how high the middle of a tip stands on the bolt, by halving."""
    bolt = affinity.translate(body, xoff=moved)
    low, high = bolt.bounds[3] - 6, bolt.bounds[3] + radius + 1
    for _ in range(50):
        middle = (low + high) / 2
        at = Point(across, middle)
        free = not bolt.contains(at) and bolt.distance(at) > radius
        low, high = (low, middle) if free else (middle, high)
    return float(high)


@pytest.mark.parametrize("seat", ["unlocked", "locked"])
@pytest.mark.parametrize("lock", [DEMO, GATE, held()], ids=lambda lock: lock.title)
@pytest.mark.first(2)
def test_cut_from_the_sheet_it_is_drawn_home_by_the_detent_alone(lock: Lock, seat: str) -> None:
    found, home = comes_to(lock, seat)
    assert tooth(Layout(lock)).home_travel > 0.1
    assert found == pytest.approx(home, abs=0.03)


@pytest.mark.parametrize("seat", ["unlocked", "locked"])
@pytest.mark.parametrize("times", [1.9, 2.2])
@pytest.mark.first(1)
def test_twice_the_friction_angle_is_the_least_ramp(times: float, seat: str) -> None:
    lock = DEMO.with_value("detent.ramp", times * RHO)
    found, home = comes_to(lock, seat)
    off = abs(found - home)
    if times < 2:
        # it lies where the key let it go
        assert off == pytest.approx(tooth(Layout(lock)).home_travel, abs=0.03)
    else:
        assert off < 0.05
