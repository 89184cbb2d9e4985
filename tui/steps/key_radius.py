"""Step 5: the key radius."""

from core.parts.tooth import lesser_tooth, tooth
from tui.steps.step import Guide, ReadOff, Step, prompts

STEP = Step(
    name="key radius",
    order=50,
    title="Key radius",
    intro="The compass, set to the key's bit, swung about the pivot: that circle stays free.",
    prompts=prompts("key.radius", "key.bit_thickness", "key.shank"),
    parts=("key circle", "key"),
    read_off=(
        ReadOff("circle to keep clear", lambda layout: tooth(layout).relief_radius),
        ReadOff("driven by the key", lambda layout: lesser_tooth(layout).driven_travel),
        ReadOff("left to the detent", lambda layout: lesser_tooth(layout).home_travel),
    ),
    guide=Guide(
        decided="how far the bit reaches from the pivot, its thickness, and the shank.",
        why="a longer bit drives the bolt farther, but needs more room all the way round.",
        look="how far the key drives the bolt, and what is left to the detent, which draws it home.",
    ),
)
