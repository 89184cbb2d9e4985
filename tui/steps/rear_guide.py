"""Step 7: the rear guide."""

from tui.steps.step import Guide, Step, prompts

STEP = Step(
    name="rear guide",
    order=70,
    title="Rear guide",
    intro="The block whose slot carries the tail, on the side the bolt unlocks to, clear of key and bolt.",
    prompts=prompts("rear_guide.from_centreline", "rear_guide.width", "rear_guide.floor"),
    parts=("rear guide",),
    caution="Riveting: eye protection on; rest the work on a solid anvil.",
    guide=Guide(
        decided="where the block stands whose slot carries the bolt's tail, and its metal.",
        why="the farther it is from the front guide, the less the bolt can tilt.",
        look="the two ends of the scale. Then F5 turns the key, right round.",
    ),
)
