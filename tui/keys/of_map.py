"""The keys of the map."""

from tui.keys.acts import Act, Keys, Place, Stand
from tui.keys.common import HELP, OUT, REDO, SHADE, UNDO

MAP = Place("THE KEYS HERE", (
    Act("back", ("escape", "enter"), "Back to the step; the lock stays where it was moved to.", "back", 0),
    Act("help", (*HELP, "question_mark"), "What the map shows, and all the keys.", "help", 0),
    Act("right", ("right",), "Move the lock to the right by a small step.", "move the lock", 1, written="Arrows"),
    Act("left", ("left",), "Move it to the left."),
    Act("up", ("up",), "Move it up."),
    Act("down", ("down",), "Move it down."),
    Act("far_right", ("shift+right", "ctrl+right"), "Move it to the right ten times as far.", "x10", 2,
        written="Shift+Arrows"),
    Act("far_left", ("shift+left", "ctrl+left"), "Move it to the left ten times as far."),
    Act("far_up", ("shift+up", "ctrl+up", "pageup"), "Move it up ten times as far."),
    Act("far_down", ("shift+down", "ctrl+down", "pagedown"), "Move it down ten times as far."),
    Act("most", ("m",), "Move the lock to where the map has most room.", "most room", 3),
    Act("other", ("d", "tab"), "Show the map of two other dimensions.", "other dimensions", 4),
    Act("choose_across", ("x",), "Choose the dimension across.", "choose across, up", 5, written="X/Y"),
    Act("choose_up", ("y",), "Choose the dimension up."),
    Act("leave", OUT, "Leave for the list of locks; asks if anything is unsaved.", "leave", 9),
    UNDO,
    REDO,
    SHADE,
))  # fmt: skip
MAP_KEYS = Keys("map", "the map", (Stand("", (MAP,)),))
