"""What a finding says would be rid of it is done, on locks by chance, and looked at again: the finding is gone.

Nothing of how a remedy was found is used here: it is set into the lock as a maker would set it, by the words and by the
values that come with them, and the whole lock is checked anew.
"""

import random
import re
from collections import Counter
from collections.abc import Iterator

import pytest

from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.remedies import Remedy, any_of
from core.lock.friction import CONDITIONS
from core.lock.lock import Lock
from core.parts import play
from core.turning import torque
from core.turning.freeing import NOTHING_FREES
from core.units import parse_length
from tests.designs import seeded
from tests.loaded_locks import changed, early, loaded

JAMMING = 160
STEPS = (
    ("tooth.pickup_angle", "tooth"), ("front_guide.from_centreline", "rear guide"), ("bolt_line.height", "bolt line"),
    ("friction.condition", "friction"),
)  # fmt: skip
"""The step to which the finding leads, by what it names, the first of them first."""
EARLY = {
    "friction__condition": "dry",
    "plate__height": 160.0,
    "plate__width": 160.0,
    "pivot__below": 90.0,
}


def jammed() -> Iterator[Lock]:
    """Yield locks by chance that may jam: early pick-ups, near guides, high lines, rough metals, mm and inches."""
    for k in range(JAMMING):
        rng = seeded(f"jammed {k}")
        lock = _by_the_wedge(rng) if k % 2 else _by_the_guides(rng, k)
        yield changed(lock, units=rng.choice(("mm", "in")))


def _by_the_wedge(rng: random.Random) -> Lock:
    """Return a lock of an early pick-up, some of them with guides that bind as well."""
    lock = early(rng.uniform(15, 33), friction__condition=rng.choice(CONDITIONS))
    if rng.random() < 0.5:
        return lock
    up, near = rng.uniform(0, 30), [rng.uniform(1, 15) for _ in range(2)]
    lock = changed(lock, **EARLY, bolt_line__height=26 + up, bolt__depth=12 + up)
    lock = changed(lock, front_guide__from_centreline=near[0], rear_guide__from_centreline=near[1])
    return changed(lock, shackle__across=-55.0, fit__bridge_min=rng.choice((2.5, 3.5 + up)))


def _by_the_guides(rng: random.Random, k: int) -> Lock:
    """Return a plausible lock with its guides near each other and the push far below them."""
    lock = changed(loaded(k, roof="flat"), friction__condition=rng.choice(CONDITIONS))
    near = [rng.uniform(1, 10) for _ in range(2)]
    lock = changed(lock, front_guide__from_centreline=near[0], rear_guide__from_centreline=near[1])
    up = rng.uniform(0, 15)
    return changed(
        lock, bolt_line__height=lock.bolt_line.height + up, bolt__depth=lock.bolt.depth + up
    )


def jam(lock: Lock) -> Finding | None:
    found = torque.CHECK.findings(Layout(lock))
    return next((f for f in found if f.code == torque.BOLT_JAMS.name), None)


def as_read(lock: Lock, words: str) -> dict[str, float | str]:
    """Return the values that the words of a remedy for a jam set, by path, as somebody reads them."""
    made: dict[str, float | str] = {}
    for part in words.split(" together with "):
        if part == "grease":
            made["friction.condition"] = "greased"
        elif read := re.fullmatch(r"a pick-up angle of ([\d.]+)°( or less)?", part):
            made["tooth.pickup_angle"] = float(read[1])
        elif read := re.fullmatch(r"both guides (.+) farther from the centreline( or more)?", part):
            for guide in ("front_guide", "rear_guide"):
                path = f"{guide}.from_centreline"
                made[path] = lock.value(path) + parse_length(read[1], lock.units)
        elif read := re.fullmatch(r"a bolt line (.+) lower( or more)?", part):
            made["bolt_line.height"] = lock.bolt_line.height - parse_length(read[1], lock.units)
        else:
            pytest.fail(f"nobody can do as this says: {words}")
    return made


@pytest.mark.slow
def test_what_frees_a_bolt_that_jams_frees_it() -> None:
    named: Counter[str] = Counter()
    for lock in jammed():
        found = jam(lock)
        if found is None:
            continue
        assert any_of(found.remedies) in found.text
        assert bool(found.remedies) is (NOTHING_FREES not in found.text)
        for remedy in found.remedies:
            read = as_read(lock, remedy.words)
            assert read == pytest.approx(dict(remedy.changes)), remedy.words
            assert jam(remedy.applied(lock)) is None, remedy.words
            parts = remedy.words.split(" together with ")
            for part in parts if len(parts) > 1 else ():
                # all are named because all are needed
                rest = as_read(lock, " together with ".join(p for p in parts if p != part))
                assert jam(Remedy("", tuple(rest.items())).applied(lock)) is not None, remedy.words
            named.update(read.keys())
            named["together"] += len(parts) > 1
        paths = [path for remedy in found.remedies for path, _ in remedy.changes]
        wanted = [step for path, step in STEPS if path in paths]
        assert found.step == (wanted[0] if wanted else "tooth")
    assert named["tooth.pickup_angle"] > 10
    assert named["friction.condition"] > 10
    assert named["front_guide.from_centreline"] > 5
    assert named["bolt_line.height"] > 5
    assert named["together"] >= 3


def budget_told(lock: Lock) -> str:
    return " ".join(f.text for f in play.PART.findings(Layout(lock)) if f.code == "home-budget")


@pytest.mark.parametrize(
    ("draws", "slide", "hole"), [(1.01, 0.0, 6.02), (1.0, 0.0, 6.0), (1.0, 0.1, None)]
)
def test_a_smaller_hole_is_a_remedy_down_to_one_that_the_shank_fills(
    draws: float, slide: float, hole: float | None
) -> None:
    """By the triangle of 15, 20 and 25: the key lets go 20 less half a bit of 3 on, 1 mm before a throw of 19.5."""
    lock = changed(
        Lock(), key__radius=25.0, key__bit_thickness=3.0, key__shank=6.0, bolt_line__height=30.0, bolt__depth=15.0,
        shackle__engagement=18.0, shackle__gap=1.5, pivot__hole=6.4, tooth__pickup_angle=0.0,
        fit__slide_clearance=slide, fit__detent_capture=draws,
    )  # fmt: skip
    said = budget_told(lock)
    assert "to the detent: 1.0 mm as laid out, 0.2 mm by the shank" in said
    named = re.search(r"A pivot hole of (.+?) mm or less", said)
    assert (float(named[1]) if named else None) == hole
    # done as it is told, and where it is not told no hole helps
    assert bool(budget_told(changed(lock, pivot__hole=hole or 6.0))) is (hole is None)
