"""The keys of the change view, and of the list in which a dimension is chosen."""

from tui.keys.acts import Act, Keys, Place, Stand
from tui.keys.common import ACROSS, CHOICE, DRAWING, LINE, OUT, QUESTION, RETURN, SHADE, prompt

PROMPT = prompt("Try what is typed.", "Try the dimension before.", hint="try")
CHANGE = Place("ANYWHERE HERE", (
    Act("keep", ("f2", "ctrl+s"), "Keep the change: go on with the lock as it is shown.", "keep", 0),
    Act("escape", ("escape",), "Go back without a change; from a list or the drawing, return to the prompt.",
        "drop", 1),
    Act("drop", OUT, "Go back without a change, wherever the cursor is."),
    Act("other_meaning", ("f5",), "Mean it the other way: it came out so, or it is a wish.", "wish or fact", 2),
    Act("ways", ("f6",), "Go into the ways out.", "ways out", 3),
    Act("dimension_back", ("f3",), "Try the dimension before."),
    Act("dimension_on", ("f4",), "Try the next dimension."),
    Act("view", ("f7",), "Change the view: all of it, the tooth, or close to the move.", "view", 5),
    Act("drawing", ("f8",), "Go into the drawing to zoom and to move about.", "zoom", 6),
    Act("dimensions", ("f9",), "Choose another dimension.", "dimension", 4),
    Act("help", ("f1",), "What is shown here, and all the keys.", "help", 7),
    SHADE,
))  # fmt: skip
WAYS = Place("IN THE WAYS OUT (F6)", (
    Act("cursor_up", ("up",), "Go to the way out above."),
    Act("cursor_down", ("down",), "Go to the way out below."),
    Act("first", ("home",), "Go to the first way out."),
    Act("last", ("end",), "Go to the last way out."),
    Act("select", ("enter",), "See the way out at the cursor taken, or take it back."),
    Act("read_back", ("pageup",), "Read back in what comes of it."),
    Act("read_on", ("pagedown",), "Read on in what comes of it."),
))  # fmt: skip
KEYS = Keys("change", (
    Stand("entry", (LINE, PROMPT, QUESTION, CHANGE), "number"),
    Stand("entry", (CHOICE, PROMPT, QUESTION, CHANGE), "choice"),
    Stand("ways", (WAYS, ACROSS, QUESTION, CHANGE)),
    Stand("drawing", (DRAWING, RETURN, ACROSS, QUESTION, CHANGE)),
))  # fmt: skip

PICK = Place("IN THE LIST OF DIMENSIONS", (
    Act("up", ("up",), "Go to the dimension above.", "choose", 2, written="Up/Down"),
    Act("down", ("down",), "Go to the dimension below."),
    Act("page_up", ("pageup",), "Go up by what can be seen at once."),
    Act("page_down", ("pagedown",), "Go down by what can be seen at once."),
    Act("pick", ("enter",), "Take the dimension at the cursor.", "take", 1),
    Act("stay", ("escape", "f9", *OUT), "Go back to the dimension that was at hand.", "back", 3),
    Act("help", ("f1",), "What is asked here, and all the keys.", "help", 4),
))  # fmt: skip
PICK_KEYS = Keys("pick", (Stand("letters", (LINE, PICK)),))
