"""Clearances and margins."""

from tui.steps.step import Step, prompts

STEP = Step(
    name="fit",
    order=110,
    title="Fit",
    intro="How much play you file in, and the margins that the steps before are held against.",
    prompts=prompts(
        "fit.key_clearance",
        "fit.slide_clearance",
        "fit.bridge_min",
        "fit.metal_min",
        "fit.key_max",
        "fit.made_tolerance",
    ),
    parts=("key circle", "bolt"),
    view="tooth",
)
