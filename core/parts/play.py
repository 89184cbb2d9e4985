"""Play: what the shank has in its hole and the bolt in its guides, and what it leaves to the detent at the most.

Each by itself, to first order: the shank gives way to the push, the bolt rides high or low in its guides or tilts
between them. Of the last two only one can be in guides that are in line: a bolt that rides at the top of both is level.
Where they are not, all is counted from how it lies in them, and it may be raised and tilted at once.
"""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from core.geometry.halving import edge_of
from core.layout.codes import Code
from core.layout.findings import Finding
from core.layout.layout import Layout, derived
from core.layout.outcomes import Outcome
from core.layout.part import BenchTable, Part
from core.layout.size_limits import Limit, Way
from core.layout.windows import Bound
from core.lock.lock import Lock
from core.mechanism.corner import carries, half_chord
from core.mechanism.tilted import tilted_travel
from core.mechanism.tooth_numbers import Tooth
from core.parts.bolt_lies import as_planned, lies
from core.parts.leaning import at_ends, leaning, leg_height
from core.parts.notches import reach
from core.parts.tooth import lesser_tooth, lobe
from core.units import show_angle

HOME_BUDGET = Code(
    "home-budget", "look", "tooth",
    "With all play against it the key leaves the bolt so far from its seat that the detent may not draw it home.",
)  # fmt: skip
PLAY_OVER_CLEARANCE = Code(
    "play-over-clearance", "look", "pivot",
    "With shank and bolt at the ends of their play the bit may rub on what it is to pass.",
)  # fmt: skip


@dataclass(frozen=True)
class Play:
    """What play there is, and what the key does with each: lengths [mm], `tilt` [rad].

    `shank` is how far that gives way in its hole, `slide` how far the bolt is raised or dropped from how it lies in its
    guides, `tilt` how far it leans from there, on the side on which it leans farther. `driven` and
    `shut_out` give, by name, the driven travel and how far off its seat the bolt lets the bit in; `least_driven` is the
    driven travel of a bolt raised and tilted at once as its guides let it, at the least.
    """

    shank: float
    slide: float
    tilt: float
    driven: Mapping[str, float]
    shut_out: Mapping[str, float]
    least_driven: float


@dataclass(frozen=True)
class Budget:
    """What is left to the detent at the most [mm]: the sum of what is left as `laid_out` and of what play costs.

    `both` is what a bolt that is raised and tilted at once costs.
    """

    laid_out: float
    shank: float
    raised: float
    tilted: float
    both: float

    @property
    def guides(self) -> float:
        """What the play in the guides costs: the bolt raised, tilted, or both at once, whichever is most."""
        return max(self.raised, self.tilted, self.both)

    @property
    def most(self) -> float:
        """The sum."""
        return self.laid_out + self.shank + self.guides


def shank_play(lock: Lock) -> float:
    """Return how far [mm] the shank gives way in its hole."""
    return max(lock.pivot.hole - lock.key.shank, 0.0) / 2


@derived
def play(layout: Layout) -> Play | None:
    """Return what play does; None where the key drives nothing."""
    lock, cut = layout.lock, lesser_tooth(layout)
    if not cut.drives:
        return None
    return _play(layout, cut, shank_play(lock), 0.0)


def _play(layout: Layout, cut: Tooth, shank: float, more: float) -> Play:
    """Return what play does with so much `more` room [mm] above and below the bolt in its guides than they leave it."""
    # where it lies it has as much room to rise as to drop, all of it level
    slide, (right, left) = max(lies(layout).left + more, 0.0), leaning(layout, more)
    radius, off, foot = cut.radius, cut.pickup_offset, cut.flank_foot
    below = cut.bolt_line - leg_height(layout) / 2 - foot

    def travel(angle: float, middle: float) -> float:
        return tilted_travel(radius, off, foot, angle, middle, below)

    # the push on a flank leans the bolt, ahead below its guides; for locking the mirror image
    both = travel(right.angle, right.middle), travel(left.angle, -left.middle)
    back = travel(-left.angle, left.middle), travel(-right.angle, -right.middle)
    driven = {
        "shank": carries(radius, off + shank, foot),
        "raised": carries(radius, off, foot + slide),
        "dropped": carries(radius, off, foot - slide),
        "tilted": min(both),
        "tilted_back": max(back),
    }
    beside = lobe(layout)
    # where the bit passes last on its way in
    open_below = beside.cornered or (beside.relieved and beside.lower <= 0)
    _, low = beside.mark if open_below else beside.relief_end
    let_in = {"shank": beside.shut_out - shank}
    for name, up in (("raised", slide), ("dropped", -slide)):
        moved = half_chord(radius, low) - half_chord(radius, low + up)
        let_in[name] = beside.shut_out + (moved if low > abs(up) else 0.0)
    least = min(driven["raised"], driven["tilted"])
    if not as_planned(layout):
        least = min((least, *_at_ends(layout, cut, more, below)))
    return Play(shank, slide, max(right.angle, left.angle), driven, let_in, least)


