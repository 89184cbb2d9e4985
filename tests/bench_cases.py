"""Thirty-two locks on the bench in which one size is off, what is read off them, and the cause that is found.

The readings come from a model of the tests' own: the bolt put together from boxes and circles by shapely, by the
design page's iteration and not by the program's contour, and a bit that is turned in it in the space of key angle
and travel (`tests/config_space.py`), which knows no law. They are rounded to 0.1 mm and to a degree.
`python -m tests.bench_cases` prints the table.
"""

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely.geometry import Point, box
from shapely.geometry.base import BaseGeometry

from core.change.causes import Diagnosis, diagnose
from core.change.causes_text import tied
from core.lock.lock import Lock
from core.made.marking import mark_made
from tests.config_space import Followed, Rig, follow, true_bit
from tests.designs import fixed_point, plausible, seeded

CASES = 32
PARTS = ("key", "bolt", "back_plate", "front_plate", "shackle")
STEP = math.radians(0.5)
ROUND = 256
"""Chords of a quarter circle."""
SUSPECTS = (
    ("key", "key.radius"), ("key", "key.bit_thickness"),
    ("bolt", "fit.key_clearance"), ("bolt", "bolt.depth"), ("bolt", "key.bit_thickness"), ("bolt", "shackle.gap"),
    ("bolt", "as_cut.nose"), ("bolt", "as_cut.unlocking_flank"), ("bolt", "as_cut.locking_flank"),
    ("bolt", "as_cut.unlocking_foot"), ("bolt", "as_cut.locking_foot"), ("bolt", "fit.detent_capture"),
    ("back_plate", "bolt_line.height"), ("back_plate", "pivot.across"), ("back_plate", "pivot.hole"),
    ("shackle", "shackle.across"),
)  # fmt: skip
"""What can be off and is drawn for the table, by its workpiece and path."""
BIT_OFF = ("key", "bit.off_centre")
"""One more suspect of the program: it shows where the key lets go and takes up, each stroke otherwise."""
ONLY_MORE = ("as_cut.unlocking_foot", "as_cut.locking_foot", "pivot.hole")
"""What a bench finds too large only: metal does not grow on a foot, and a shank goes into its hole."""


