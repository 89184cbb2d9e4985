"""Slots that were filed too shallow, and legs that came out thinner: how the bolt lies then, and what to file.

The referee (`tests/slots_bench.py`) knows neither the program's line nor the law: linear programs (scipy, HiGHS) and a
grid of bars between floors and roofs (shapely) for how the bolt lies, a sweep for what the key does with it.
"""

import math

import pytest

from core.checks.gathered import findings
from core.layout.layout import Layout
from core.lock.facts import with_measured
from core.lock.lock import Lock
from core.made.filed_since import after_filing
from core.made.fitting import KEPT, Fitting, Patch
from core.made.slots import FLOOR, ROOF
from core.made.verdict_data import verdict_data
from core.made.verdicts import Verdict, verdicts
from core.made.wording import but_words, fitting_words, verdict_words
from core.mechanism.channel_line import between
from core.parts.bolt_lies import lies
from core.whole.as_built import as_built
from tests.bit_sweeps import made
from tests.counts import seeds
from tests.designs import plausible, seeded
from tests.guide_metal import ENDS, Ups
from tests.slots_bench import Slots, middle, most_room


def plan_of(seed: int) -> Lock:
    return made(plausible(seed, roof="flat", outline="rectangle"))


@pytest.mark.parametrize("seed", seeds(30, 400))
def test_the_line_is_that_of_linear_programs(seed: int) -> None:
    rng = seeded(f"between {seed}")
    xs = sorted(rng.sample(range(-30, 31), rng.choice((4, 6))))
    wide = rng.choice((0.0, 0.2))
    places = []
    for x in xs:
        low = rng.uniform(-0.2, 0.2)
        places.append((float(x), low, low + 0.2 + rng.uniform(-wide, wide)))
    line = between(places)
    assert line.room == pytest.approx(most_room(places), abs=1e-6)
    assert (line.height, line.slope) == pytest.approx(middle(places), abs=2e-5)


def by_chance(what: str, seed: int) -> Slots:
    """Return slots with roofs too low or too high, guides a little off, and legs filed thinner, all by chance."""
    rng = seeded(f"{what} {seed}")
    plan = plan_of(seed)
    slide = plan.fit.slide_clearance
    off = rng.choice((0.0, 0.7)) * slide
    floors = tuple(round(rng.choice((0.0, rng.uniform(-off, off))), 3) for _ in range(4))
    low = rng.choice((0.0, rng.uniform(-1, 1.4) * slide))
    lows = [round(low + rng.choice((0.0, rng.uniform(-0.3, 0.3) * slide)), 3) for _ in range(4)]
    roofs = tuple(round(f - by, 3) for f, by in zip(floors, lows, strict=True))
    nose, tail = (round(rng.choice((0.0, rng.uniform(0.0, 3.0) * slide)), 3) for _ in range(2))
    return Slots(plan, floors, roofs, (nose, tail))


@pytest.mark.parametrize("seed", seeds(1, 24))
@pytest.mark.first(1)
def test_it_lies_as_bars_laid_between_floors_and_roofs_do(seed: int) -> None:
    slots = by_chance("bars", seed)
    found, room = lies(as_built(Layout(slots.measured))), slots.room()
    assert found.left == pytest.approx(room, abs=4e-3) if room > 0 else found.left < 4e-3
    assert (found.line.height, found.line.slope) == pytest.approx(middle(slots.places()), abs=2e-5)
    if room > 0:
        assert slots.fits((found.line.height, found.line.slope))


def test_legs_filed_thinner_lie_lower_by_half_of_that() -> None:
    """By hand: both 0.2 thinner in level slots have 0.1 more above and below; one alone leaves the bolt where it is."""
    plan = made(Lock())
    both, nose = (
        lies(as_built(Layout(Slots(plan, (0.0,) * 4, (0.0,) * 4, less).measured)))
        for less in ((0.2, 0.2), (0.2, 0.0))
    )
    assert (both.up, both.tilt, both.left) == pytest.approx((-0.1, 0.0, 0.2))
    assert (nose.up, nose.tilt, nose.left) == pytest.approx((0.0, 0.0, 0.1))
    assert nose.front == pytest.approx((0.1, 0.3))


