"""The lock as a whole: its title, units, side and notes."""

from tui.steps.step import Step, prompts

STEP = Step(
    name="lock",
    order=120,
    title="This lock",
    intro="What you call it, the units you measure in, the side it opens to, and notes.",
    prompts=prompts("title", "units", "unlocks", "notes"),
    parts=(),
)
