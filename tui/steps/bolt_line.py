"""Step 4: the bolt line."""

from core.parts.tooth import tooth
from tui.steps.step import ReadOff, Step, prompts

STEP = Step(
    name="bolt line",
    order=40,
    title="Bolt line",
    intro="Square to the centreline, above the pivot: the bolt's top edge slides along it.",
    prompts=prompts("bolt_line.height", "bolt_line.spring_room"),
    parts=("bolt line",),
    read_off=(ReadOff("metal above the gap", lambda layout: tooth(layout).bridge),),
)
