"""The help of the working screen: the prompt at hand, its step, what may be typed, and the cautions."""

from textual.content import Content

from core.report.bench_report import CAUTIONS
from core.systems import in_words
from tui.desk.desk import Desk
from tui.widgets.desk_text import practised
from tui.widgets.help_text import heading_line, paragraph, section
from tui.work.guide import told

_WHAT_TO_TYPE = {
    "mm": """\
20   20.5   20,5        in the lock's own units
20 mm   2.1 cm          any unit may be written after
13/16   1 3/8"   1-3/8 in   inches, also in a lock kept in mm
=20-0.3   =1/2 in + 2 mm    sums and differences""",
    "in": """\
13/16   1 3/8   1-3/8       inches
0.8125   ,8125              inches in decimals
1 3/8"   1.375 in           the unit may be written after
=1-1/8   =1/2 + 1/64        sums and differences""",
}
_DRAWING = """\
Seen from inside the back plate, the front plate off, the plate upright. What the step asks for is drawn thick. \
Click on anything; the wheel zooms, dragging moves."""

_PRACTICE = """\
What is common practice in the trade: a good start where no table or standard says more. Your own bench may know \
better."""


def help_page(desk: Desk) -> Content:
    """Return the help for the prompt at hand."""
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
    lines += section("WHAT MAY BE TYPED", _WHAT_TO_TYPE[desk.units])
    lines += section("THE DRAWING", _DRAWING)
    lines += section("THE SIGN *", _PRACTICE)
    lines += section("TAKE CARE", CAUTIONS)
    return Content("\n").join(lines)
