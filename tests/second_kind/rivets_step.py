"""The rivets."""

from tui.steps.step import Step

STEP = Step(
    "rivets", 106, "Rivets", "Through both plates.", prompts=(), parts=(), view="plate",
    caution="Riveting: eye protection on.", rows="rivets",
)  # fmt: skip
