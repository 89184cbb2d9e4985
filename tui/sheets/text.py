"""The texts of the sheets dialog."""

from textual.content import Content

from core.sheets.paper import PAPERS
from core.text import plain
from tui.desk.session import Session
from tui.sheets.job import Choice, Done, Order
from tui.widgets.help_text import heading_line

_ABOUT = """\
Templates at full size as PDF, SVG and DXF, the marking tables as PDF and Markdown, and the bench report. Print the \
PDF files at 100 %, without fitting them to the page, and measure both check bars before you cut. Files that this \
program did not write, or that were changed since, are never written over without asking."""
_BAR = 30


def head(session: Session) -> Content:
    """Return the heading: which lock, and that it is not saved where it is not."""
    changed = ", with changes that are not saved" if session.dirty else ""
    title = plain(session.lock.title) or "no title"
    return Content.assemble(
        heading_line("FULL-SIZE SHEETS"), Content.styled(f"  of {title}{changed}", "$quiet")
    )


def papers(paper: str) -> Content:
    """Return the papers, the one at hand marked."""
    words = [
        Content.styled(f"[{name}]", "bold $accent") if name == paper else Content(f" {name} ")
        for name in PAPERS
    ]
    return Content.assemble(
        "Paper   ", Content("").join(words), Content.styled("  F5 turns it", "$quiet")
    )


def row(choice: Choice, *, chosen: bool) -> Content:
    """Return one sheet, marked where it is chosen."""
    sign = "x" if chosen else " "
    return Content.assemble(f"[{sign}] {choice.name:<20}", Content.styled(choice.title, "$quiet"))


def progress(number: int, count: int, name: str, *, stopping: bool) -> Content:
    """Return how far the writing is, as a bar and in words."""
    full = round(_BAR * (number - 1) / max(count, 1))
    said = f"  {number} of {count}" + ("  stopping after this one" if stopping else "")
    return Content.assemble(
        Content.styled("━" * full, "$fine"), Content.styled("─" * (_BAR - full), "$quiet"), said,
        f"\n{plain(name)}",
    )  # fmt: skip


def done(done: Done, order: Order) -> str:
    """Return what was written and how to print it."""
    notes = "".join(f" {note}" for note in done.notes)
    files = "1 file is" if done.files == 1 else f"{done.files} files are"
    return (
        f"{files} in {plain(str(order.folder))}. Print at 100 %, and measure both bars "
        f"before you cut.{notes}"
    )


def stopped(written: int, count: int) -> str:
    """Return how much was written before the maker stopped it."""
    return f"Stopped: {written} of {count} files are written, each of them whole."


def help_page() -> Content:
    """Return the help of the dialog."""
    return Content("\n").join([heading_line("FULL-SIZE SHEETS"), Content(_ABOUT)])
