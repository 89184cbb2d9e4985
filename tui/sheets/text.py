"""The texts of the sheets dialog."""

from textual.content import Content

from core.sheets.paper import PAPERS
from core.text import plain
from core.units import show_length
from tui.desk.session import Session
from tui.sheets.job import Done, Order
from tui.sheets.state import Choice, State
from tui.widgets.help_text import heading_line

_ABOUT = """\
Sheets at full size as PDF, SVG and DXF, the marking tables as PDF and Markdown, and the bench report. Print the \
PDF files at 100 %, without fitting them to the page, and measure both check bars before you cut. Files that this \
program did not write, or that were changed since, are never written over without asking. Beside each sheet stands \
what has become of it: new in this folder, or stale, where the lock has changed since it was written there. In \
the list (F9), C turns to files for a laser or a mill, K holds a printed sheet against the lock by its mark, and M \
measures a printer that is a little out, once: its sheets are then corrected."""
ASK_MARK = "Mark on the printed sheet, such as 9B-3Q8G4; it stands beside the title."
_BAR = 30


def head(session: Session) -> Content:
    """Return the heading: which lock, and that it is not saved where it is not."""
    changed = ", with changes that are not saved" if session.dirty else ""
    title = plain(session.lock.title) or "no title"
    return Content.assemble(
        heading_line("FULL-SIZE SHEETS"), Content.styled(f"  of {title}{changed}", "$quiet")
    )


def ask_bars(units: str) -> str:
    """Return how to type what a printer's bars measure, for a lock in `units`."""
    bars = "5.98; 6.01" if units == "in" else "149.4; 150.2"
    return (
        "The printer's name, what a bar across the paper measures, and one along it, with ; between, such as: "
        f"shop; {bars}. Print the test page first, at 100 %."
    )


def ask_kerf(units: str) -> str:
    """Return the question for a kerf, for a lock in `units`."""
    usual = "0.008 in" if units == "in" else "0.2 mm"
    return f"Kerf: what the laser or mill takes away, such as {usual}; 0 if its own program allows for it."


def settings(state: State, units: str) -> Content:
    """Return what is set: paper and printer, or the kerf of a cutter, the keys that turn them beside."""
    if state.kerf is not None:
        words = f"For a laser or mill, kerf {show_length(state.kerf, units)}"
        return Content.assemble(words, Content.styled("   C turns back to paper", "$quiet"))
    papers = [
        Content.styled(f"[{name}]", "bold $accent") if name == state.paper else Content(f" {name} ")
        for name in PAPERS
    ]
    return Content.assemble(
        "Paper   ", Content("").join(papers), Content.styled("  F5", "$quiet"),
        "    Printer ", Content.styled(plain(state.printer) or "not measured", "bold $accent"),
        Content.styled("  P, M", "$quiet"),
    )  # fmt: skip


def row(choice: Choice, state: State) -> Content:
    """Return one sheet, marked where it is chosen, with what has become of it in the folder."""
    sign = "x" if choice.name in state.chosen else " "
    found = state.found.get(choice.name, "")
    return Content.assemble(
        f"[{sign}] {choice.name:<20}", Content.styled(f"{found:<7}", "bold $look"),
        Content.styled(choice.title, "$quiet"),
    )  # fmt: skip


def kept(name: str) -> str:
    """Return what is done for a printer that was just measured."""
    return f"Sheets for {plain(name)} are now corrected, and say so. Print the test page for it again, to prove it."


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
    last = (
        "Measure the first part before you cut the rest."
        if order.kerf is not None
        else "Print at 100 %, and measure both bars before you cut."
    )
    return f"{files} in {plain(str(order.folder))}. {last}{notes}"


def stopped(written: int, count: int) -> str:
    """Return how much was written before the maker stopped it."""
    return f"Stopped: {written} of {count} files are written, each of them whole."


def help_page() -> Content:
    """Return the help of the dialog."""
    return Content("\n").join([heading_line("FULL-SIZE SHEETS"), Content(_ABOUT)])
