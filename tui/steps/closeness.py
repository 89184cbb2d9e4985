"""How near to the plan each size comes out."""

from dataclasses import fields

from core.lock.closeness import Spread
from tui.steps.step import Prompt, Step, prompts

_RULES = ("rule", "filed", "law", "figures")

STEP = Step(
    name="spread",
    order=200,
    title="Spread",
    intro="How near to the plan you make each size: from it follows how many of such locks would work.",
    prompts=(
        *prompts(*(f"spread.{name}" for name in _RULES)),
        *(
            Prompt(f"spread.{field.name}", ("spread.figures", ("some",)))
            for field in fields(Spread)
            if field.name not in _RULES
        ),
    ),
    parts=("key circle", "bolt"),
    view="tooth",
)
