"""From a finding to the prompt at which it is mended."""

from core.layout.findings import Finding
from core.lock.paths import row_title
from tui.desk.checking import Checked
from tui.desk.desk import Desk


def mended_at(desk: Desk, finding: Finding, found: Checked | None) -> Desk:
    """Return the desk at the prompt whose window the finding is about, or else at its row, or its step."""
    desk = desk.at_named(finding.step)
    bounds = [
        bound.path
        for window in (found.windows.values() if found is not None else ())
        for bound in (window.low, window.high)
        if bound is not None and bound.code == finding.code
    ]
    here = [path for path in bounds if path in desk.step.asked(desk.lock)]
    if not here:
        here = _of_its_row(desk, finding)
    return desk.at_path((here or bounds)[0]) if here or bounds else desk


def _of_its_row(desk: Desk, finding: Finding) -> list[str]:
    """Return the prompts of the row that a finding's code names first, of the longest such name."""
    code = f"-{finding.code}-"
    titles = {path: row_title(path).replace(" ", "-") for path in desk.step.asked(desk.lock)}
    named = {path: f"-{title}-" for path, title in titles.items() if title}
    meant = {path: title for path, title in named.items() if title in code}
    first = min(meant.values(), key=lambda title: (code.index(title), -len(title)), default="")
    return [path for path, title in meant.items() if title == first]
