"""The table `[as_fixed]`: how the slots of the two guides came out: how they stand to the bolt line, and how high.

A plan has none of it: every value is 0. It is measured on a guide that is made, stands in `[made.front_guide.measured]`
or `[made.rear_guide.measured]`, and is that guide's alone.
"""

from dataclasses import dataclass
from typing import Any, ClassVar

from core.lock.fields import position

ENDS = ("near", "outer")
"""The ends of a guide's slot: the face nearer the centreline, and the other one."""


def slot_paths(table: str, end: str) -> tuple[str, str]:
    """Return the paths of floor and roof of a slot at one of its `ENDS`; `table` is the guide's."""
    floor = f"as_fixed.{table.removesuffix('_guide')}_{end}"
    return floor, f"{floor}_roof"


def _floor(guide: str, leg: str, end: str) -> Any:
    return position(
        0.0, f"floor, {end} end",
        f"How much too high the floor of the {guide} guide's slot stands at its {end} end, that of its {end} face.",
        f"Calliper from the scribed bolt line square down to the floor of the {guide} guide's slot, at its {end} face: "
        f"the height of the {leg} with its slide clearance, less what is there; less than 0 where it stands too low.",
    )  # fmt: skip


def _roof(guide: str, leg: str, end: str) -> Any:
    return position(
        0.0, f"roof, {end} end",
        f"How much too low the roof of the {guide} guide's slot is over its floor at its {end} end, that of its {end} "
        "face.",
        f"Calliper in the slot of the {guide} guide, from floor to roof at its {end} face: the height of the {leg} "
        "with its slide clearance above and below, less what is there; less than 0 where the slot is too high.",
    )  # fmt: skip


@dataclass(frozen=True)
class AsFixed:
    """How high the floors of the slots stand, at both ends, and how high the roofs are over them, as they came out.

    A plan has all of them where they belong.
    """

    metal_alone: ClassVar[bool] = True
    """A plan has no say in it: no step asks for it, and it stands for no other part's size."""

    front_near: float = _floor("front", "nose", "near")
    front_outer: float = _floor("front", "nose", "outer")
    rear_near: float = _floor("rear", "tail", "near")
    rear_outer: float = _floor("rear", "tail", "outer")
    front_near_roof: float = _roof("front", "nose", "near")
    front_outer_roof: float = _roof("front", "nose", "outer")
    rear_near_roof: float = _roof("rear", "tail", "near")
    rear_outer_roof: float = _roof("rear", "tail", "outer")
