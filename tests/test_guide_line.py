"""Guides that stand too high, too low or tilted: how the bolt lies in them and what the key does with it.

The referee knows neither the line nor the law. Between the floors and roofs of the slots, as shapely draws them, the
bar of the bolt is laid in every height and slope of a fine grid; where it lies best a linear program says (scipy,
HiGHS); so laid, its outline and the key's bit are swept over key angle and travel (`tests/config_space.py`).
"""

import math
import re

import numpy as np
import pytest
import shapely
from shapely import affinity

from core.checks.gathered import findings
from core.layout.drawing import Stroke
from core.layout.layout import Layout
from core.lock.facts import made_to
from core.lock.lock import Lock
from core.made.verdicts import verdicts
from core.made.wording import verdict_words
from core.mechanism.law import STROKES
from core.parts.bolt_contour import lies_at
from core.parts.bolt_lies import lies
from core.parts.guide_places import front_guide, rear_guide
from core.parts.tooth import course, tooth_seen
from core.whole import assembly
from core.whole.as_built import as_built
from tests.bit_sweeps import made
from tests.config_space import follow, outline
from tests.counts import seeds
from tests.designs import plausible, seeded
from tests.guide_metal import (
    Ups,
    best_line,
    fixed,
    in_slots,
    laid,
    metal,
    referee,
    rig_of,
    room,
    some,
)


@pytest.mark.parametrize("seed", seeds(1, 16))
@pytest.mark.first(1)
def test_it_goes_in_where_the_bar_can_be_laid(seed: int) -> None:
    rng = seeded(f"slots {seed}")
    lock = made(plausible(seed, roof="flat", outline="rectangle"))
    ups = some(rng, lock)
    own = rng.uniform(-1.5, 1.5) * lock.fit.slide_clearance
    ups = (ups[0], ups[1] + round(own, 3), *ups[2:])
    found, left = lies(as_built(Layout(fixed(lock, ups)))), room(lock, ups)
    assert found.left == pytest.approx(left, abs=4e-3) if left > 0 else found.left < 4e-3


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12))
def test_the_bolt_goes_where_a_sweep_of_it_as_it_lies_says(seed: int) -> None:
    plan, ups, lock = in_slots("laid", seed)
    built = as_built(Layout(lock))
    up, slope = best_line(plan, ups)
    rig, here = rig_of(plan, up, slope), lies(built).line
    assert (here.height, here.slope) == pytest.approx((up, slope), abs=1e-6)
    for stroke in STROKES:
        seen = follow(rig, stroke, capture=lock.fit.detent_capture)
        if seen.blocked is not None:
            assert not course(built).comes_home  # type: ignore[attr-defined]
            break
        mine = course(built).travel(seen.angles, stroke)
        assert np.quantile(np.abs(mine - seen.travel), 0.97) < 2e-3
        assert mine[-1] == pytest.approx(seen.rests, abs=2e-3)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(14))
def test_the_verdict_is_whether_it_works(seed: int) -> None:
    plan, ups, lock = in_slots("verdict of slots", seed)
    layout, works = Layout(lock), referee(plan, ups)
    found = {v.part: v for v in verdicts(layout)}
    before, after = (
        {f.code for f in findings(one) if f.level == "stop"} for one in (Layout(plan), layout)
    )
    assert (after <= before) is works, (ups, after)
    for part, own in (("front_guide", ups[:2]), ("rear_guide", ups[2:])):
        mine, told = found[part], verdict_words(layout, found[part])
        if max(map(abs, own)) <= lock.fit.made_tolerance:
            assert mine.word == "good"
        elif works:
            assert mine.word == "use"
            assert "the bolt lies" in told or "of play is left" in told
        elif mine.word != "use":  # beside the other as planned it may work
            assert mine.word in ("move", "file")
            assert told.startswith("fix it ") or ", or fix it " in told
    assert all(v.word == "good" for p, v in found.items() if not p.endswith("guide"))
    assert (
        works
        or {"move", "file"} & {v.word for v in found.values()}
        or max(map(abs, ups)) <= lock.fit.made_tolerance
    )


