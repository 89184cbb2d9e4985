"""Keys that hold on many screens: in a line that is typed in, at a prompt, in a list, in the drawing."""

from tui.keys.acts import Act, Place

SHADE = Act(
    "shade", ("ctrl+t",), "Light letters on dark, high contrast, or dark on light.", "look", 30
)
UNDO = Act("undo", ("ctrl+z",), "Take back the last change.", "undo", 11)
REDO = Act("redo", ("ctrl+y",), "Make the change again that was taken back.", "redo", 12)
HELP = ("f1", "ctrl+e")
"""Explain. Each function key has one meaning in all views, and a twin with Ctrl for keyboards that lack it."""
DONE = ("f2", "ctrl+s")
"""Save, keep or write what is at hand."""
BEFORE = ("f3", "ctrl+u")
"""Up to the step, dimension or the like before."""
AFTER = ("f4", "ctrl+d")
"""Down to the next one."""
TURN = ("f5", "ctrl+k")
"""Turn: the key, what is meant, the paper."""
FOUND = ("f6", "ctrl+w")
"""What was found, what is wrong, and what would mend it."""
VIEW = ("f7", "ctrl+v")
"""The next view of the drawing."""
LOOK = ("f8", "ctrl+l")
"""Into the drawing, to look closer."""
GO = ("f9", "ctrl+g")
"""Into the list of all that one can go to."""
OUT = ("f10", "ctrl+q", "ctrl+c")
"""Out of a screen, wherever the cursor is."""

LINE = Place("IN THE LINE", (
    Act("cursor_left", ("left",), "Go to the letter before."),
    Act("cursor_right", ("right",), "Go to the letter after."),
    Act("cursor_left_word", ("ctrl+left",), "Go to the word before."),
    Act("cursor_right_word", ("ctrl+right",), "Go to the word after."),
    Act("home", ("home",), "Go to where the line begins."),
    Act("end", ("end",), "Go to where the line ends."),
    Act("select_left", ("shift+left",), "Mark the letter before; what is typed goes in its place."),
    Act("select_right", ("shift+right",), "Mark the letter after."),
    Act("select_home", ("shift+home",), "Mark all up to where the line begins."),
    Act("select_end", ("shift+end",), "Mark all up to where the line ends."),
    Act("delete_left", ("backspace", "ctrl+h"), "Take away the letter before, or what is marked."),
    Act("delete_right", ("delete",), "Take away the letter after."),
))  # fmt: skip
CHOICE = Place("AT A CHOICE", (
    Act("word_before", ("left",), "Turn to the word before.", "choose", 2, written="Left/Right"),
    Act("word_after", ("right",), "Turn to the word after."),
    Act("typed", ("a", "l", "r", "z"), "Take the word that begins so; the same letter again, the next one.", "choose",
        2, typed="First letter"),
))  # fmt: skip
NOTES = Place("IN TITLE AND NOTES", (
    Act("line_break", ("ctrl+j",), "Begin a new line in the notes.", "new line", 3),
))  # fmt: skip


def prompt(enter: str, back: str, heading: str = "AT THE PROMPT", *, hint: str = "next") -> Place:
    """Return the keys of a prompt; `enter` and `back` say what Enter and Shift+Tab do."""
    return Place(heading, (
        Act("enter", ("enter", "tab"), enter, hint, 1, written="Enter"),
        Act("prompt_back", ("shift+tab",), back, "prompt back", 20),
        Act("more", ("up",), "Nudge the value up by one small step; at a choice, turn to the word before.", "nudge", 3,
            written="Up/Down"),
        Act("less", ("down",), "Nudge the value down; at a choice, turn to the word after."),
        Act("much_more", ("pageup", "shift+up", "ctrl+up"), "Nudge up ten times as far.", "x10", 7,
            written="PgUp/PgDn"),
        Act("much_less", ("pagedown", "shift+down", "ctrl+down"), "Nudge down ten times as far."),
    ), by_screen=True)  # fmt: skip


SEE_WAY = Act("see_way", ("w",), "Draw the lock as the first of these would leave it, then the next, then as it is "
    "again; nothing is set, and Esc ends it.", "see it first", 3)  # fmt: skip
OPENINGS = Place("WHERE NOTHING FITS", (*(
    Act(f"opening({number})", (key,), f"Set elsewhere what stands at {key.upper()}, so that something fits here.",
        "make room", 19)
    for number, key in enumerate("jkl")
), SEE_WAY))  # fmt: skip
"""What opens the window at the prompt; the letters are keys only while something is named at them."""
PROMPT = prompt(
    "Take what is typed and go on to the next prompt; with nothing typed the value stays as it is.",
    "Go back to the prompt before.",
)


def rows(
    heading: str,
    enter: str,
    *,
    up: str = "Go to the line above.",
    hint: str = "take",
    move: str = "choose",
) -> Place:
    """Return the keys of a list; `enter` and `up` say what these two do, the hints are for the last line."""
    return Place(heading, (
        Act("cursor_up", ("up",), up, move, 2, written="Up/Down"),
        Act("cursor_down", ("down",), "Go to the line below."),
        Act("page_up", ("pageup",), "Go up by what can be seen at once.", "by pages", 21, written="PgUp/PgDn"),
        Act("page_down", ("pagedown",), "Go down by what can be seen at once."),
        Act("first", ("home",), "Go to the first line.", "first, last", 22, written="Home/End"),
        Act("last", ("end",), "Go to the last line."),
        Act("select", ("enter",), enter, hint, 1),
    ))  # fmt: skip


LIST = rows("IN A LIST", "Take the line at the cursor.")
QUESTION = Place("", (
    Act("help", ("question_mark",), "Help, as F1 gives it; in title and notes it is typed."),
))  # fmt: skip
ACROSS = Place("FROM PLACE TO PLACE", (
    Act("across", ("tab",), "Go on to the next list, line or drawing.", "next place", 20),
    Act("across_back", ("shift+tab",), "Go back to the list, line or drawing before.", "place before", 23),
))  # fmt: skip
DRAWING = Place("IN THE DRAWING (F8)", (
    Act("closer", ("plus", "equals_sign"), "Zoom in; so does the mouse wheel.", "closer, farther", 1, written="+/-"),
    Act("farther", ("minus",), "Zoom out."),
    Act("pan_left", ("left",), "Look farther to the left; dragging with the mouse moves the drawing too.",
        "move", 2, written="Arrows"),
    Act("pan_right", ("right",), "Look farther to the right."),
    Act("pan_up", ("up",), "Look farther up."),
    Act("pan_down", ("down",), "Look farther down."),
    Act("whole", ("0", "home"), "Show the whole view again.", "whole", 3),
))  # fmt: skip
RETURN = Place(
    "",
    (Act("rest", ("enter",), "Go back to the prompt.", "back to the prompt", 4),),
    by_screen=True,
)
