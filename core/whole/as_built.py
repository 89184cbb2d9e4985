"""The lock as it lies on the bench: every part that is made with its own shape, the rest as wanted.

The lock at hand says what is wanted, with what was measured in the plan's place. A bolt that is made does not follow a
pivot that came out elsewhere: checks that ask what the metal does have to ask it of this layout.
"""

from collections.abc import Container
from dataclasses import replace

from core.layout.layout import Layout, derived
from core.layout.workpiece import Workpiece
from core.lock.facts import made_to, record_of
from core.lock.lock import Lock, expanded, of_metal_alone
from core.lock.paths import covers, place_at
from core.parts.bolt_lies import SAME, as_planned, leg_in
from core.whole import assembly

BOLT = "bolt"
"""The workpiece whose shape follows from more than its own sizes."""
SLOTTED = ("front_guide", "rear_guide", "shackle")
"""The workpieces with a slot for a leg."""
NOT_ITS_OWN = ("fit.key_clearance",)
"""What is measured on the bolt but is the whole lock's: the bolt has its own in its shape."""


@derived
def as_built(layout: Layout) -> Layout:
    """Return the layout of the lock as it is made so far; the same one where that is as it was wanted.

    Each made workpiece brings the sizes that can be measured on it; the bolt also brings its shape, and lies
    with its top edge on the bolt line.
    """
    return built_of(layout, [record.part for record in layout.plan.made])


def built_of(layout: Layout, parts: Container[str]) -> Layout:
    """Return the layout in which the made ones of `parts` are as they are, and all else is as wanted."""
    if layout.bolt_as is not None or not layout.plan.made:
        return layout
    lock = _with_sizes(layout, parts)
    own = _bolt_if_other(layout, lock) if BOLT in parts else None
    slots = _slots_if_other(layout, lock, parts)
    metal = frozenset(record.part for record in layout.plan.made if record.part in parts)
    built = Layout(replace(lock, made=()), own, metal, slots)
    if own is None and (lock.bit != layout.lock.bit or not as_planned(built)):
        # a bolt that is cut as wanted is followed by contact under a bit, or in guides, that are not
        own = replace(lock, bit=layout.lock.bit, as_fixed=layout.lock.as_fixed, made=())
        return Layout(built.lock, own, metal, slots)
    measured = any(one.measured for one in layout.plan.made)
    if own is None and lock == layout.lock and not slots and not measured:
        return layout
    return built


def _with_sizes(layout: Layout, parts: Container[str]) -> Lock:
    """Return the lock in which what is made of `parts` has the sizes that it has."""
    lock, known = layout.lock, assembly.workpieces()
    for record in layout.plan.made:
        if record.part not in known or record.part not in parts:
            continue
        own = {**dict(record.planned), **dict(record.measured)}
        for path in expanded(lock, known[record.part].measurable):
            if (
                path in own
                and (path in dict(record.measured) or not _only_marked(known[record.part], path))
                and path not in NOT_ITS_OWN
                and (path not in of_metal_alone() or record.part != BOLT)
                and not _elsewhere(layout, record.part, path)
            ):
                lock = lock.with_value(path, own[path])
    return lock


def _only_marked(workpiece: Workpiece, path: str) -> bool:
    """Say whether a dimension is only scribed on a plate: unless it was measured there, it can be scribed again."""
    return workpiece.carries and not covers(workpiece.shaped_by, path)


def _elsewhere(layout: Layout, part: str, path: str) -> bool:
    """Say whether a dimension is named after another workpiece that is made, or was measured on one."""
    table = place_at(path).table
    if table != part and record_of(layout.plan, table) is not None:
        return True
    others = (record for record in layout.plan.made if record.part != part)
    measured = record_of(layout.plan, part)
    mine = measured is not None and path in dict(measured.measured)
    return not mine and any(path in dict(record.measured) for record in others)


def _slots_if_other(layout: Layout, lock: Lock, parts: Container[str]) -> dict[str, Lock]:
    """Return the locks that those of `parts` were made to that have a slot, by part, where `lock` wants another."""
    found = {}
    for part in SLOTTED:
        if part in parts and record_of(layout.plan, part) is not None:
            own = made_to(layout.plan, part)
            same = own.fit.slide_clearance == lock.fit.slide_clearance
            if not same or abs(leg_in(own, part) - leg_in(lock, part)) > SAME:
                found[part] = own
    return found


def _bolt_if_other(layout: Layout, lock: Lock) -> Lock | None:
    """Return the lock that the bolt was made to, None where it is not made or is the bolt that `lock` wants."""
    if record_of(layout.plan, BOLT) is None:
        return None
    own = made_to(layout.plan, BOLT)
    for path in assembly.workpieces()[BOLT].shaped_by:
        mine, wanted = own.value(path), lock.value(path)
        if mine != wanted and not (
            isinstance(mine, float) and isinstance(wanted, float) and abs(mine - wanted) < SAME
        ):
            return own
    return None
