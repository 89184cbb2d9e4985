"""Step 5: the key radius."""

from core.parts.tooth import tooth
from tui.steps.step import ReadOff, Step, prompts

STEP = Step(
    name="key radius",
    order=50,
    title="Key radius",
    intro="The compass, set to the key's bit, swung about the pivot: that circle stays free.",
    prompts=prompts("key.radius", "key.bit_thickness", "key.shank"),
    parts=("key circle", "key"),
    read_off=(
        ReadOff("circle to keep clear", lambda layout: tooth(layout).relief_radius),
        ReadOff("key drives the bolt", lambda layout: tooth(layout).driven_travel),
        ReadOff("left to the detent", lambda layout: tooth(layout).home_travel),
    ),
)
