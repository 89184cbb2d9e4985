"""The spring above the bolt."""

from tui.steps.step import Step, prompts

STEP = Step(
    name="spring",
    order=95,
    title="Spring",
    intro="How hard the spring presses on the bolt, and where. The key works against it.",
    prompts=prompts("spring.force", "spring.tip_across"),
    parts=("spring",),
    caution="A spring under load flies: eye protection on, and a thumb over it as you fit it.",
)
