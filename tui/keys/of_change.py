"""The keys of the change view, and of the list in which a dimension is chosen."""

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
    OUT,
    QUESTION,
    RETURN,
    SHADE,
    TURN,
    VIEW,
    prompt,
)

PROMPT = prompt("Try what is typed.", "Try the dimension before.", hint="try")
CHANGE = Place("ANYWHERE HERE", (
    Act("keep", DONE, "Keep the change: go on with the lock as it is shown.", "keep", 0),
    Act("escape", ("escape",), "Go back without a change; from a list or the drawing, return to the prompt.",
        "drop", 1),
    Act("drop", OUT, "Go back without a change, wherever the cursor is.", "drop", 25),
    Act("other_meaning", TURN, "Mean it the other way: it came out so, or it is a wish.", "wish or fact", 2),
    Act("ways", FOUND, "Go into the remedies.", "remedies", 3),
    Act("dimension_back", BEFORE, "Try the dimension before.", "before", 8),
    Act("dimension_on", AFTER, "Try the next dimension.", "next", 7),
    Act("view", VIEW, "Change the view: all of it, the tooth, or close to the move.", "view", 5),
    Act("drawing", LOOK, "Go into the drawing to zoom and to move about.", "zoom", 6),
    Act("dimensions", GO, "Choose another dimension.", "dimension", 4),
    Act("help", HELP, "What is shown here, and all the keys.", "help", 7),
    SHADE,
))  # fmt: skip
WAYS = Place("IN THE REMEDIES (F6)", (
    Act("cursor_up", ("up",), "Go to the remedy above.", "choose", 2, written="Up/Down"),
    Act("cursor_down", ("down",), "Go to the remedy below."),
    Act("first", ("home",), "Go to the first remedy.", "first, last", 22, written="Home/End"),
    Act("last", ("end",), "Go to the last remedy."),
    Act("select", ("enter",), "See the remedy at the cursor taken, or take it back.", "take or not", 1),
    Act("read_back", ("pageup",), "Read back in what comes of it.", "read on", 3, written="PgUp/PgDn"),
    Act("read_on", ("pagedown",), "Read on in what comes of it."),
))  # fmt: skip
KEYS = Keys("change", "one dimension changed", (
    Stand("entry", (LINE, PROMPT, QUESTION, CHANGE), "number"),
    Stand("entry", (CHOICE, PROMPT, QUESTION, CHANGE), "choice"),
    Stand("ways", (WAYS, ACROSS, QUESTION, CHANGE)),
    Stand("drawing", (DRAWING, RETURN, ACROSS, QUESTION, CHANGE)),
))  # fmt: skip

PICK = Place("IN THE LIST OF DIMENSIONS", (
    Act("up", ("up",), "Go to the dimension above.", "choose", 2, written="Up/Down"),
    Act("down", ("down",), "Go to the dimension below."),
    Act("page_up", ("pageup",), "Go up by what can be seen at once.", "by pages", 21, written="PgUp/PgDn"),
    Act("page_down", ("pagedown",), "Go down by what can be seen at once."),
    Act("pick", ("enter",), "Take the dimension at the cursor.", "take", 1),
    Act("stay", ("escape", *GO, *OUT), "Go back to the dimension that was at hand.", "back", 3),
    Act("help", HELP, "What is asked here, and all the keys.", "help", 4),
))  # fmt: skip
PICK_KEYS = Keys("pick", "the list of dimensions", (Stand("letters", (LINE, PICK)),))
