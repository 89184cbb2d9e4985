"""The keys of the made parts, and of the readings at the bench."""

from tui.keys.acts import Act, Keys, Place, Stand
from tui.keys.common import (
    ACROSS,
    FOUND,
    GO,
    HELP,
    LINE,
    OUT,
    QUESTION,
    REDO,
    SHADE,
    UNDO,
    prompt,
    rows,
)

MEASURED = prompt("Take what is typed as measured, and go on to the next value.", "Go back to the value before.",
                  "AT A MEASURED VALUE")  # fmt: skip
MADE = Place("ANYWHERE HERE", (
    Act("escape", ("escape",), "From a measured value back to the list, from there to the step.", "back", 2),
    Act("back", OUT, "Back to the step, wherever the cursor is.", "leave", 20),
    Act("weigh", FOUND, "See in the change view what the value at hand leads to, before it is kept.",
        "what it does", 3),
    Act("read_off", ("ctrl+r",), "What was read off with the parts put together, and the likely cause.",
        "read off", 4),
    Act("list", GO, "Go to the list of parts.", "parts", 5),
    Act("help", HELP, "What is asked here, and all the keys.", "help", 6),
    UNDO,
    REDO,
    SHADE,
))  # fmt: skip
PARTS = rows(
    "IN THE LIST OF PARTS (F9)",
    "Go to the values measured on the part at the cursor.",
    hint="measured",
)
MARK = Place("", (
    Act("mark", ("space",), "Mark the part at the cursor as made, as everything now stands; or as not made.",
        "made or not", 0),
    Act("plug", ("p",), "Plug the holes that stand astray, and count the plates as drilled where they belong; "
        "the plugs stay with the lock.", "plug", 8),
), by_screen=True)  # fmt: skip
KEYS = Keys("made", "the made parts", (
    Stand("pieces", (PARTS, MARK, ACROSS, QUESTION, MADE)),
    Stand("entry", (LINE, MEASURED, QUESTION, MADE), "number"),
))  # fmt: skip

READING = prompt("Take what is typed as read off, and go on to the next reading.", "Go back to the reading before.",
                 "AT A READING")  # fmt: skip
READ_OFF = Place("ANYWHERE HERE", (
    Act("escape", ("escape",), "Back; what was read off is dropped, corrections that were taken stay. From the "
        "list, return to the reading.", "back", 1),
    Act("back", OUT, "Back, wherever the cursor is.", "leave", 20),
    Act("causes", FOUND, "Go into the likely causes.", "causes", 0),
    Act("help", HELP, "How each is read off, and all the keys.", "help", 2),
    UNDO,
    REDO,
    SHADE,
))  # fmt: skip
CAUSES = rows(
    "IN THE LIKELY CAUSES (F6)", "Take the cause at the cursor as found.", hint="take as found"
)
READ_OFF_KEYS = Keys("read off", "what was read off", (
    Stand("entry", (LINE, READING, QUESTION, READ_OFF), "number"),
    Stand("causes", (CAUSES, ACROSS, QUESTION, READ_OFF)),
))  # fmt: skip
