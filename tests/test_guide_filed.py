"""A floor that stands too high is filed as it is told, and the bolt then lies and works as was said."""

from typing import Any

import pytest
import shapely
from scipy.optimize import linprog

from core.errors import BadEntryError
from core.layout.layout import Layout
from core.lock.facts import with_measured
from core.lock.lock import Lock
from core.made.filed_since import after_filing
from core.made.verdict_data import verdict_data
from core.made.verdicts import verdicts
from core.made.wording import verdict_words
from tests.bit_sweeps import made
from tests.designs import plausible, seeded
from tests.guide_metal import (
    ENDS,
    Ups,
    bar,
    best_line,
    faces,
    fixed,
    goes_home,
    laid,
    metal,
    referee,
)


def filed_as_told(ups: Ups, told: dict[str, float]) -> tuple[Ups, Ups]:
    """Return floors and roofs [mm] of slots off which so much was filed, told by end."""
    return tuple(up - told.get(end, 0.0) for end, up in zip(ENDS, ups, strict=True)), ups


def middle_line(
    lock: Lock, floors: Ups, roofs: Ups, *, in_catch: bool = False
) -> tuple[float, float, float]:
    """Return height and slope of the line with most room between floors and roofs, and that room [mm].

    With `in_catch` the nose has to go into the shackle as well.
    """
    slide, face = lock.fit.slide_clearance, abs(lock.shackle.across) - lock.shackle.diameter / 2
    places = [(x, *ends) for (x, _), *ends in zip(faces(lock), floors, roofs, strict=True)]
    if in_catch:
        places += [(-face, 0.0, 0.0), (-face - lock.shackle.engagement, 0.0, 0.0)]
    rows, most = [], []
    for x, low, high in places:
        rows += [[1.0, x, 1.0], [-1.0, -x, 1.0]]
        most += [high + slide, slide - low]
    found = linprog([0, 0, -1], A_ub=rows, b_ub=most, bounds=[(None, None)] * 3)
    up, slope, left = map(float, found.x)
    return up, slope, left


def fits_at(lock: Lock, up: float, slope: float, floors: Ups, roofs: Ups) -> bool:
    """Say whether the bar so laid is clear of what the slots have left above and below it, by shapely."""
    below, above = (metal(lock, ends) for ends in (floors, roofs))
    legs, line = (
        bar(lock),
        shapely.box(-500, -500, 500, -min(lock.bolt.nose_height, lock.bolt.tail_height) / 2),
    )
    around = shapely.union_all([below.intersection(line), above.difference(line)])
    return bool(laid(legs, up, slope).intersection(around).area < 1e-9)


def too_high(seed: int) -> tuple[Lock, Ups, Lock]:
    """Return a lock with all parts made, and one or both guides up to 0.5 too high, more at one end, by chance."""
    rng = seeded(f"too high {seed}")
    plan = made(plausible(seed, roof="flat", outline="rectangle"))
    own = [rng.choice((0.0, rng.uniform(0.1, 0.45))) for _ in range(2)]
    ups = tuple(
        round(own[n // 2] + (rng.uniform(-0.15, 0.05) if own[n // 2] else 0.0), 2) for n in range(4)
    )
    return plan, ups, fixed(plan, ups)


def filed_works(seed: int) -> bool:
    """File what a verdict tells, in the slots as they are drawn, and ask the sweep; say whether any was to be filed."""
    plan, ups, lock = too_high(seed)
    layout = Layout(lock)
    found = {v.part: v for v in verdicts(layout) if v.word == "file"}
    if not found:
        return False
    off, measured = {}, lock
    for part, mine in found.items():
        told = verdict_words(layout, mine)
        assert told.startswith("take ")
        assert "off the floor of its slot" in told
        assert ", or fix it " in told
        for patch in mine.slot:
            end = f"{part.removesuffix('_guide')}_{patch.where.split()[-2]}"
            off[end] = patch.depth
            left = ups[ENDS.index(end)] - patch.depth
            measured = with_measured(measured, part, f"as_fixed.{end}", round(left, 9))
        assert getattr(plan, part).floor - max(p.depth for p in mine.slot) >= plan.fit.metal_min
    floors, roofs = filed_as_told(ups, off)
    assert not referee(plan, ups)
    assert middle_line(plan, floors, roofs, in_catch=True)[2] >= 0.01 - 1e-9
    # as the spring presses it down, and lifted by half of what was filed
    half = tuple((low + high) / 2 for low, high in zip(floors, roofs, strict=True))
    for up, slope in (best_line(plan, floors), best_line(plan, half)):
        assert fits_at(plan, up, slope, floors, roofs), (seed, ups, off)
        assert goes_home(plan, up, slope), (seed, ups, off)
    # measured anew it is no longer to be filed
    assert {v.word for v in verdicts(Layout(measured))} <= {"good", "use"}
    return True


@pytest.mark.slow
def test_floors_of_many_locks_filed_as_told_work() -> None:
    assert sum(filed_works(seed) for seed in range(60)) > 12


def of_front(plan: Lock, ups: Ups) -> tuple[str, str, dict[str, Any]]:
    """Return word, text and data of the verdict on the front guide."""
    layout = Layout(fixed(plan, ups))
    mine = next(v for v in verdicts(layout) if v.part == "front_guide")
    return mine.word, verdict_words(layout, mine), verdict_data(mine)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_floor_too_high_is_to_be_filed(units: str) -> None:
    plan = made(Lock().with_value("shackle.drop", 9.5).with_value("units", units))
    word, told, data = of_front(plan, (0.25, 0.15, 0.0, 0.0))
    show = Layout(plan).show
    assert word == "file"
    start = f"take {show(0.25)} off the floor of its slot at its near face and {show(0.15)} at its outer face"
    assert told.startswith(f"{start}, or fix it {show(0.25)} lower at its near face")
    assert told.endswith(
        f"filed, that is gone, and the leg can lift by {show(0.25)} more than planned"
    )
    assert (" mm" in told) == (units == "mm")
    assert data["file_depth"] == 0.25
    assert data["file_area"] == pytest.approx(0.2 * plan.front_guide.width)
    assert [patch["depth"] for patch in data["file"]] == [0.25, 0.15]


def test_no_file_is_told_where_it_gives_nothing() -> None:
    plan = made(Lock().with_value("shackle.drop", 9.5))
    # too low no file puts it back, and 0.8 of play is too much
    for up in (-0.4, 0.8):
        assert of_front(plan, (up, up, 0.0, 0.0))[0] == "move"
    # nor may its floor come out thinner than is filed
    thin = made(plan.with_value("front_guide.floor", plan.fit.metal_min + 0.2))
    assert of_front(thin, (0.25, 0.25, 0.0, 0.0))[0] == "move"


def test_a_floor_is_no_edge_for_a_file() -> None:
    lock = fixed(made(Lock()), (0.2, 0.1, 0.0, 0.0))
    with pytest.raises(BadEntryError):
        after_filing(lock, "front_guide", "as_fixed.front_near", 0.1)
