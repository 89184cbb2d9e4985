"""The help of the working screen: the prompt at hand, its step, what may be typed, and the cautions."""

import re

from textual.content import Content

from core.report.cautions import CAUTIONS
from core.systems import in_words
from tui.desk.desk import Desk
from tui.desk.session import layout_of
from tui.plot.parts_named import named_parts
from tui.widgets.desk_text import practised
from tui.widgets.help_text import heading_line, paragraph, section
from tui.work.guide import told

_WHAT_TO_TYPE = {
    "mm": """\
20   20.5   20,5        in the lock's own units
20 mm   2.1 cm          any unit may be written after
13/16   1 3/8"   1-3/8 in   inches, also in a lock kept in mm
=20-0.3   =1/2 in + 2 mm    sums and differences
5 left   5 r   -5       what lies across, with its side or its sign""",
    "in": """\
13/16   1 3/8   1-3/8       inches
0.8125   ,8125              inches in decimals
1 3/8"   1.375 in           the unit may be written after
=1-1/8   =1/2 + 1/64        sums and differences
3/8 left   3/8 r   -3/8     what lies across, with its side or its sign""",
}
_DRAWING = """\
Seen from inside the back plate, the front plate off, the plate upright. What the step asks for is drawn thick. \
Click on anything; the wheel zooms, dragging moves."""

_PARTS_SHAPE = 0.2
"""Rows of the picture of the parts to its columns, which are half as wide as rows are high."""
_PARTS = """\
Your own lock, the bolt at its locked seat; broken lines show it unlocked. Type a word to read what it means."""
_PRACTICE = """\
What is common practice in the trade: a good start where no table or standard says more. Your own bench may know \
better."""


def help_page(desk: Desk, columns: int = 69) -> Content:
    """Return the help for the prompt at hand, its picture of the parts in so many columns."""
    spec, step = desk.spec, desk.step
    lines = [heading_line(f"{spec.label.upper()}"), Content(in_words(spec.what, desk.units))]
    if spec.measure:
        lines.append(paragraph("Measure it", in_words(spec.measure, desk.units)))
    if spec.usual:
        lines.append(paragraph("Usual", practised(in_words(spec.usual, desk.units))))
    lines.append(paragraph("Takes", f"{spec.allowed_in(desk.units)}."))
    lines += section(f"THE STEP: {step.title.upper()}", step.intro)
    if step.guide:
        lines.append(told(step.guide))
    if step.caution:
        lines.append(Content.assemble(Content.styled("Take care: ", "bold $look"), step.caution))
    lines += section("THE PARTS BY THEIR NAMES", _parts(desk, columns))
    lines += section("WHAT MAY BE TYPED", _WHAT_TO_TYPE[desk.units])
    lines += section("THE DRAWING", _DRAWING)
    lines += section("THE SIGN *", _PRACTICE)
    lines += section("TAKE CARE", CAUTIONS)
    return Content("\n").join(lines)


def _parts(desk: Desk, columns: int) -> Content:
    """Return the lock at hand with the names of its parts, drawn in so many columns."""
    rows = named_parts(layout_of(desk.lock), columns, max(round(columns * _PARTS_SHAPE), 1))
    drawn = [
        Content.assemble(
            *(
                Content.styled(text, "bold $strong" if re.search("[a-z]", text) else "$quiet")
                for text, _ in row
            )
        )
        for row in rows
    ]
    return Content("\n").join([*drawn, Content(_PARTS)])
