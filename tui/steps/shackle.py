"""The shackle's free end."""

from tui.steps.step import Step, prompts

STEP = Step(
    name="shackle",
    order=90,
    title="Shackle",
    intro="Where the shackle's end comes down. How far the nose enters it is asked with the tooth.",
    prompts=prompts("shackle.across", "shackle.diameter", "shackle.catch", "shackle.drop"),
    parts=("shackle",),
    caution="Bending hot: gloves and a face shield, nothing that burns near by.",
)
