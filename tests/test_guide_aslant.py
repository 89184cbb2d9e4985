"""A guide that stands aslant: how near the centreline it clears the key's circle, against shapely by halving."""

from dataclasses import replace

import pytest
import shapely
from shapely import affinity

from core.layout.layout import Layout
from core.lock.lock import Lock
from core.parts.guide_places import Guide, circle_reach, front_guide, rear_guide
from core.parts.tooth import tooth


def on_circle(guide: Guide, radius: float) -> float:
    """Return how near [mm] to the centreline a guide clears a circle about the pivot, by halving, shapely alone."""
    shape = affinity.translate(shapely.Polygon(guide.corners), -guide.side * guide.near)
    hits, clear = 0.0, 40.0
    for _ in range(40):
        middle = (hits + clear) / 2
        free = affinity.translate(shape, guide.side * middle).distance(shapely.Point(0, 0))
        hits, clear = (middle, clear) if free < radius else (hits, middle)
    return clear


@pytest.mark.parametrize("depth", [13.0, 18.0, 20.0])
@pytest.mark.parametrize("ups", [(0.0, 0.0), (0.4, -0.4), (1.5, 0.0), (0.0, 0.8)])
def test_a_guide_that_stands_aslant_clears_the_key_s_circle_where_shapely_says(
    depth: float, ups: tuple[float, float]
) -> None:
    # at the steeper ones so high up the circle comes against the slant of the underside, between its corners
    layout = Layout(Lock())
    for guide in (front_guide(layout), rear_guide(layout)):
        aslant = replace(guide, bottom=depth - abs(ups[0] - ups[1]) / 2, ups=ups)
        near = on_circle(aslant, tooth(layout).relief_radius)
        assert circle_reach(layout, aslant) == pytest.approx(near, abs=1e-6)
