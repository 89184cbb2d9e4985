"""The keys of the first screen, of questions, and of the help."""

from dataclasses import replace

from tui.keys.acts import Act, Keys, Place, Stand
from tui.keys.common import DONE, HELP, LINE, OUT, SHADE, rows

LOCKS = rows("IN THE LIST OF LOCKS", "Open the lock at the cursor.", hint="open", move="choose")
START = Place("ANYWHERE", (
    Act("help", (*HELP, "question_mark"), "What is offered here, and all the keys.", "help", 2),
    replace(SHADE, hint="look", rank=3),
    Act("leave", ("escape", *OUT), "Leave the program.", "quit", 4, written="F10"),
))  # fmt: skip
START_KEYS = Keys("start", (Stand("locks", (LOCKS, START)),))

ANSWERS = rows("IN THE ANSWERS", "Give the answer at the cursor.", hint="take", move="choose")
ASK = Place("ANYWHERE HERE", (
    Act("stay", ("escape", *OUT), "Go back; nothing is done.", "go back", 3),
    Act("help", (*HELP, "question_mark"), "All the keys.", "help", 4),
))  # fmt: skip
ASK_KEYS = Keys("ask", (Stand("answers", (ANSWERS, ASK)),))

NAME = Place("AT THE NAME", (
    Act("take", ("enter", *DONE), "Save under the name that is typed.", "save", 1),
    Act("stay", ("escape", *OUT), "Go back without saving.", "go back without saving", 2),
    Act("help", HELP, "All the keys.", "help", 3),
))  # fmt: skip
NAME_KEYS = Keys("name", (Stand("name", (LINE, NAME)),))

READING = Place("IN THIS HELP", (
    Act("scroll_up", ("up",), "Read back by a line.", "read on", 1, written="Up/Down"),
    Act("scroll_down", ("down",), "Read on by a line."),
    Act("page_up", ("pageup",), "Read back by what can be seen at once.", "by pages", 2, written="PgUp/PgDn"),
    Act("page_down", ("pagedown",), "Read on by what can be seen at once."),
    Act("scroll_home", ("home",), "Back to where it begins.", "begin, end", 3, written="Home/End"),
    Act("scroll_end", ("end",), "On to where it ends."),
))  # fmt: skip
CLOSE = Place("", (
    Act("close", ("escape", "enter", *HELP, "q", "space", *OUT), "Close the help.", "close", 0),
))  # fmt: skip
HELP_KEYS = Keys("help", (Stand("help", (READING, CLOSE)),))
