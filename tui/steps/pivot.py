"""Step 2: the pivot."""

from core.parts.plate import wall_distance
from tui.steps.step import Guide, ReadOff, Step, prompts

STEP = Step(
    name="pivot",
    order=20,
    title="Pivot",
    intro="Punch the point on which the key turns. Everything else is measured from it.",
    prompts=prompts("pivot.below", "pivot.across", "pivot.hole"),
    parts=("pivot",),
    view="plate",
    read_off=(ReadOff("nearest wall at", wall_distance),),
    caution="Drilling: eye protection on, the plate clamped to the table, never held by hand.",
    guide=Guide(
        decided="the point on which the key turns, and its hole.",
        why="every other measure is taken from it, and the key swings round it as far as its bit reaches.",
        look="the nearest wall: it must lie farther off than the bit reaches.",
    ),
)
