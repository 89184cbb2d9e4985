"""Step 4: the bolt line."""

from core.parts.tooth import tooth
from tui.steps.step import Guide, ReadOff, Step, prompts

STEP = Step(
    name="bolt line",
    order=40,
    title="Bolt line",
    intro="Square to the centreline, above the pivot: the bolt's top edge slides along it.",
    prompts=prompts("bolt_line.height", "bolt_line.spring_room"),
    parts=("bolt line",),
    read_off=(ReadOff("bridge above the gap", lambda layout: tooth(layout).bridge),),
    guide=Guide(
        decided="how high over the pivot the bolt's top edge slides, and the room over it for the spring.",
        why="higher up the bit drives the bolt less far; lower down less of a bridge is left above the gap.",
        look="the scale below the prompt: its two ends, and what sets each of them.",
    ),
)