def _at_ends(layout: Layout, cut: Tooth, more: float, below: float) -> Iterator[float]:
    """Yield the driven travel [mm] of both strokes at the ends of all that the bolt can be moved in its guides.

    In guides that are in line it is raised alone there, or tilted alone.
    """
    here, out = lies(layout).motion, cut.pickup_offset + cut.driven_travel
    for angle, up, slope in at_ends(layout, more):
        for way in (1, -1):
            x, _ = here.point((way * out, cut.flank_foot))
            ahead, raised = way * angle * below, up + slope * x
            yield carries(cut.radius, cut.pickup_offset + ahead, cut.flank_foot + raised)


@derived
def budget(layout: Layout) -> Budget | None:
    """Return what is left to the detent at the most, as a sum; None where the key drives nothing."""
    cut, has = lesser_tooth(layout), play(layout)
    return None if has is None else _budget(cut, has)


def _budget(cut: Tooth, has: Play) -> Budget:
    shank, raised, tilted = (
        cut.driven_travel - has.driven[name] for name in ("shank", "raised", "tilted")
    )
    both = cut.driven_travel - has.least_driven
    return Budget(cut.home_travel, shank, raised, max(tilted, 0.0), max(both, 0.0))


def _budget_spare(layout: Layout) -> float:
    left = budget(layout)
    # where the detent does not reach as it is laid out the tooth says so
    if left is None or left.laid_out > reach(layout):
        return math.inf
    return reach(layout) - left.most


def _budget_said(layout: Layout) -> tuple[str, float, float]:
    left, show = budget(layout), layout.show
    if left is None:
        raise AssertionError("a key that drives nothing leaves nothing to sum")
    text = (
        f"With play against it the key leaves {show(left.most)} to the detent: {show(left.laid_out)} as laid out, "
        f"{show(left.shank)} by the shank in its hole, {show(left.guides)} by the bolt in its guides. The detent draws "
        f"{show(reach(layout))}."
    )
    return text, left.most, reach(layout)


def _budget_ways(layout: Layout) -> Iterable[Way]:
    lock, cut, left = layout.lock, lesser_tooth(layout), budget(layout)
    if left is None:
        return
    draws = reach(layout)
    shank = draws - left.laid_out - left.guides
    if shank >= 0:  # a shank that fills its hole has no play: a smaller hole gives nothing back
        yield Way("pivot.hole", "high", lock.key.shank + 2 * shank, "a pivot hole of {}")
    if lock.detent.kind == "as felt" or (
        lock.detent.kind == "notches" and lock.detent.reach == "as measured"
    ):
        yield Way("fit.detent_capture", "low", left.most, "a detent's reach of {}")

    def holds(slide: float) -> bool:
        more = slide - lock.fit.slide_clearance
        return _budget(cut, _play(layout, cut, shank_play(lock), more)).most <= draws

    if not holds(lock.fit.slide_clearance) and holds(0.0):
        most = edge_of(holds, 0.0, lock.fit.slide_clearance)
        yield Way("fit.slide_clearance", "high", most, "a slide clearance of {}")


def _rub_spare(layout: Layout) -> float:
    lock = layout.lock
    loose = shank_play(lock)
    # without play of the shank the clearances by themselves say it
    return lock.fit.key_clearance - loose - lock.fit.slide_clearance if loose > 0 else math.inf


def _rub_said(layout: Layout) -> tuple[str, float, float]:
    lock, show = layout.lock, layout.show
    loose, slide = shank_play(lock), lock.fit.slide_clearance
    text = (
        f"In its hole the shank gives way by {show(loose)}, in its guides the bolt by {show(slide)}: more than the "
        f"key clearance of {show(lock.fit.key_clearance)}."
    )
    return text, loose + slide, lock.fit.key_clearance


