"""The guide of a first lock: what is decided in the step at hand, why, and what to look at."""

from textual.content import Content

from tui.desk.desk import Desk
from tui.steps.step import Guide, Step
from tui.steps.walk import all_steps


def guided(desk: Desk) -> tuple[Step, ...]:
    """Return the steps to list: those that the guide speaks of while it does, else all."""
    return tuple(step for step in all_steps() if step.guide or not desk.guide)


def guide_text(desk: Desk) -> Content:
    """Return what the guide has to say of the step at hand; nothing where it is away."""
    if desk.guide is None:
        return Content("")
    return told(desk.guide) + Content.styled(" Alt+G puts this away.", "$quiet")


def told(guide: Guide) -> Content:
    """Return what is decided in a step, why, and what to look at."""
    said = (("Decided here", guide.decided), ("Why", guide.why), ("Look at", guide.look))
    return Content(" ").join(
        Content.assemble(Content.styled(f"{name}: ", "bold $accent"), text) for name, text in said
    )
