"""The texts of the made parts and of what was read off at the bench."""

from textual.content import Content

from core.change.causes import Cause, Diagnosis
from core.change.causes_text import CORRECTION, cause_words, next_words
from core.change.readings import READ_OFF
from core.layout.findings import Finding
from core.lock.facts import record_of
from core.lock.lock import Lock, spec_of
from core.made.fitting import KEPT
from core.made.judging import CHECK, MADE_DIFFER, MADE_MEASURED
from core.made.wording import but_words, marks_words, shown_at, verdict_words
from core.parts.plugs import plugs
from core.systems import in_words
from core.text import capital, plain
from core.whole import assembly
from tui.change.text import SIGNS, heading, tally
from tui.desk.session import layout_of
from tui.made import state as made_state
from tui.widgets.help_text import heading_line, paragraph, section

_NAME = 12
_MADE = """\
A part that is marked as made keeps the dimensions that it was made to, as they stand at that moment. From then on \
it is held against the lock: good; to use as it is, where it is otherwise but works; to move, where a guide has to be \
fixed elsewhere; to file; to plug, where a hole has to be drilled anew; or to remake. Filed or made anew? Mark it as \
not made and as made again."""
_MEASURED = """\
Where something came out otherwise, type what was measured: every check goes by that from then on, in the plan's \
place. An empty entry takes it away. F6 shows first, in the change view, what the value leads to.

filed 0.2 since    takes that much off what was measured last; a hole or a gap gets larger
19.8; cold, twice  a line of notes behind the value, kept with the day

The part stays marked as made."""
_READ = """\
With the parts put together, type what can be read off: one reading is enough, two tell more. The likely causes are \
the dimensions that are not measured yet and that, off by so much, explain all of it; each is told with how sure \
that is. Enter on a cause takes it as found: as measured on a part that is made, else as the plan."""


def title(lock: Lock, width: int, what: str = "Parts already made") -> Content:
    """Return the top line: what is shown, of which lock, and how the made parts stand."""
    left = Content.assemble(
        " ", Content.styled(what, "bold $strong"),
        Content.styled(f"  {plain(lock.title)}", "$quiet"),
    )  # fmt: skip
    right = tally(made_state.standing_of(lock))
    left = left.truncate(max(width - right.cell_length - 2, 10), ellipsis=True)
    return left.pad_right(max(width - left.cell_length - right.cell_length - 1, 0)) + right


def piece(lock: Lock, part: str, name: str) -> Content:
    """Return one line of the list: whether a workpiece is made, and how it stands."""
    found = made_state.verdict_of(lock, part)
    if found is None:
        return Content.assemble(f"[ ] {name:<{_NAME}}", Content.styled("not made", "$quiet"))
    sign, style = SIGNS[found.word]
    return Content.assemble(f"[{sign}] {name:<{_NAME}}", Content.styled(found.word, style))


def head(lock: Lock, part: str) -> Content:
    """Return the heading of the workpiece at hand."""
    name = assembly.workpieces()[part].name.upper()
    if record_of(lock, part) is None:
        return heading(name, "not made; Space marks it as made")
    if not made_state.measurable(lock, part):
        return heading(name, "made; nothing of it is measured here")
    return heading(name, "made; Enter: what was measured")


def stands(lock: Lock, part: str) -> Content:
    """Return what is to be done to a made workpiece, and what the checks say of it."""
    layout, found = layout_of(lock), made_state.verdict_of(lock, part)
    if found is None:
        return Content("")
    sign, style = SIGNS[found.word]
    words = verdict_words(layout, found)
    lines = [
        Content.assemble(Content.styled(f"{sign} {found.word}", style), f": {words}."),
        *([Content(f"· {capital(but)}.")] if (but := but_words(layout, found)) else []),
        *([Content(f"· {marks}.")] if (marks := marks_words(layout, found)) else []),
    ]
    lines += [Content.styled(f"· {plain(f.text)}", "$quiet") for f in _told(lock)]
    if found.word == "plug":
        lines.append(
            Content(
                "P in the list of parts plugs it: sizes, sheets and order of work then have the plug."
            )
        )
    if found.word not in KEPT:
        lines.append(
            Content.styled(
                "Clamp the work and wear eye protection when you file or drill.", "$quiet"
            )
        )
    return Content("\n").join(lines)