def test_both_raised_alike_raise_the_bolt_and_one_of_them_tilts_it() -> None:
    plan = made(Lock())
    level, front = (
        as_built(Layout(fixed(plan, ups))) for ups in ((0.2,) * 4, (0.2, 0.2, 0.0, 0.0))
    )
    # by hand, from the design's sensitivity: 0.2 x 1.594 less is driven, to first order
    assert tooth_seen(level, "unlocking").driven_travel == pytest.approx(
        9.128 - 0.2 * 1.594, abs=0.02
    )
    assert (lies(level).left, lies(level).tilt) == pytest.approx((0.1, 0.0))
    # the outer faces stand 26 and 26 off the centreline, the near ones 18 and 16
    up, slope = best_line(plan, (0.2, 0.2, 0.0, 0.0))
    far = [tooth_seen(front, one).driven_travel for one in STROKES]
    assert far[0] > far[1]  # the nose is up: the flank that unlocks stands back, the other ahead
    assert sum(far) / 2 == pytest.approx(9.128 - up * 1.594, abs=0.05)
    assert (lies(front).up, lies(front).tilt) == pytest.approx((up, math.atan(slope)))


@pytest.mark.parametrize(
    "ups", [(0.5, 0.5, 0.5, 0.5), (0.3, 0.35, -0.3, -0.35), (-0.3, -0.36, 0.3, 0.36)]
)
def test_a_nose_that_the_guides_hold_off_the_catch_is_told_as_far_off_as_its_tip_is(
    ups: Ups,
) -> None:
    new = fixed(made(Lock()), ups)
    (text,) = [f.text for f in findings(as_built(Layout(new))) if f.code == "nose-off-catch"]
    up, slope = best_line(new, ups)
    tip = new.shackle.across + new.shackle.diameter / 2 - new.shackle.engagement
    off = up + slope * tip
    said = re.search(r"hold the nose ([\d.]+) mm too (high|low) at its tip", text)
    assert said
    assert float(said[1]) == pytest.approx(abs(off), abs=0.051)
    assert said[2] == ("high" if off > 0 else "low")


@pytest.mark.parametrize("seed", seeds(1, 8))
@pytest.mark.first(1)
def test_it_is_drawn_where_it_lies(seed: int) -> None:
    plan, ups, lock = in_slots("drawn in slots", seed)
    built = as_built(Layout(lock))
    line, (up, slope) = plan.bolt_line.height, best_line(plan, ups)
    wanted = laid(outline(Layout(made_to(plan, "bolt"))), up, slope, line)
    drawn = shapely.Polygon(lies_at(built).points(5e-5))
    assert drawn.symmetric_difference(wanted).area < 2e-3
    # and the guides: what they have above and below their slots is where the referee has it
    around = affinity.translate(metal(plan, ups, 0.5), 0.0, line)
    for guide in (front_guide(built), rear_guide(built)):
        assert guide.area.buffer(-1e-6).intersection(around).area == pytest.approx(
            guide.values.width * 0.5, abs=1e-3
        )


def test_beside_a_guide_that_stands_too_high_the_one_that_was_planned_is_drawn_whole() -> None:
    plan = made(Lock())
    new = fixed(plan, (0.3, 0.2, 0.0, 0.0))
    line, slide, front = plan.bolt_line.height, plan.fit.slide_clearance, plan.front_guide
    near, leg = front.from_centreline, plan.bolt.nose_height
    marks = [
        mark
        for mark in assembly.marks(as_built(Layout(new)))
        if isinstance(mark, Stroke) and mark.part.endswith("guide") and mark.ghost
    ]
    (ghost,) = marks
    assert ghost.part == "front guide"
    # drawn all round, and by shapely the box that was planned
    ends = [(segment.start, segment.end) for segment in ghost.path.segments]
    assert [end for _, end in ends] == [start for start, _ in [*ends[1:], ends[0]]]
    wanted = shapely.box(-near - front.width, line - leg - slide - front.floor, -near, line + slide)
    drawn = shapely.Polygon(ghost.path.points(1e-5))
    assert drawn.symmetric_difference(wanted).area < 1e-6
