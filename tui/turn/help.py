"""The help of the turn view: what is read off, and the keys."""

from textual.content import Content

from core.layout.layout import Layout
from core.parts.friction import friction_ranges
from tui.widgets.help_text import entry, heading_line, section

_READ_OFF = (
    ("angle", "Of the key, from top dead centre; plus is the way this lock unlocks."),
    ("travel", "How far the bolt has come from its locked seat, of the whole throw."),
    ("in contact", "What of the bit touches the bolt and moves it, or holds it back."),
    ("least room", "The least room of the bit, outside that contact, and to which part."),
    ("kept", "Greased, clean or dry: K turns to the next. A star marks how the lock is kept."),
    ("forces", "Each is a range, because friction is one: from the least of it to the most."),
    ("torque", "What the fingers turn the key with."),
    ("on flank", "The force of the bit on the flank that it drives."),
    ("guides", "What each guide presses on the bolt with; up is plus."),
    ("past seat", "What stops the bolt if it goes on past the seat, and after how far."),
    ("turned on", "What the key does if it is turned on past key-out; told at key-out too."),
    ("JAM", "From this friction on the bolt binds in its guides, and no torque moves it."),
)  # fmt: skip
_PHASES = (
    ("coming up", "The bit comes round and touches nothing."),
    ("driving", "It pushes the flank, and the bolt goes with it."),
    (
        "let go",
        "Its corner has left the foot of the flank; the detent draws the bolt the rest of the way.",
    ),
    (
        "pushed on",
        "The detent does not reach yet; the corner runs on along the relief and pushes the bolt.",
    ),
    (
        "held back",
        "The detent draws, but the bit's trailing face still stands in the gap and holds the bolt back.",
    ),
    (
        "snapping home",
        "The detent has drawn the bolt off the bit: it runs ahead of the key to its seat.",
    ),
    ("drawn home", "The bolt is at its seat, and the bit goes on round to key-out."),
    (
        "left short",
        "Neither the key nor the detent moves the bolt any farther: it stays short of its seat.",
    ),
)
_DRAWING = """\
Bolt and key move by the law of motion; everything else stands still. ● is where the bit touches the flank, ○ the
least room; x with a word is a place where something fouls or jams. The bolt is drawn moving on even there, so
that the place can be seen. The charts end a little beyond pick-up and release; an arrow in one says that the key
is farther round. A click on a chart turns the key to that angle."""
_LEFT_OUT = """\
The weight of the bolt, and the friction of the shank in its hole, are left out: both are small beside the
spring. The true force is settled by trying the lock, slowly, and with a finger clear of the spring."""


def help_page(layout: Layout) -> Content:
    """Return the help of the turn view of a lock."""
    lines = [heading_line("THE KEY'S TURN"), Content(_wrapped(_DRAWING))]
    for heading, table in (("WHAT IS READ OFF", _READ_OFF), ("THE PHASES", _PHASES)):
        lines += [Content(""), heading_line(heading), *(entry(*told) for told in table)]
    lines += [Content(""), heading_line(f"FRICTION, {layout.lock.friction.metals.upper()}")]
    lines += [
        entry(
            condition,
            f"{found.low:g} to {found.high:g}. {found.source[0].upper()}{found.source[1:]}.",
        )
        for condition, found in friction_ranges(layout).items()
    ]
    lines += section("LEFT OUT", _wrapped(_LEFT_OUT))
    return Content("\n").join(lines)


def _wrapped(text: str) -> str:
    """Return a paragraph in one line: the screen breaks it in its own width."""
    return " ".join(text.split("\n"))
