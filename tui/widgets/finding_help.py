"""Help on one finding: what it says, what it means for the lock, and where it is mended."""

from textual.content import Content

from core.checks.catalogue import declared
from core.layout.findings import LEVEL_MEANS, Finding
from core.text import plain
from tui.keys.of_work import WORK
from tui.steps.walk import all_steps
from tui.widgets.desk_text import level_style
from tui.widgets.help_text import heading_line


def finding_help(finding: Finding) -> Content:
    """Return the help on a finding of the list."""
    return Content("\n").join(
        [
            heading_line(f"FINDING: {finding.step.upper()}"),
            Content.assemble(
                Content.styled(finding.level, level_style(finding.level)),
                f": {LEVEL_MEANS[finding.level]}.",
            ),
            Content(""),
            Content(plain(finding.text)),
            Content(""),
            heading_line("WHAT IT MEANS"),
            Content(declared(finding.code).meaning),
            Content(""),
            heading_line("WHERE IT IS MENDED"),
            Content(f"{_place(finding.step)} Enter on the finding goes there."),
        ]
    )


def _place(name: str) -> str:
    """Return the sentence that names the step, or the screen, where a finding is mended."""
    for number, step in enumerate(all_steps(), start=1):
        if step.name == name:
            return f"At step {number}, {step.title}."
    keys = [act.shown for act in WORK.acts if act.name == name and act.opens]
    return f"Among the {name} parts, {keys[0]}." if keys else ""
