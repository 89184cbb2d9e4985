"""The sheet of the shackle's end: its notch or eye against boxes that are put together by hand, by shapely."""

import pytest
import shapely
from shapely.geometry import Polygon, box

from core.layout.layout import Layout
from core.lock.in_mirror import unlocking_to
from core.lock.lock import Lock
from core.sheets.pieces.shackle import ABOVE, end_contour
from tests.locks import changed

# a bar of 8, its end 9 below the bolt line; the nose 6 high, 0.2 clear, and 3 in
NOTCHED = changed(
    Lock(),
    {
        "shackle.catch": "notch", "shackle.diameter": 8.0, "shackle.drop": 9.0, "shackle.engagement": 3.0,
        "bolt.nose_height": 6.0, "fit.slide_clearance": 0.2,
    },
)  # fmt: skip


def metal(lock: Lock) -> Polygon:
    return Polygon(end_contour(Layout(lock)).points(1e-3))


@pytest.mark.parametrize("side", ["right", "left"])
def test_the_notch_is_cut_from_the_bolts_side(side: str) -> None:
    lock = unlocking_to(NOTCHED, side)
    assert lock.shackle.catch == "notch"
    bar, found = box(-4.0, -9.0, 4.0, ABOVE), metal(lock)
    cut = bar.difference(found)
    assert found.is_valid
    assert shapely.difference(found, bar).area == pytest.approx(0.0, abs=1e-9)
    # unlocking to the right the bolt comes from the right
    left, right = (1.0, 4.0) if side == "right" else (-4.0, -1.0)
    assert cut.symmetric_difference(box(left, -6.2, right, 0.2)).area == pytest.approx(
        0.0, abs=1e-9
    )


def test_an_eye_leaves_the_bar_whole_from_the_front() -> None:
    assert metal(NOTCHED.with_value("shackle.catch", "eye")).equals(box(-4.0, -9.0, 4.0, ABOVE))
