"""What filing the slot of a guide gives that was fixed too high: its floor taken down to where it was planned.

A floor that stands too high is filed down to the height that it was to have; the roof stays, so the leg can lift by so
much more. A floor that stands too low stays so. What is promised is tried first, with the bolt down in the filed
slots, as the spring presses it, and lifted in them by half of what was filed.
"""

from collections.abc import Iterable, Mapping, Sequence

from core.layout.layout import Layout
from core.lock.facts import made_to, record_of, with_measured
from core.lock.lock import Lock
from core.made.fitting import Patch, exceeds
from core.made.working import LOOSE, fault, stops
from core.mechanism.tooth_numbers import SLACK
from core.whole.as_built import built_of

GUIDES = {"front_guide": "front guide", "rear_guide": "rear guide"}
"""The workpieces with a slot for a leg, with their names."""
_ENDS = ("near", "outer")
_ABOUT = ("{}-at-body", "{}-in-key-circle", "{}-outside-wall", "key-fouls-{}")
"""What the outside of a guide is found for: of that the slot is no cure."""


def filed_slots(
    layout: Layout, parts: Iterable[str], beside: Sequence[str], meant: Layout
) -> Mapping[str, tuple[Patch, ...]]:
    """Return what to take off the floors of the slots of `parts` [mm], by part, so that the lock works; else nothing.

    `beside` are the made parts that stay as they are, `meant` the lock as it is meant. All of them are to be filed.
    """
    ups = {part: _too_high(layout.plan, part) for part in parts}
    if not ups or not all(_can_be_filed(layout, part, *ends) for part, ends in ups.items()):
        return {}
    kept = [*beside, *ups]
    if _outside(layout, kept, meant) & ups.keys():
        return {}
    for share in (0.0, 0.5):
        there = layout.plan
        for part, ends in ups.items():
            for end, up in zip(_ENDS, ends, strict=True):
                path = f"as_fixed.{part.removesuffix('_guide')}_{end}"
                there = with_measured(there, part, path, round(share * up, 9) if up > 0 else up)
        if fault(Layout(there), kept, meant) is not None:
            return {}
    return {part: _patches(layout.plan, part, ends) for part, ends in ups.items()}


def _can_be_filed(layout: Layout, part: str, near: float, outer: float) -> bool:
    """Say whether so much [mm] may come off the floor of a slot: it is left thick enough, and the leg not too loose."""
    floor, deep = float(getattr(made_to(layout.plan, part), part).floor), max(near, outer)
    thick = floor - deep >= layout.lock.fit.metal_min - SLACK
    return thick and deep <= LOOSE and exceeds(deep, layout.lock.fit.made_tolerance)


def _too_high(plan: Lock, part: str) -> tuple[float, float]:
    """Return how much too high [mm] the floor of a guide's slot was measured to stand, at its near and outer face."""
    record = record_of(plan, part)
    known = {} if record is None else dict(record.measured)
    name = part.removesuffix("_guide")
    near, outer = (float(known.get(f"as_fixed.{name}_{end}", 0.0)) for end in _ENDS)
    return near, outer


def _outside(layout: Layout, parts: Sequence[str], meant: Layout) -> set[str]:
    """Return the guides whose outside stops the lock as they are, and would not as it is meant."""
    wrong = dict(stops(built_of(layout, parts))).keys() - dict(stops(meant)).keys()
    return {
        part
        for part, name in GUIDES.items()
        if wrong & {code.format(name.replace(" ", "-")) for code in _ABOUT}
    }


def _patches(plan: Lock, part: str, ups: tuple[float, float]) -> tuple[Patch, ...]:
    """Return what comes off a floor at either face, in the guide's own frame; the area is that of all, told once."""
    width = float(getattr(made_to(plan, part), part).width)
    area = _wedge(width, *ups)
    near, outer = (
        Patch(f"floor of the slot, {end} face", max(up, 0.0), area, (x, 0.0))
        for end, up, x in zip(_ENDS, ups, (0.0, width), strict=True)
    )
    return tuple(sorted((near, outer), key=lambda patch: -patch.depth))


def _wedge(width: float, near: float, outer: float) -> float:
    """Return the area [mm2] above a level of a slope that stands so much too high [mm] at either end."""
    if min(near, outer) >= 0:
        return width * (near + outer) / 2
    most = max(near, outer, 0.0)
    return most * width * most / (2 * abs(near - outer))
