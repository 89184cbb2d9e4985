"""A guide that was measured to be fixed elsewhere than planned: whether that does, against shapes that know no limit.

The referee lays the guide's floor, a box, against the bolt's outline at both seats, the key's circle and the inner wall
(shapely).
"""

import pytest
import shapely
from shapely.geometry import Point

from core.checks.gathered import findings
from core.layout.layout import Layout
from core.lock.facts import made_to, with_measured
from core.lock.lock import Lock
from core.made.fitting import HAIR
from core.made.marking import mark_made
from core.made.verdict_data import verdict_data
from core.made.verdicts import verdicts
from core.made.wording import verdict_words
from core.parts.guides import PART
from core.whole.as_built import as_built
from tests.bit_sweeps import made
from tests.config_space import outline
from tests.counts import seeds
from tests.designs import plausible, seeded
from tests.plates import inner_wall

TOUCH = 1e-3
"""Area [mm2] of an overlap that is the chords' alone."""


def strikes(lock: Lock, part: str) -> bool:
    """Say whether a guide as it is fixed stands in the way of bolt or key, or in the wall."""
    guide, line = made_to(lock, part), lock.bolt_line.height
    values = getattr(guide, part)
    leg = guide.bolt.nose_height if part == "front_guide" else guide.bolt.tail_height
    side, slot = (-1 if part == "front_guide" else 1), line - leg - guide.fit.slide_clearance
    ends = sorted(side * (values.from_centreline + wide) for wide in (0.0, values.width))
    floor = shapely.box(ends[0], slot - values.floor, ends[1], slot)
    throw = lock.shackle.engagement + lock.shackle.gap
    bolt = outline(Layout(made_to(lock, "bolt")))
    bodies = (shapely.affinity.translate(bolt, by) for by in (0.0, throw))
    circle = Point(0, 0).buffer(lock.key.radius, quad_segs=256)
    struck = any(floor.intersection(one).area > TOUCH for one in (*bodies, circle))
    return struck or not inner_wall(lock, 90).buffer(TOUCH).contains(floor)


@pytest.mark.parametrize("seed", seeds(3, 12))
@pytest.mark.first(1)
def test_a_guide_too_near_is_to_move_and_one_that_clears_all_is_used(seed: int) -> None:
    rng = seeded(f"guide {seed}")
    plan = made(plausible(seed, roof="flat", outline="rectangle"))
    part = rng.choice(("front_guide", "rear_guide"))
    path = f"{part}.from_centreline"
    before = {v.part: v.word for v in verdicts(Layout(plan))}
    for by in (rng.uniform(0.2, 1.0), rng.uniform(1.0, 4.0)):
        lock = with_measured(plan, part, path, round(plan.value(path) - by, 3))
        layout = Layout(lock)
        found = {v.part: v for v in verdicts(layout)}
        mine = found[part]
        assert mine.word == ("move" if strikes(lock, part) else "use"), (seed, part, by, mine)
        assert mine.back is not None
        assert mine.back.far == pytest.approx(by, abs=HAIR)
        # its metal and that of all others is as good as before
        assert {p: v.word for p, v in found.items() if p != part}.items() >= {
            p: w for p, w in before.items() if p not in (part, "bolt")
        }.items()
        told = verdict_words(layout, mine)
        if mine.word == "move":
            assert told.startswith("fix it "), told
            # what the finding says of it, with the same numbers: the bolt that is cut keeps no clearance
            assert mine.fault is not None
            assert any(mine.fault in f.text for f in findings(layout) if f.level == "stop")
            assert verdict_data(mine)["moved"]["across"] == mine.back.across
            # and fixed there, it does
            again = with_measured(lock, part, path, plan.value(path))
            assert {v.part: v.word for v in verdicts(Layout(again))} == before
        else:
            assert "of where it was planned" in told


def test_a_guide_within_the_tolerance_is_good() -> None:
    lock = made(Lock())
    for by, word in ((0.05, "good"), (0.1, "good"), (-0.3, "use"), (-1.0, "move")):
        new = with_measured(lock, "front_guide", "front_guide.from_centreline", 18.0 + by)
        assert {v.part: v.word for v in verdicts(Layout(new))}["front_guide"] == word


def test_a_bolt_that_is_made_need_only_not_touch_and_one_that_is_planned_keeps_clear() -> None:
    # by hand: the body ends 17.5 from the centreline, the guide was fixed 0.03 farther off; the slide clearance is 0.1
    for parts, kept in (("front_guide",), True), (("front_guide", "bolt"), False):
        lock = Lock()
        for part in parts:
            lock = mark_made(lock, part)
        near = with_measured(lock, "front_guide", "front_guide.from_centreline", 17.53)
        codes = {f.code for f in PART.findings(as_built(Layout(near)))}
        assert ("front-guide-at-body" in codes) is kept, parts
    touching = with_measured(lock, "front_guide", "front_guide.from_centreline", 17.47)
    assert "front-guide-at-body" in {f.code for f in PART.findings(as_built(Layout(touching)))}
