"""Sixty-six made locks in which one size came out otherwise, judged by the program and by a sweep that knows no law.

The referee puts the parts together as they are: the bolt's outline, the key's bit and the pivot in the space of key
angle and travel (`tests/config_space.py`), walls and guides by shapely, what goes into what by subtraction.
`python -m tests.made_cases` prints the table.
"""

from collections import Counter
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import Point

from core.change.consequences import as_fact
from core.layout.layout import Layout
from core.lock.facts import as_made, made_to
from core.lock.lock import Lock, spec_of
from core.made.fitting import KEPT
from core.made.marking import mark_made
from core.made.verdicts import verdicts
from core.mechanism.law import STROKES
from core.whole import assembly
from tests.config_space import Corners, Rig, follow, outline, true_bit
from tests.designs import plausible, seeded
from tests.plates import inner_wall

CASES = 66
SIZES = (
    "key.radius", "key.radius", "key.bit_thickness", "key.shank", "pivot.below", "pivot.below", "pivot.hole",
    "bolt.depth", "bolt.thickness", "bolt.nose_height", "bolt.tail_height", "bolt.lobe_width", "fit.key_clearance",
    "shackle.across", "shackle.diameter", "shackle.drop", "front_guide.width", "rear_guide.floor", "plate.rim",
    "plate.thickness",
)  # fmt: skip
"""What came out otherwise, those that matter most twice."""


@dataclass(frozen=True)
class Case:
    """One made lock in which the size at `path` is `by` [mm] off; what the program and the referee say of it."""

    seed: int
    path: str
    by: float
    lock: Lock
    words: dict[str, str]
    fault: str

    @property
    def kept(self) -> bool:
        """Whether the program leaves every part as it is, but for the gauge, which does not turn."""
        return all(word in KEPT for part, word in self.words.items() if part != "key_gauge")

    @property
    def right(self) -> bool:
        """Whether both say the same."""
        return self.kept is (self.fault == "")


def case(seed: int) -> Case:
    """Return one case by its number."""
    rng = seeded(f"made case {seed}")
    while True:
        lock = plausible(seed, roof="flat", outline=rng.choice(("round", "rectangle")))
        for part in assembly.workpieces():
            lock = mark_made(lock, part)
        path, by = rng.choice(SIZES), rng.choice((-1, 1)) * rng.choice((0.06, 0.3, 0.8))
        value = round(lock.value(path) + by, 6)
        if spec_of(path).low <= value <= spec_of(path).high and value > 0:
            break
    new = as_fact(lock, path, value)
    assert new is not None
    words = {v.part: str(v.word) for v in verdicts(Layout(new))}
    return Case(seed, path, by, new, words, referee(new))


def bit_of(key: Lock) -> Corners:
    """Return the bit of a key as it is made, from the lock that it is made to."""
    size, off = key.key, key.bit
    return true_bit(size.radius, size.bit_thickness, off=off.off_centre, corners=off.corners)


def referee(lock: Lock) -> str:
    """Return the first thing that does not work with all parts as they are, nothing where all do."""
    now, bolt, key = as_made(lock), made_to(lock, "bolt"), made_to(lock, "key")
    plate, shackle = made_to(lock, "back_plate"), made_to(lock, "shackle")
    own = Layout(replace(bolt, made=()))
    lift = np.array([0.0, now.bolt_line.height - bolt.bolt_line.height])
    area = shapely.transform(outline(own), lambda q: q + lift)
    throw = bolt.shackle.engagement + bolt.shackle.gap
    rig = Rig(area, [bit_of(key)], throw)
    for stroke in STROKES:
        seen = follow(rig, stroke, capture=now.fit.detent_capture)
        if seen.blocked is not None:
            return f"the bit is stopped while {stroke}"
        if abs(seen.rests - (throw if stroke == "unlocking" else 0.0)) > 1e-3:
            return f"the bolt is not brought home while {stroke}"
        if seen.travel.min() < -0.05 or seen.travel.max() > throw + 0.05:
            return "the bit pushes the bolt past its seat"
    if area.intersection(Point(0, 0).buffer(key.key.shank / 2)).area > 1e-6:
        return "the shank is in the bolt"
    face = abs(shackle.shackle.across) - shackle.shackle.diameter / 2
    engagement = -area.bounds[0] - face
    if engagement < 0.75 * now.shackle.engagement:
        return "the nose hardly goes in"
    if throw - engagement < min(0.2, now.shackle.gap):
        return "the nose does not come out"
    roof = bolt.key.radius + bolt.fit.key_clearance
    if bolt.bolt_line.height - roof < now.fit.bridge_min - 1e-9:
        return "the bridge is thin"
    if key.key.shank > plate.pivot.hole + 1e-9:
        return "the shank does not go into its hole"
    wall = inner_wall(now, 90)
    circle = Point(0, 0).buffer(key.key.radius + now.fit.key_clearance - 1e-3)
    if not wall.contains(circle):
        return "the key strikes the wall"
    for part, leg in (("front_guide", "nose_height"), ("rear_guide", "tail_height")):
        guide = made_to(lock, part)
        room = getattr(guide.bolt, leg) + 2 * guide.fit.slide_clearance
        if getattr(bolt.bolt, leg) > room - 0.02 + 1e-9:
            return f"the {leg} is too much for the {part}"
        if getattr(bolt.bolt, leg) < room - 2 * now.fit.slide_clearance - 0.5:
            return f"the {leg} rattles in the {part}"
        if bolt.bolt.thickness > guide.bolt.thickness + now.fit.made_tolerance:
            return f"the bolt is too thick for the {part}"
        side, at = (-1, 0.0) if part == "front_guide" else (1, throw)
        values, line = getattr(guide, part), now.bolt_line.height
        slot = line - getattr(guide.bolt, leg) - guide.fit.slide_clearance
        ends = sorted(
            (side * values.from_centreline, side * (values.from_centreline + values.width))
        )
        floor = shapely.box(ends[0], slot - values.floor, ends[1], slot)
        if (
            shapely.transform(area, lambda q, by=at: q + np.array([by, 0.0]))
            .intersection(floor)
            .area
            > 1e-3
        ):
            return f"the body strikes the {part}"
    if bolt.bolt.thickness < 0.8 * now.bolt.thickness - 1e-9:
        return "the bolt is thin"
    return ""


def table(cases: list[Case]) -> str:
    """Return the cases in lines, and what they come to."""
    lines = ["case  what is off               by      program            referee"]
    for one in cases:
        bad = sorted({w for p, w in one.words.items() if w not in KEPT and p != "key_gauge"})
        said = ", ".join(bad) or ("use" if "use" in one.words.values() else "good")
        mark = "" if one.right else "  <<"
        lines.append(
            f"{one.seed:4}  {one.path:<24}{one.by:+6.2f}  {said:<17}  {one.fault or 'works'}{mark}"
        )
    told = Counter((one.kept, one.fault == "") for one in cases)
    lines.append(
        f"left as they are and work {told[True, True]}; told to do something and do not work {told[False, False]}; "
        f"false file, plug or remake {told[False, True]}; false good or use {told[True, False]}"
    )
    return "\n".join(lines)


if __name__ == "__main__":
    print(table([case(seed) for seed in range(CASES)]))  # noqa: T201 - a script
