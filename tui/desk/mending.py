"""From a finding to the prompt at which it is mended."""

from core.layout.codes import rows_in
from core.layout.findings import Finding
from core.lock.paths import place_at
from tui.desk.checking import Checked, checked
from tui.desk.desk import Desk
from tui.desk.session import layout_of


def mended_at(desk: Desk, finding: Finding, found: Checked | None) -> Desk:
    """Return the desk at the prompt whose window the finding is about, or else at its row, or its step."""
    if found is not None and not found.complete:
        found = checked(layout_of(desk.lock))
    desk = desk.at_named(finding.step)
    asked = desk.step.asked(desk.lock)
    bounds = [
        bound.path
        for window in (found.windows.values() if found is not None else ())
        for bound in (window.low, window.high)
        if bound is not None and bound.code.name == finding.code
    ]
    here = [path for path in bounds if path in asked]
    if not here:
        here = [path for path in asked if place_at(path).row in rows_in(finding.code)[:1]]
    return desk.at_path((here or bounds)[0]) if here or bounds else desk


def stopping(desk: Desk, found: Checked) -> str:
    """Return the code of the stop that is mended at the step at hand and that sizes may clear; empty for none.

    Ways out are keys at a number only: at words to choose from their letters are others.
    """
    if not desk.path or desk.spec.kind.entering != "typed":
        return ""
    # loaded where it is wanted: it brings all that proposes locks along
    from core.change.clearing import clearable

    mine = (f for f in found.findings if f.level == "stop" and f.step == desk.step.name)
    return next((finding.code for finding in mine if clearable(finding.code)), "")
