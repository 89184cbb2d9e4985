"""Help: the prompt at hand, the step, every key, and the cautions."""

import textwrap
from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from core.report.bench_report import CAUTIONS
from tui.desk.desk import Desk
from tui.keys.acts import ACTS, Act, Where

_PLACES: dict[Where, str] = {
    "prompt": "AT THE PROMPT",
    "anywhere": "ANYWHERE",
    "rows": "IN A STEP THAT ASKS FOR SEVERAL",
    "proposing": "IN A STEP THAT HAS A PROPOSAL",
    "drawing": "IN THE DRAWING (F8)",
    "list": "IN A LIST",
}
_KEY_WIDTH, _HELP_WIDTH = 11, 58
_WHAT_TO_TYPE = """\
20   20.5   20,5        in the lock's own units
20 mm   2.1 cm          any unit may be written after
13/16   1 3/8"   1-3/8 in   inches, also in a lock kept in mm
=20-0.3   =1/2 in + 2 mm    sums and differences"""


def heading_line(text: str) -> Content:
    """Return a heading of the help."""
    return Content.styled(text, "bold $accent")


def entry(name: str, text: str) -> Content:
    """Return a key, or another short name, with what there is to say of it beside it."""
    told = textwrap.wrap(text, _HELP_WIDTH)
    return Content.assemble(
        Content.styled(f"{name:<{_KEY_WIDTH}}", "bold"), f"\n{' ' * _KEY_WIDTH}".join(told)
    )


def _key(act: Act) -> Content:
    return entry(act.shown, act.help)


def keys_at(where: Where, heading: str) -> list[Content]:
    """Return the keys that hold at a place, under a heading; nothing where there are none."""
    acts = [act for act in ACTS if act.where == where and act.shown]
    return [Content(""), heading_line(heading), *map(_key, acts)] if acts else []


def help_text(desk: Desk) -> Content:
    """Return the whole help for the prompt at hand."""
    spec, step = desk.spec, desk.step
    lines = [heading_line(f"{spec.label.upper()}"), Content(spec.what)]
    if spec.measure:
        lines.append(Content.assemble(Content.styled("Measure it: ", "bold"), spec.measure))
    if spec.usual:
        lines.append(Content.assemble(Content.styled("Usual: ", "bold"), spec.usual))
    lines.append(Content.assemble(Content.styled("Takes: ", "bold"), spec.allowed + "."))
    lines += [Content(""), heading_line(f"THE STEP: {step.title.upper()}"), Content(step.intro)]
    if step.caution:
        lines.append(Content.assemble(Content.styled("Take care: ", "bold $look"), step.caution))
    lines += [Content(""), heading_line("WHAT MAY BE TYPED"), Content(_WHAT_TO_TYPE)]
    for where, place in _PLACES.items():
        lines += keys_at(where, place)
    lines += [
        Content(""),
        heading_line("THE DRAWING"),
        Content(
            "Seen from inside the back plate, the front plate off, the plate upright. What the step "
            "asks for is drawn thick. Click on anything; the wheel zooms, dragging moves."
        ),
        Content(""),
        heading_line("TAKE CARE"),
        Content(CAUTIONS),
    ]
    return Content("\n").join(lines)


class Help(ModalScreen[None]):
    """A help, over the screen that it belongs to; any of Esc, Enter and F1 closes it."""

    BINDINGS: ClassVar = [("escape,enter,f1,q", "close", "close")]

    def __init__(self, text: Content, back_to: str = "the lock") -> None:
        """Show `text`; Esc is said to lead back to what `back_to` names."""
        super().__init__()
        self._text, self._back_to = text, back_to

    def compose(self) -> ComposeResult:
        """Show the help, to be scrolled."""
        with VerticalScroll(classes="box", id="help"):
            yield Static(self._text, markup=False)
        said = f"Up, Down, PgUp, PgDn: read on.  Esc: back to {self._back_to}."
        yield Static(said, classes="hint", markup=False)

    def action_close(self) -> None:
        """Go back to the screen below."""
        self.dismiss(None)