@dataclass(frozen=True)
class Metal:
    """The parts of a lock by themselves [mm]; `off` is how far off which of them is, by part and path."""

    lock: Lock
    off: Mapping[tuple[str, str], float] = field(default_factory=dict)

    def by(self, part: str, path: str) -> float:
        return self.off.get((part, path), 0.0)

    @property
    def throw(self) -> float:
        asked = self.lock.shackle
        return asked.engagement + asked.gap + self.by("bolt", "shackle.gap")

    @property
    def nose(self) -> float:
        """How far the tip is from the centreline, locked."""
        asked = self.lock.shackle
        return (
            abs(asked.across)
            - asked.diameter / 2
            + asked.engagement
            + self.by("bolt", "as_cut.nose")
        )

    def bolt(self) -> BaseGeometry:
        """Return the bolt at the locked seat, from the pivot as it was planned."""
        lock, throw = self.lock, self.throw
        clearance = lock.fit.key_clearance + self.by("bolt", "fit.key_clearance")
        low = lock.bolt_line.height - lock.bolt.depth - self.by("bolt", "bolt.depth")
        cut = fixed_point(
            lock.key.radius, lock.key.bit_thickness + self.by("bolt", "key.bit_thickness"), clearance, throw,
            math.radians(lock.tooth.pickup_angle), low,
        )  # fmt: skip
        circle = lock.key.radius + clearance
        right = cut.offset + self.by("bolt", "as_cut.unlocking_flank")
        left = -cut.flank - self.by("bolt", "as_cut.locking_flank")
        top, lobe = lock.bolt_line.height, lock.bolt.lobe_width
        body = box(-cut.flank - lobe, low, cut.offset + lobe, top)
        out = body.difference(box(left, low - 1, right, circle))
        halves = []
        for edge, centre, side, far in (
            (right, -throw, "unlocking", 99.0), (left, 0.0, "locking", -99.0),
        ):  # fmt: skip
            half = out.intersection(box(min(edge, far), low - 1, max(edge, far), top))
            half = half.difference(Point(centre, 0).buffer(circle, quad_segs=8 * ROUND))
            lost = self.by("bolt", f"as_cut.{side}_foot")
            halves.append(rounded(half, edge, lost) if lost else half)
        bridge = box(left, circle, right, top)
        return shapely.union_all([*halves, bridge])

    def readings(self) -> dict[str, float]:
        """Return what is read off, unrounded [mm, degrees]."""
        lock, bolt, throw = self.lock, self.bolt(), self.throw
        key = lock.key
        bit = true_bit(
            key.radius + self.by("key", "key.radius"),
            key.bit_thickness + self.by("key", "key.bit_thickness"),
            off=self.by(*BIT_OFF),
        )
        capture = lock.fit.detent_capture + self.by("bolt", "fit.detent_capture")
        across = self.by("back_plate", "pivot.across") * (1 if lock.unlocks == "right" else -1)
        up = self.by("back_plate", "bolt_line.height")
        play = (lock.pivot.hole - key.shank + self.by("back_plate", "pivot.hole")) / 2
        low = lock.bolt_line.height - lock.bolt.depth - self.by("bolt", "bolt.depth")
        outwards = -1 if lock.unlocks == "right" else 1
        face = (
            abs(lock.shackle.across)
            - lock.shackle.diameter / 2
            + outwards * self.by("shackle", "shackle.across")
        )
        guide = lock.front_guide
        found = {
            "throw": throw,
            "engagement": self.nose - face,
            "gap": throw - self.nose + face,
            "stands_out": self.nose - guide.from_centreline - guide.width,
            "room": low + up - key.shank / 2,
        }
        for stroke, way in (("unlocking", 1), ("locking", -1)):
            # the bolt's resistance drives the shank back through its play
            rig = Rig(bolt, [bit], throw, pivot=(across - way * play, -up))
            free = follow(rig, stroke, capture=None, until=math.pi / 2, step=STEP)  # type: ignore[arg-type]
            drawn = follow(rig, stroke, capture=capture, until=math.pi / 2, step=STEP)  # type: ignore[arg-type]
            gone = free.travel if way > 0 else throw - free.travel
            if free.blocked is not None or gone.min() < -0.3 or gone.max() > throw + 1:
                raise ValueError("the bit comes up outside the gap: nothing turns")
            found[f"{stroke}_left"] = throw - float(gone.max())
            found[f"{stroke}_starts"] = way * starts(free, gone)
            snapped = snaps(free, drawn, gone, throw, capture)
            if snapped is not None:
                found[f"{stroke}_snaps"] = way * snapped
                found["snap"] = throw - capture
        return found

    def read(self) -> dict[str, float]:
        """Return what is read off, rounded to 0.1 mm and to a degree."""
        return {
            name: float(round(value)) if name.endswith(("starts", "snaps")) else round(value, 1)
            for name, value in self.readings().items()
        }


def rounded(half: BaseGeometry, edge: float, lost: float) -> BaseGeometry:
    """Return one side of a bolt with its foot rounded so that so much of the flank is lost, found by halving."""
    points = shapely.get_coordinates(half)
    foot = points[np.abs(points[:, 0] - edge) < 1e-6][:, 1].min()
    near = Point(edge, foot).buffer(2.5 * lost)

    def cut(radius: float) -> BaseGeometry:
        soft = half.buffer(-radius, quad_segs=ROUND).buffer(radius, quad_segs=ROUND)
        return half.difference(near.difference(soft))

    few, many = 0.0, 8 * lost
    for _ in range(30):
        middle = (few + many) / 2
        # how high the flank begins: the lowest place at which it is still whole
        there = box(edge - 1e-4, foot - 1, edge + 1e-4, foot + 9).intersection(cut(middle))
        few, many = (middle, many) if there.bounds[1] - foot < lost else (few, middle)
    return cut(few)


