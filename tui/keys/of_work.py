"""The keys of the working screen."""

from tui.keys.acts import Act, Keys, Place, Stand
from tui.keys.common import (
    ACROSS,
    AFTER,
    BEFORE,
    CHOICE,
    DONE,
    DRAWING,
    FOUND,
    GO,
    HELP,
    LINE,
    LOOK,
    NOTES,
    OPENINGS,
    OUT,
    PROMPT,
    QUESTION,
    REDO,
    RETURN,
    SHADE,
    TURN,
    UNDO,
    VIEW,
    rows,
)

WORK = Place("ANYWHERE", (
    Act("help", HELP, "Help on this prompt, or on the finding at the cursor; and all the keys.", "help", 0),
    Act("save", DONE, "Save the lock to its file.", "save", 2),
    Act("step_back", BEFORE, "Go to the step before.", "step back", 5),
    Act("step_on", AFTER, "Go to the next step.", "step on", 4),
    Act("turn", TURN, "Turn the key and watch: travel, torque, the least room, and where anything fouls or "
        "jams.", "turn key", 4, opens="turn.screen"),
    Act("findings", FOUND, "Look through the findings; F1 tells what one means, Enter goes to what mends it.",
        "findings", 8),
    Act("view", VIEW, "Change the view: all of it, the plate, or close to the tooth.", "view", 6),
    Act("drawing", LOOK, "Go into the drawing to zoom and to move about.", "zoom", 9),
    Act("steps", GO, "Go into the list of steps.", "steps", 10),
    Act("escape", ("escape",), "Put back the value as it was; from a list or the drawing, return to the prompt.",
        "put back", 13),
    Act("leave", OUT, "Leave for the list of locks; asks if anything is unsaved.", "leave", 1),
    Act("change", ("ctrl+n",), "Change one dimension and see it before and after: what got worse, and which made "
        "parts are still good.", "change one", 6, opens="change.screen"),
    Act("made", ("ctrl+o",), "Parts made so far: mark them, and type what was measured on them.", "made", 7,
        opens="made.screen"),
    Act("read_off", ("ctrl+r",), "Read off at the bench, throw or angle or gap: what is the likely cause, and its "
        "correction.", "read off", 12, opens="made.reading_screen"),
    Act("sheets", ("ctrl+p",), "Print: full-size sheets, marking tables and the report, into a folder.", "sheets",
        7, opens="sheets.screen"),
    Act("map", ("alt+m",), "The map: what room there is over two dimensions, and what limits it; the arrows move the "
        "lock in it.", "map", 14, opens="map.screen"),
    Act("save_as", ("alt+s",), "Save under another name; the file of before stays as it was saved.", "save as", 23),
    Act("keep", ("alt+k",), "Keep the size at hand as it is in all that is proposed, or no more.", "keep it", 16),
    Act("offers", ("alt+l",), "Locks that work, with the sizes that are kept: look at them, take one.",
        "propose locks", 15, opens="begin.offers"),
    Act("guide", ("alt+g",), "Explain in each of the first steps what is decided there and why, or no more.",
        "explain", 24),
    UNDO,
    REDO,
    SHADE,
))  # fmt: skip
STEPS = Place("IN THE LIST OF STEPS (F9)", (
    Act("before", ("up", "left"), "Go to the step before.", "choose", 2, written="Arrows"),
    Act("after", ("down", "right"), "Go to the step after."),
    Act("typed", tuple("1234567890"), "Go to the step of that number.", hint="choose", rank=2, typed="0 to 9"),
    Act("go", ("enter",), "Take the step at the cursor to hand.", "go there", 1),
))  # fmt: skip
FINDINGS = rows(
    "IN THE FINDINGS (F6)", "Go to the prompt that mends the finding at the cursor.", hint="mend it"
)

ROW_ADD = Act(
    "row_add", ("ctrl+f", "insert"), "Fresh one: add a row, such as a post, where there is most room.", "add", 0,
)  # fmt: skip
ROW_NAME = Act("row_name", ("f12", "ctrl+b"), "Give the row at hand another name.", "name", 0)
ROWS = Place("IN A STEP THAT ASKS FOR SEVERAL", (
    ROW_ADD,
    Act("row_copy", ("f11", "ctrl+a"), "Like this one: add a copy of the row at hand, in the same place.", "copy", 0),
    ROW_NAME,
    Act("row_remove", ("ctrl+x",), "Cross out: take the row at hand away.", "remove", 0),
))  # fmt: skip
PROPOSING = Place("IN A STEP THAT HAS A PROPOSAL", (
    Act("propose", ("alt+p",), "Take the spring and notches that are proposed for this lock.", "propose", 0),
))  # fmt: skip

KEYS = Keys("work", "the steps", (
    Stand("entry", (LINE, PROMPT, OPENINGS, QUESTION, ROWS, PROPOSING, WORK), "number"),
    Stand("entry", (CHOICE, PROMPT, QUESTION, ROWS, PROPOSING, WORK), "choice"),
    Stand("entry", (LINE, NOTES, PROMPT, ROWS, PROPOSING, WORK), "text"),
    Stand("entry", (PROMPT, QUESTION, ROWS, PROPOSING, WORK), "none"),
    Stand("steps", (STEPS, ACROSS, QUESTION, ROWS, PROPOSING, WORK)),
    Stand("findings", (FINDINGS, ACROSS, QUESTION, ROWS, PROPOSING, WORK)),
    Stand("drawing", (DRAWING, RETURN, ACROSS, QUESTION, ROWS, PROPOSING, WORK)),
))  # fmt: skip

NAME = Place("AT THE NAME", (
    Act("take", ("enter", *DONE), "Give the row the name that is typed.", "take it", 1),
    Act("stay", ("escape", *OUT), "Go back; the row keeps its name.", "keep the old", 2),
    Act("help", HELP, "All the keys.", "help", 3),
))  # fmt: skip
NAME_KEYS = Keys("row name", "the name of a row", (Stand("name", (LINE, NAME)),))


def opened_at(step: str) -> str:
    """Return what opens the screen that mends the findings of `step`; empty where a step does."""
    return next((act.opens for act in WORK.acts if act.opens and act.name == step), "")