def _told(lock: Lock) -> tuple[Finding, ...]:
    """Return what the checks say of values that were measured."""
    told = (MADE_DIFFER.name, MADE_MEASURED.name)
    return tuple(f for f in CHECK.findings(layout_of(lock)) if f.code in told)


def after(lock: Lock, part: str, path: str) -> str:
    """Return what is said once a value has been taken as measured."""
    record = record_of(lock, part)
    known = dict(record.measured) if record is not None else {}
    label = spec_of(path).label
    if path not in known:
        return f"{label}: as it was made to."
    told = f"{label} {shown_at(path, known[path], lock.units)}, measured: the checks go by it now."
    bad = made_state.standing_of(lock).to_work_on()
    if bad:
        words = ", ".join(f"{v.name} to {v.word}" for v in bad)
        told += f" It leaves {words}: Ctrl+Z, the value again and F6 show the remedies."
    return told


PLUGGED = "stray holes plugged"
"""How undo names that."""


def after_plugs(before: Lock, lock: Lock) -> str:
    """Return what is said once stray holes have been plugged."""
    layout = layout_of(lock)
    known = {plug.name for plug in plugs(layout_of(before))}
    told = [
        f"{plug.title}, {plug.row.plate}: {layout.show(plug.row.diameter)} by {layout.show(plug.length or 0.0)} long"
        for plug in plugs(layout)
        if plug.name not in known
    ]
    return f"{capital('; '.join(told))}. The plates count as drilled anew. Ctrl+Z takes it back."


def cause_line(lock: Lock, cause: Cause) -> Content:
    """Return a likely cause with its number and how sure it is."""
    return Content.assemble(Content.styled("> ", "bold $accent"), plain(cause_words(lock, cause)))


def causes_heading(diagnosis: Diagnosis | None) -> Content:
    """Return the heading of the likely causes."""
    if diagnosis is None:
        return Content.styled(
            "Type what was read off; one reading is enough, two tell more.", "$quiet"
        )
    if diagnosis.fine:
        return heading("THE PLAN EXPLAINS THIS", "nothing is off beyond what can be read")
    if diagnosis.likely:
        return heading("LIKELY CAUSES, each one alone", "F6, then Enter takes one as found")
    return heading("NO SINGLE DIMENSION EXPLAINS IT")


def after_causes(lock: Lock, diagnosis: Diagnosis | None) -> Content:
    """Return what to read off or to measure next."""
    if diagnosis is None or diagnosis.fine:
        return Content("")
    more = f" {CORRECTION}" if diagnosis.likely else ""
    return Content.styled(f"{next_words(lock, diagnosis)}{more}", "$quiet")


def how(name: str) -> str:
    """Return how a reading is taken."""
    return READ_OFF[name].how


def how_measured(lock: Lock, part: str, path: str) -> str:
    """Return what to put the calliper on to measure a path on a workpiece, and when it was measured last."""
    record = record_of(lock, part)
    told = record.told(path) if record is not None else ""
    how = in_words(assembly.workpieces()[part].how_at(path), lock.units)
    return f"{how} Measured {plain(told)}." if told else how


def help_page() -> Content:
    """Return the help of the made parts."""
    lines = [heading_line("MADE PARTS"), Content(_MADE), *section("MEASURED VALUES", _MEASURED)]
    return Content("\n").join(lines)


def read_off_help() -> Content:
    """Return the help of what is read off at the bench."""
    lines = [heading_line("READ OFF AT THE BENCH"), Content(_READ), Content("")]
    for gauge in READ_OFF.values():
        lines.append(paragraph(gauge.label, gauge.how))
    return Content("\n").join(lines)
