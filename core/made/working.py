"""Whether made parts work together, whatever shape was wanted for them: what is wrong, in words, or nothing.

Parts are taken as they are and put together, the rest as it is wanted for them. What is asked is what the lock is for:
the key goes round both ways and brings the bolt home, which does not jam on the way, the nose goes into the shackle and
comes clear of it, the metal that carries is there, and what goes into a hole or a slot goes in.
"""

import math
from collections.abc import Container, Iterator
from itertools import chain

from core.layout.layout import Layout, derived
from core.lock.as_fixed import ENDS, slot_paths
from core.lock.facts import made_to, record_of
from core.lock.fields import SOURCE_NONE
from core.lock.lock import Lock
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt_contour import bolt, nose_face
from core.parts.made_bolt import MadeCourse
from core.parts.notches import reach
from core.parts.tooth import course, lesser_tooth, tooth
from core.turning import fouls
from core.turning.torque import jam_words
from core.whole import assembly
from core.whole.as_built import BOLT, as_built, built_of

LEAST_SHARE = 0.75
"""Share of the engagement asked for that a nose must keep; common practice, no source."""
LEAST_GAP = 0.2
"""Gap [mm] between nose and shackle at the unlocked seat that keeps them apart; common practice, no source."""
LOOSE = 0.5
"""Play [mm] of a leg in its slot beyond what was wanted, with which the bolt still runs; common practice, no source."""
LIP = 0.5
"""Least lip under the nose as a share of the bolt's thickness; common practice, no source."""
THIN = 0.8
"""Share of a wanted thickness that still carries; common practice, no source."""
OF_THE_DRIVE = frozenset(("no-tooth", "no-drive", "home-travel", "key-fouls-bolt"))
"""What no lock works with, be it asked for or not."""


def fault(layout: Layout, parts: Container[str], meant: Layout) -> str | None:
    """Return the first thing that is wrong with the made ones of `parts` as they are, in one clause; None: they work.

    What is wrong with the lock as it is `meant` is no fault of theirs, but for what keeps the key from its work.
    """
    built = built_of(layout, parts)
    found = chain(
        _of_sizes(layout, parts, built), _of_the_nose(layout, built), _of_the_lock(layout, meant, built),
        _of_the_jam(layout, meant, built),
    )  # fmt: skip
    return next(found, None)


def engagement(layout: Layout) -> float:
    """Return how far [mm] the nose stands in the shackle at the locked seat."""
    return -bolt(layout).nose_tip - nose_face(layout)


def open_gap(layout: Layout) -> float:
    """Return how far [mm] the nose stands clear of the shackle at the unlocked seat."""
    return tooth(layout).throw - engagement(layout)


def _of_the_lock(layout: Layout, meant: Layout, built: Layout) -> Iterator[str]:
    way = course(built)
    came = way.comes_home if isinstance(way, MadeCourse) else math.isfinite(way.caught_angle)
    if isinstance(way, MadeCourse) and way.blocked is not None:
        yield f"the bit is stopped in the gap at {way.blocked:.0f} degrees"
    for code, text in stops(built):
        # the law says what is left at the release; the relief may bring the bolt within the detent's reach
        excused = came if code == "home-travel" else code not in OF_THE_DRIVE and built is not meant
        if not excused or (code != "home-travel" and code not in dict(stops(meant))):
            # of all that is made together, where that stops too: then the findings give the same numbers
            yield dict(stops(as_built(layout))).get(code, text).rstrip(".")
    if isinstance(way, MadeCourse) and way.tooth.drives and not came:
        yield f"the bolt is left {built.show(way.lobe.rests_off)} short of its seat"


def _of_the_jam(layout: Layout, meant: Layout, built: Layout) -> Iterator[str]:
    """Yield that the bolt jams where it does with these parts and would not as the lock is meant."""
    jams = None if built is meant else jam_words(built)
    if jams is not None and jam_words(meant) is None:
        # with all that is made it may jam elsewhere first, and that is what the findings say
        yield (jam_words(as_built(layout)) or jams).rstrip(".")


@derived
def stops(layout: Layout) -> tuple[tuple[str, str], ...]:
    """Return code and text of what stops a lock, of its parts and of the key's turn."""
    checks = (*assembly.all_parts(), fouls.CHECK)
    found = (one for check in checks for one in check.findings(layout))
    return tuple((one.code, one.text) for one in found if one.level == "stop")


def _of_the_nose(layout: Layout, built: Layout) -> Iterator[str]:
    asked, show = layout.lock.shackle, layout.show
    if built is layout:
        return
    holds, clear = engagement(built), open_gap(built)
    if holds < LEAST_SHARE * asked.engagement - SLACK:
        yield f"the nose goes into the shackle by {show(holds)} only, {show(asked.engagement)} is wanted"
    if clear < min(LEAST_GAP, asked.gap) - SLACK:
        yield f"unlocked, the nose is not clear of the shackle: {show(clear)} is between them"


def _of_sizes(layout: Layout, parts: Container[str], built: Layout) -> Iterator[str]:
    """Yield what does not go into what, or no longer carries, of parts that each were made to their own numbers."""
    plan, show = layout.plan, layout.show

    def own(part: str) -> Lock:
        here = part in parts and record_of(plan, part) is not None
        return made_to(plan, part) if here else layout.lock

    metal, wanted = own(BOLT), layout.lock
    for part, leg in (("front_guide", "nose"), ("rear_guide", "tail")):
        slot = own(part)
        high, room = getattr(metal.bolt, f"{leg}_height"), getattr(slot.bolt, f"{leg}_height")
        shallow = [float(slot.value(slot_paths(part, end)[1])) for end in ENDS]
        play = room + 2 * slot.fit.slide_clearance - high - max(shallow)
        name = part.replace("_", " ")
        if play < min(2 * wanted.fit.slide_clearance, 0.02) - SLACK:
            yield f"the {leg}, {show(high)} high, does not go into the slot of the {name}"
        if play > 2 * wanted.fit.slide_clearance + LOOSE + SLACK:
            yield f"the {leg} has {show(play)} of play in the {name}"
        if metal.bolt.thickness > slot.bolt.thickness + SLACK:
            yield f"the bolt, {show(metal.bolt.thickness)} thick, stands out of the slot of the {name}"
    eye = own("shackle")
    if metal.bolt.nose_height > eye.bolt.nose_height + 2 * eye.fit.slide_clearance + SLACK:
        yield f"the nose, {show(metal.bolt.nose_height)} high, does not go into the {eye.shackle.catch}"
    if metal.bolt.thickness > eye.bolt.thickness + SLACK:
        yield f"the bolt, {show(metal.bolt.thickness)} thick, does not go into the {eye.shackle.catch}"
    lip = eye.shackle.drop - metal.bolt.nose_height - wanted.fit.slide_clearance
    if lip < LIP * metal.bolt.thickness - SLACK:
        yield f"below the nose the shackle's end is {show(max(lip, 0.0))} thick only"
    if metal.bolt.thickness < THIN * wanted.bolt.thickness - SLACK:
        yield f"the bolt is {show(metal.bolt.thickness)} thick only ({SOURCE_NONE})"
    hole = own("back_plate").pivot.hole
    shank = own("key").key.shank
    loose = (hole - shank) / 2 - max((wanted.pivot.hole - wanted.key.shank) / 2, 0.0)
    left = lesser_tooth(built).home_travel + max(loose, 0.0)
    if loose > SLACK and left > reach(built) + SLACK:
        yield (
            f"the shank has {show(loose)} more room on each side than it needs, so that the detent would "
            f"have to draw {show(left)}"
        )
