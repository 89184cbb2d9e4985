"""Where in the drawing the findings are marked: at the dimension that mends each."""

from core.layout.codes import rows_in
from core.layout.drawing import Measure
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.lock.paths import place_at
from core.whole.dimensions import dimension
from tui.desk.checking import Checked
from tui.plot.frame import Spot
from tui.plot.tones import FOUL
from tui.steps.walk import all_steps
from tui.widgets.desk_text import SIGNS


def spots(layout: Layout, found: Checked | None) -> tuple[Spot, ...]:
    """Return a sign for each place [mm, plate frame] that a finding is about, the worst one where several share it."""
    marked: dict[tuple[float, float], Spot] = {}
    for finding in found.findings if found is not None else ():  # worst first
        line = _line(layout, finding, found) if finding.level != "note" else None
        if line is not None:
            tone = FOUL if finding.level == "stop" else "value"
            marked.setdefault(line.end, Spot(line.end, SIGNS[finding.level], tone))
    return tuple(marked.values())


def _line(layout: Layout, finding: Finding, found: Checked | None) -> Measure | None:
    """Return the line of the first dimension that mends a finding and has a place in the drawing.

    What was found may be of the lock as it was a moment ago: a row that has gone since has no place.
    """
    windows = found.windows.values() if found is not None else ()
    ends = (end for window in windows for end in (window.low, window.high))
    bounds = [end.path for end in ends if end is not None and end.code.name == finding.code]
    asked = (*bounds, *_asked(layout.lock, finding))
    for path in filter(layout.lock.has, asked):
        line = next((mark for mark in dimension(layout, path) if isinstance(mark, Measure)), None)
        if line is not None:
            return line
    return None


def _asked(lock: Lock, finding: Finding) -> list[str]:
    """Return what the step that mends a finding asks for, only of the rows that the finding is about."""
    rows = rows_in(finding.code)
    asked = [path for step in all_steps() if step.name == finding.step for path in step.asked(lock)]
    return [path for path in asked if place_at(path).row in ("", *rows)]
