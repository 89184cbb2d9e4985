"""What filing the slot of a guide gives: one fixed too high its floor taken down, one too shallow its roof taken up.

A roof that stands too low over its floor is filed until the slot is as high as planned. A floor that stands too high is
filed down to the height that it was to have; the roof stays, so the leg can lift by so much more, but where the slot
would still be lower than planned. A floor that stands too low stays so. What is promised is tried first, with the bolt
down in the filed slots, as the spring presses it, lifted half way in both, and where they leave it the most room.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from core.layout.layout import Layout
from core.lock.as_fixed import ENDS, slot_paths
from core.lock.facts import made_to, record_of, with_measured
from core.lock.lock import Lock
from core.made.fitting import Patch, exceeds
from core.made.working import LOOSE, fault, stops
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt_lies import Ends, leg_in
from core.whole.as_built import built_of

GUIDES = {"front_guide": "front guide", "rear_guide": "rear guide"}
"""The workpieces with a slot for a leg, with their names."""
ROOF = "roof of the slot"
"""How a roof of a slot is called among what is to be filed."""
FLOOR = "floor of the slot"
_ABOUT = ("{}-at-body", "{}-in-key-circle", "{}-outside-wall", "key-fouls-{}")
"""What the outside of a guide is found for: of that the slot is no cure."""


@dataclass(frozen=True)
class _Slot:
    """How the slot of a guide came out [mm], at both faces: its floor `up` too high, its roof so much `low` over it."""

    part: str
    up: Ends
    low: Ends


@dataclass(frozen=True)
class _Filed:
    """What is filed off a slot [mm] at both faces; less than 0 where nothing is, and so much less than is to go."""

    slot: _Slot
    floor: Ends
    roof: Ends

    @property
    def left(self) -> _Slot:
        """The slot once that is filed."""
        off = [(max(f, 0.0), max(r, 0.0)) for f, r in zip(self.floor, self.roof, strict=True)]
        ups = (up - f for up, (f, _) in zip(self.slot.up, off, strict=True))
        lows = (low - f - r for low, (f, r) in zip(self.slot.low, off, strict=True))
        return _Slot(self.slot.part, _ends(ups), _ends(lows))

    @property
    def most(self) -> float:
        """The most that is filed anywhere."""
        return max(*self.floor, *self.roof, 0.0)


def _ends(of: Iterable[float]) -> Ends:
    near, outer = (round(one, 9) for one in of)
    return near, outer


def filed_slots(
    layout: Layout, parts: Iterable[str], beside: Sequence[str], meant: Layout
) -> Mapping[str, tuple[Patch, ...]]:
    """Return what to file off the slots of `parts` [mm], by part, so that the lock works; else nothing.

    `beside` are the made parts that stay as they are, `meant` the lock as it is meant. All of them are to be filed;
    where that gives nothing, those whose roof alone is off, if the others are fixed where they were meant to be.
    """
    slots = [_as_it_came_out(layout.plan, part) for part in parts]
    kept = [*beside, *(slot.part for slot in slots)]
    if slots and not _outside(layout, kept, meant) & {slot.part for slot in slots}:
        ways = product(*(list(_ways(layout, slot)) for slot in slots))
        for way in sorted(ways, key=lambda way: sum(filed.most for filed in way)):
            if _works(layout, [filed.left for filed in way], kept, meant):
                return {filed.slot.part: _patches(layout.plan, filed) for filed in way}
    alone = [slot for slot in slots if _shallow(layout, slot) and not _astray(layout, slot)]
    as_meant = [_Slot(slot.part, (0.0, 0.0), (0.0, 0.0)) for slot in slots if slot not in alone]
    filed = [_roof_alone(slot) for slot in alone]
    if alone and _works(layout, [*(one.left for one in filed), *as_meant], kept, meant):
        return {one.slot.part: _patches(layout.plan, one) for one in filed}
    return {}


def _ways(layout: Layout, slot: _Slot) -> Iterator[_Filed]:
    """Yield what may be filed off a slot."""
    lock = layout.lock
    if _shallow(layout, slot):
        yield _roof_alone(slot)
    near, outer = (low - max(up, 0.0) for up, low in zip(slot.up, slot.low, strict=True))
    both, deep = _Filed(slot, slot.up, (near, outer)), max(slot.up)
    floor = float(getattr(made_to(layout.plan, slot.part), slot.part).floor)
    # it is left thick enough, and the leg not too loose
    thick, loose = floor - deep >= lock.fit.metal_min - SLACK, -min(both.left.low) > LOOSE + SLACK
    if exceeds(deep, lock.fit.made_tolerance) and thick and not loose:
        yield both


def _shallow(layout: Layout, slot: _Slot) -> bool:
    return exceeds(max(slot.low), layout.lock.fit.made_tolerance)


def _astray(layout: Layout, slot: _Slot) -> bool:
    return exceeds(max(map(abs, slot.up)), layout.lock.fit.made_tolerance)


def _roof_alone(slot: _Slot) -> _Filed:
    return _Filed(slot, (0.0, 0.0), slot.low)


def _works(layout: Layout, slots: Sequence[_Slot], kept: Sequence[str], meant: Layout) -> bool:
    """Say whether the lock works with slots that came out so, wherever the bolt lies in them."""
    # down in a slot that is too high it lies as in one that is not, and lifted as in one that stands higher
    tight, lifted = (
        [
            _Slot(
                s.part,
                _ends(up - share * min(low, 0.0) for up, low in zip(s.up, s.low, strict=True)),
                _ends(max(low, 0.0) for low in s.low),
            )
            for s in slots
        ]
        for share in (0.0, 0.5)
    )
    for state in (tight, lifted, slots) if tight != slots else (slots,):
        there = layout.plan
        for slot in state:
            for path, value in _paths(slot):
                there = with_measured(there, slot.part, path, value)
        if fault(Layout(there), kept, meant) is not None:
            return False
    return True


def _paths(slot: _Slot) -> Iterator[tuple[str, float]]:
    for end, up, low in zip(ENDS, slot.up, slot.low, strict=True):
        yield from zip(slot_paths(slot.part, end), (up, low), strict=True)


def lifts(plan: Lock, part: str, patches: Sequence[Patch]) -> float:
    """Return how much more than planned [mm] a leg can lift in a slot off which that is filed, 0 for no more."""
    room = [-low for low in _as_it_came_out(plan, part).low]
    for patch in patches:
        room[ENDS.index(patch.where.split()[-2])] += patch.depth
    return max(*room, 0.0)


def _as_it_came_out(plan: Lock, part: str) -> _Slot:
    """Return how the slot of a guide was measured to have come out."""
    record = record_of(plan, part)
    known = {} if record is None else dict(record.measured)
    nothing = _Slot(part, (0.0, 0.0), (0.0, 0.0))
    found = [float(known.get(path, 0.0)) for path, _ in _paths(nothing)]
    return _Slot(part, (found[0], found[2]), (found[1], found[3]))


def _outside(layout: Layout, parts: Sequence[str], meant: Layout) -> set[str]:
    """Return the guides whose outside stops the lock as they are, and would not as it is meant."""
    wrong = dict(stops(built_of(layout, parts))).keys() - dict(stops(meant)).keys()
    return {
        part
        for part, name in GUIDES.items()
        if wrong & {code.format(name.replace(" ", "-")) for code in _ABOUT}
    }


def _patches(plan: Lock, filed: _Filed) -> tuple[Patch, ...]:
    """Return what comes off at either face, in the guide's own frame, deepest first; the area is that of all."""
    part = filed.slot.part
    own = made_to(plan, part)
    width = float(getattr(own, part).width)
    high = leg_in(own, part) + 2 * own.fit.slide_clearance
    area = _wedge(width, *filed.floor) + _wedge(width, *filed.roof)
    found = [
        Patch(f"{what}, {end} face", max(off, 0.0), area, (x, y))
        for what, y, offs in ((FLOOR, 0.0, filed.floor), (ROOF, high, filed.roof))
        if max(offs) > 0
        for end, off, x in zip(ENDS, offs, (0.0, width), strict=True)
    ]
    return tuple(sorted(found, key=lambda patch: -patch.depth))


def _wedge(width: float, near: float, outer: float) -> float:
    """Return the area [mm2] above a level of a slope that stands so much too high [mm] at either end."""
    if max(near, outer) <= 0:
        return 0.0
    if min(near, outer) >= 0:
        return width * (near + outer) / 2
    most = max(near, outer, 0.0)
    return most * width * most / (2 * abs(near - outer))
