"""What slides on what, and how it is kept."""

from tui.steps.step import Step, prompts

STEP = Step(
    name="friction",
    order=115,
    title="Friction",
    intro="What slides on what, and how it is kept: from it follow torque and binding.",
    prompts=prompts("friction.metals", "friction.condition", "friction.drag"),
    parts=("bolt", "front guide", "rear guide", "spring"),
)