def shallow(seed: int) -> Slots:
    """Return slots of one or both guides that were filed up to 0.5 too shallow, some fixed too high or low as well."""
    rng = seeded(f"shallow {seed}")
    plan = plan_of(seed)
    own = [rng.choice((0.0, rng.uniform(0.05, 0.45))) for _ in range(2)]
    up = [rng.choice((0.0, 0.0, rng.uniform(-0.3, 0.4))) for _ in range(2)]
    lows = [
        round(max(own[n // 2] + rng.uniform(-0.1, 0.1), 0.0), 2) if own[n // 2] else 0.0
        for n in range(4)
    ]
    floors: Ups = tuple(round(up[n // 2], 2) for n in range(4))
    return Slots(plan, floors, tuple(round(f - by, 2) for f, by in zip(floors, lows, strict=True)))


def filed_as_told(slots: Slots, found: dict[str, Verdict]) -> Slots:
    """Return the slots with what the verdicts say filed off, and those guides fixed anew that are to be."""
    floors, roofs = list(slots.floors), list(slots.roofs)
    for n, end in enumerate(ENDS):
        verdict = found.get(f"{end.partition('_')[0]}_guide")
        if verdict is None or verdict.word in KEPT:
            continue
        face = end.partition("_")[2]
        off = {
            p.where.partition(" ")[0]: p.depth for p in verdict.slot if f"{face} face" in p.where
        }
        if verdict.word == "move":
            assert verdict.back is not None
            outer = verdict.back.up if verdict.back.outer_up is None else verdict.back.outer_up
            by = verdict.back.up if face == "near" else outer
            floors[n], roofs[n] = floors[n] + by, roofs[n] + by
            shallow = [p.depth for p in verdict.roof if f"{face} face" in p.where]
            off["roof"] = max([0.0, *shallow])
        floors[n] -= off.get("floor", 0.0)
        roofs[n] += off.get("roof", 0.0)
    return Slots(slots.plan, tuple(floors), tuple(roofs))


def held_to(seed: int) -> str:
    """Do what the verdicts say, in the slots as they are drawn, and ask the sweep; return what was told."""
    slots = shallow(seed)
    layout = Layout(slots.measured)
    found = {v.part: v for v in verdicts(layout) if v.part.endswith("guide")}
    words = {v.word for v in found.values()}
    works = slots.works()
    if words <= {"good", "use"}:
        # within the tolerance a guide is good all the same
        assert works or words == {"good"} or slots.grazes(), seed
        return "kept" if works else "grazes"
    assert not works, (seed, slots)
    done = filed_as_told(slots, found)
    # in the middle, and down in the filed slots, as the spring presses it
    down = Slots(slots.plan, done.floors, tuple(map(min, done.floors, done.roofs)))
    told = [verdict_words(layout, v) for v in found.values() if v.word == "file"]
    if not all("filed, that is gone" in words for words in told):
        # nothing is promised where the other guide, good within the tolerance, is in the way by itself
        assert any(v.word == "good" and but_words(layout, v) for v in found.values()), seed
        assert not done.works(), seed
        return "not enough"
    for state in (done, down):
        if not state.works():
            assert state.grazes(), (seed, slots, done)
            return "grazes"
        assert state.fits(middle(state.places())), seed
    assert all(words.startswith("take ") for words in told)
    for part, mine in found.items():
        if mine.word == "file":
            floor = [p.depth for p in mine.slot if p.where.startswith("floor")]
            left = getattr(slots.plan, part).floor - max([0.0, *floor])
            assert not floor or left >= slots.plan.fit.metal_min
    # measured anew none of it is to be filed any more
    floors, roofs = (tuple(round(y, 6) for y in ends) for ends in (done.floors, done.roofs))
    again = verdicts(Layout(Slots(slots.plan, floors, roofs).measured))
    assert {v.word for v in again} <= {"good", "use"}, seed
    return "move" if "move" in words else "file"


@pytest.mark.slow
def test_roofs_of_many_locks_filed_as_told_work() -> None:
    told = [held_to(seed) for seed in range(60)]
    assert told.count("file") > 15
    assert told.count("kept") > 10
    assert told.count("move") > 3
    assert told.count("grazes") < 4


def of_front(slots: Slots) -> tuple[str, Verdict]:
    layout = Layout(slots.measured)
    mine = next(v for v in verdicts(layout) if v.part == "front_guide")
    return verdict_words(layout, mine), mine


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_slot_too_shallow_is_to_be_filed(units: str) -> None:
    plan = made(Lock().with_value("shackle.drop", 9.5).with_value("units", units))
    show = Layout(plan).show
    told, mine = of_front(Slots(plan, (0.0,) * 4, (-0.25, -0.15, 0.0, 0.0)))
    assert mine.word == "file"
    assert told.startswith(
        f"take {show(0.25)} off the roof of its slot at its near face and {show(0.15)} at its outer face; as it is, "
    )
    assert told.endswith("; filed, that is gone, and the slot is as high as planned")
    data = verdict_data(mine)
    assert [patch["depth"] for patch in data["file"]] == [0.25, 0.15]
    assert data["file_area"] == pytest.approx(0.2 * plan.front_guide.width)
    # alike from end to end
    told, _ = of_front(Slots(plan, (0.0,) * 4, (-0.3, -0.3, 0.0, 0.0)))
    assert told.startswith(f"take {show(0.3)} off the roof of its slot; ")


def test_one_with_room_enough_is_used_and_one_fixed_too_high_as_well_is_told_both() -> None:
    plan = made(Lock().with_value("shackle.drop", 9.5))
    told, mine = of_front(Slots(plan, (0.0,) * 4, (-0.14, -0.14, 0.0, 0.0)))
    assert mine.word == "use"
    assert "0.14 mm more than wanted at the roof of the slot" in told
    assert "0.03 mm of play is left above and below" in told
    told, mine = of_front(Slots(plan, (0.9, 0.9, 0.0, 0.0), (0.6, 0.6, 0.0, 0.0)))
    assert mine.word == "move"
    assert told.startswith("fix it 0.9 mm lower, and take 0.3 mm off the roof of its slot; ")
    # one that was filed far too high is not to be filed
    told, mine = of_front(Slots(plan, (0.0,) * 4, (0.8, 0.8, 0.0, 0.0)))
    assert mine.word == "remake"
    assert "lacks 0.8 mm at the roof of the slot" in told


def test_a_floor_too_high_is_filed_and_no_more_of_the_roof_than_is_in_the_way() -> None:
    # by hand: filed 0.3 the floor is where it was to be, and the roof still stands 0.2 higher than planned
    plan = made(Lock().with_value("shackle.drop", 9.5))
    told, mine = of_front(Slots(plan, (0.3, 0.3, 0.0, 0.0), (0.2, 0.2, 0.0, 0.0)))
    assert told.startswith("take 0.3 mm off the floor of its slot, or fix it 0.3 mm lower; ")
    assert told.endswith("; filed, that is gone, and the leg can lift by 0.2 mm more than planned")
    assert {patch.where.partition(",")[0] for patch in mine.slot} == {FLOOR}


@pytest.mark.parametrize(("least", "filed"), [(1.55, True), (1.56, False)])
def test_a_floor_is_left_as_thick_as_its_maker_files_at_its_thinnest(
    least: float, filed: bool
) -> None:
    # 2 thick, and 0.45 too high at its near face, 0.25 at the other: 1.55 is left
    plan = made(Lock().with_value("shackle.drop", 9.5)).with_value("fit.metal_min", least)
    told, mine = of_front(Slots(plan, (0.45, 0.25, 0.0, 0.0), (0.2, 0.2, 0.0, 0.0)))
    assert ("off the floor" in told) is filed
    assert mine.word == ("file" if filed else "move")


def test_a_slot_that_is_alike_from_end_to_end_is_told_as_one_place_and_the_deepest_places_first() -> (
    None
):
    def told(*deep: float) -> str:
        places = ("lower edge", f"{ROOF}, near face", f"{ROOF}, outer face", "tip")
        patches = tuple(
            Patch(where, d, 1.0, (0.0, 0.0)) for where, d in zip(places, deep, strict=True)
        )
        lacks = Fitting("remake", (), patches, 0.0, max(deep), 0.0, 3.0)
        return fitting_words(Layout(Lock()), lacks).partition(", 3.0 mm2")[0]

    assert (
        told(1.2, 0.8, 0.8, 0.3)
        == f"lacks 1.2 mm at the lower edge, 0.8 mm at the {ROOF}, and 1 more"
    )
    assert (
        told(0.5, 0.8, 0.8, 0.3)
        == f"lacks 0.8 mm at the {ROOF}, 0.5 mm at the lower edge, and 1 more"
    )
    assert told(0.2, 0.8, 0.7, 0.1).startswith(
        f"lacks 0.2 mm at the lower edge, 0.8 mm at the {ROOF}, near face"
    )


def test_a_roof_is_filed_since_and_a_floor_is_not() -> None:
    lock = with_measured(made(Lock()), "front_guide", "as_fixed.front_near_roof", 0.3)
    assert math.isclose(after_filing(lock, "front_guide", "as_fixed.front_near_roof", 0.1), 0.2)


def test_the_finding_names_the_guide_whose_slot_is_too_shallow_and_what_holds_the_bolt_so() -> None:
    plan, level = made(Lock()), (0.0,) * 4
    (stuck,) = [
        f.code
        for f in findings(Layout(Slots(plan, level, (0.0, 0.0, -0.3, -0.3)).measured))
        if f.code.startswith("bolt-stuck")
    ]
    assert stuck == "bolt-stuck-in-rear-guide"
    said = {}
    for name, slots in (
        ("legs", Slots(plan, level, level, (0.2, 0.2))), ("slots", Slots(plan, level, (-0.1,) * 4)),
    ):  # fmt: skip
        (said[name],) = [
            f.text for f in findings(Layout(slots.measured)) if f.code == "bolt-lies-off"
        ]
    assert said["legs"].startswith(
        "As the legs came out, the bolt lies 0.1 mm lower above the pivot; 0.2 mm"
    )
    assert said["slots"].startswith("As the guides are fixed, the bolt lies 0.05 mm lower")
