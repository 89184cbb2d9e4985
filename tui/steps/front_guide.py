"""The front guide."""

from tui.steps.step import Step, prompts

STEP = Step(
    name="front guide",
    order=80,
    title="Front guide",
    intro="The block whose slot carries the nose, between the key's circle and the shackle.",
    prompts=prompts("front_guide.from_centreline", "front_guide.width", "front_guide.floor"),
    parts=("front guide",),
    caution="Riveting: eye protection on; rest the work on a solid anvil.",
)
