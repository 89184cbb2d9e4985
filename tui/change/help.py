"""The help of the change view."""

from textual.content import Content

from core.lock.spec import Spec
from core.systems import in_words
from tui.widgets.help_text import heading_line, paragraph, section

_ABOUT = """\
Type or nudge a new value: the lock before is drawn in a broken line, the lock after in a whole one. Nothing is \
changed until F2 keeps it."""
_MEANT = """\
A change is meant as a wish: it is to be so, and every made part is held against it. Or it came out so, measured \
on a part that is made: that part is as it is, what is scribed or fixed on the plates stays, and the rest is held \
against that. F5 turns between the two where both can be."""
_PARTS = """\
good    as it is, within the tolerance of the step Fit
use     not as wanted, but all works with it as it is
file    metal is to come off: how deep at most, where, and how much in all
plug    a hole stands astray: fill it, drill it anew
remake  metal is missing that no file puts back
Signs in the drawing: o file here, x metal is missing."""
_WAYS = """\
The one dimension that, set as well or instead, saves the most made parts; to do nothing, where they work as they are. \
Enter shows the lock with it, Enter again without; F2 keeps what is shown."""


def help_page(spec: Spec, units: str) -> Content:
    """Return the help on a dimension of a lock in `units` in the change view."""
    lines = [heading_line(spec.label.upper()), Content(in_words(spec.what, units))]
    if spec.measure:
        lines.append(paragraph("Measure it", in_words(spec.measure, units)))
    lines.append(paragraph("Takes", f"{spec.allowed_in(units)}."))
    for name, text in (
        ("ONE DIMENSION CHANGED", _ABOUT),
        ("WISH OR FACT", _MEANT),
        ("MADE PARTS", _PARTS),
        ("REMEDIES", _WAYS),
    ):
        lines += section(name, text)
    lines += section("TAKE CARE", "Clamp the work and wear eye protection when you file or drill.")
    return Content("\n").join(lines)