def _rub_ways(layout: Layout) -> Iterable[Way]:
    lock = layout.lock
    loose, slide, clear = shank_play(lock), lock.fit.slide_clearance, lock.fit.key_clearance
    if clear >= slide:
        yield Way("pivot.hole", "high", lock.key.shank + 2 * (clear - slide), "a pivot hole of {}")
    yield Way("fit.key_clearance", "low", loose + slide, "a key clearance of {}")


LIMITS = (
    Limit(HOME_BUDGET, "what the detent draws, play counted", _budget_spare, _budget_said, _budget_ways),
    Limit(PLAY_OVER_CLEARANCE, "the key clearance, play counted", _rub_spare, _rub_said, _rub_ways),
)  # fmt: skip


def _findings(layout: Layout) -> Iterable[Finding]:
    for limit in LIMITS:
        yield from limit.findings(layout)


def _bounds(layout: Layout) -> Iterable[Bound]:
    for limit in LIMITS:
        yield from limit.bounds(layout)


def _report(layout: Layout) -> Mapping[str, Any]:
    """Return `play` and `home_budget`.

    `play`: `shank` and `slide` [mm], `tilt` [degrees]; `driven` [mm] with each of them by itself; `clearance` [mm] that
    is left of the key's, and `shut_out` [mm], how far off its seat the bolt then lets the bit in. `home_budget` [mm]:
    `most` is the sum of `laid_out`, `shank` and the greatest of `raised`, `tilted` and `both`, raised and tilted at
    once, which costs more than either in guides that are not in line; `draws` what the detent does.
    Both null where the key drives nothing.
    """
    has, left = play(layout), budget(layout)
    if has is None or left is None:
        return {"play": None, "home_budget": None}
    clear = layout.lock.fit.key_clearance
    return {
        "play": {
            "shank": has.shank, "slide": has.slide, "tilt": math.degrees(has.tilt), "driven": dict(has.driven),
            "clearance": {"shank": clear - has.shank, "dropped": clear - has.slide},
            "shut_out": dict(has.shut_out),
        },
        "home_budget": {
            "laid_out": left.laid_out, "shank": left.shank, "raised": left.raised, "tilted": left.tilted,
            "both": left.both, "most": left.most, "draws": reach(layout),
        },
    }  # fmt: skip


def _bench(layout: Layout) -> Iterable[BenchTable]:
    has, left, show = play(layout), budget(layout), layout.show
    if has is None or left is None:
        return
    driven, let_in = has.driven, has.shut_out
    leans = show_angle(math.degrees(has.tilt))
    both, together = [], "together, the worse of the last two"
    if not as_planned(layout):
        both = [("raised and tilted at once", show(left.both))]
        together = "together, the worst of the last three"
    yield BenchTable(
        "Left to the detent, at the most", 11,
        (
            ("as laid out", show(left.laid_out)),
            (f"shank, {show(has.shank)} loose in its hole", show(left.shank)),
            (f"bolt raised by {show(has.slide)}, or", show(left.raised)),
            (f"tilted by {leans} in its guides", show(left.tilted)),
            *both,
            (together, show(left.most)),
            ("the detent draws over", show(reach(layout))),
        ),
    )  # fmt: skip
    yield BenchTable(
        "What play does", 12,
        (
            ("driven, bolt raised and dropped", f"{show(driven['raised'])} and {show(driven['dropped'])}"),
            ("driven, bolt tilted either way", f"{show(driven['tilted'])} and {show(driven['tilted_back'])}"),
            ("driven, shank giving way", show(driven["shank"])),
            ("bit comes in, raised and dropped", f"{show(let_in['raised'])} and {show(let_in['dropped'])} off"),
            ("bit comes in, shank giving way", f"{show(let_in['shank'])} off"),
        ),
    )  # fmt: skip


def _spare(layout: Layout) -> float | None:
    left = budget(layout)
    return None if left is None else reach(layout) - left.most


PART = Part(
    "play",
    87,
    codes=tuple(limit.code for limit in LIMITS),
    findings=_findings,
    bounds=_bounds,
    outcomes=(
        Outcome("home_budget", "detent's reach beyond what play leaves to it", 31, 1, _spare),
    ),
    report=_report,
    bench=_bench,
)