def starts(free: Followed, gone: np.ndarray) -> float:
    """Return the key angle [degrees] at which the bolt begins to move."""
    moved = int(np.flatnonzero(gone > 1e-3)[0])
    a, b = free.angles[moved - 1], free.angles[moved]
    # a step back from there the push would be as much less
    later = gone[moved + 1] - gone[moved] if moved + 1 < len(gone) else gone[moved]
    share = min(gone[moved] / max(later, 1e-9), 1.0)
    return math.degrees(b - share * (b - a))


def snaps(
    free: Followed,
    drawn: Followed,
    gone: np.ndarray,
    throw: float,
    capture: float,
) -> float | None:
    """Return the key angle [degrees] at which the detent has the bolt, None where it never does."""
    home = throw if free.stroke == "unlocking" else 0.0
    there = np.flatnonzero(gone >= throw - capture - 1e-9)
    if not len(there) or abs(drawn.rests - home) > 1e-3:
        return None
    k = int(there[0])
    share = (throw - capture - gone[k - 1]) / max(gone[k] - gone[k - 1], 1e-9)
    return math.degrees(free.angles[k - 1] + share * (free.angles[k] - free.angles[k - 1]))


@dataclass(frozen=True)
class Case:
    """One lock with one size off [mm], what is read off it, and what is found."""

    seed: int
    part: str
    path: str
    by: float
    lock: Lock
    found: Diagnosis

    @property
    def place(self) -> int:
        """The place of the right cause, from 1; 0 where it is none of them."""
        names = [(cause.part, cause.suspect.path) for cause in self.found.causes]
        return names.index((self.part, self.path)) + 1 if (self.part, self.path) in names else 0

    @property
    def tied(self) -> bool:
        """Whether the right cause is told as the likeliest, or as one that ties with it."""
        return (self.part, self.path) in {(c.part, c.suspect.path) for c in tied(self.found)}


def made(seed: int) -> Lock:
    """Return a lock whose parts are made just as planned."""
    lock = plausible(seed, roof="flat", outline="rectangle")
    for part in PARTS:
        lock = mark_made(lock, part)
    return lock


def case(seed: int) -> Case:
    """Return one case by its number: a size drawn by chance, off by 0.25 to 0.8 mm, that bears on a reading."""
    rng = seeded(f"bench case {seed}")
    lock = made(seed)
    plain = Metal(lock).readings()
    while True:
        part, path = rng.choice(SUSPECTS)
        by = round(rng.uniform(0.25, 0.8), 2)
        by *= 1 if path in ONLY_MORE else rng.choice((-1, 1))
        metal = Metal(lock, {(part, path): by})
        try:
            read = metal.read()
        except ValueError:
            continue  # such parts do not turn at all
        if any(abs(value - plain.get(name, value)) > (1.0 if name.endswith(("starts", "snaps")) else 0.1)
               for name, value in metal.readings().items()):  # fmt: skip
            return Case(seed, part, path, by, lock, diagnose(lock, read))


def table(cases: list[Case]) -> str:
    """Return the cases in lines, and what they come to."""
    lines = ["case  what is off                          by    place  first of all, and how sure"]
    for one in cases:
        if not one.found.causes:
            lines.append(
                f"{one.seed:4}  {one.part + ' ' + one.path:<34}{one.by:+5.2f}  nothing found"
            )
            continue
        first = one.found.causes[0]
        ties = len(tied(one.found))
        lines.append(
            f"{one.seed:4}  {one.part + ' ' + one.path:<34}{one.by:+5.2f}  {one.place:5}  "
            f"{first.part} {first.suspect.path} {first.off:+.2f}, {first.share * 100:.0f} %"
            + (f", one of {ties} alike" if ties > 1 else "")
        )
    places = Counter(one.place for one in cases)
    lines.append(
        f"right cause first {places[1]}, in the first three {sum(places[k] for k in (1, 2, 3))}, of {len(cases)}; "
        f"first or told as a tie with the first {sum(one.tied for one in cases)}"
    )
    return "\n".join(lines)


if __name__ == "__main__":
    print(table([case(seed) for seed in range(CASES)]))  # noqa: T201 - a script
