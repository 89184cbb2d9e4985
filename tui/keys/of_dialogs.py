"""The keys of the first screen, of questions, and of the help."""

from dataclasses import replace

from tui.keys.acts import Act, Keys, Place, Stand
from tui.keys.common import DONE, HELP, LINE, OUT, SHADE, rows

LOCKS = rows("IN THE LIST OF LOCKS", "Open the lock at the cursor.", hint="open", move="choose")
START = Place("ANYWHERE", (
    Act("help", (*HELP, "question_mark"), "What is offered here, and all the keys.", "help", 2),
    replace(SHADE, hint="look", rank=3),
    Act("sort", ("s",), "Sort the saved locks: by name, by their last change, by how they stand.", "sort", 5),
    Act("rename", ("r",), "Give the lock at the cursor another name, with what is kept beside it.", "rename", 6),
    Act("copy", ("c",), "Copy the lock at the cursor to another name.", "copy", 7),
    Act("move", ("m",), "Move the lock at the cursor into another folder, with what is kept beside it.", "move", 8),
    Act("leave", ("escape", *OUT), "Leave the program.", "quit", 4, written="F10"),
))  # fmt: skip
START_KEYS = Keys("start", "the first screen", (Stand("locks", (LOCKS, START)),))

ANSWERS = rows("IN THE ANSWERS", "Give the answer at the cursor.", hint="take", move="choose")
ASK = Place("ANYWHERE HERE", (
    Act("stay", ("escape", *OUT), "Go back; nothing is done.", "go back", 3),
    Act("help", (*HELP, "question_mark"), "All the keys.", "help", 4),
))  # fmt: skip
ASK_KEYS = Keys("ask", "a question", (Stand("answers", (ANSWERS, ASK)),))

NAME = Place("AT THE NAME", (
    Act("take", ("enter", *DONE), "Save under the name that is typed.", "save", 1),
    Act("stay", ("escape", *OUT), "Go back without saving.", "go back without saving", 2),
    Act("help", HELP, "All the keys.", "help", 3),
))  # fmt: skip
NAME_KEYS = Keys("name", "the name of a file", (Stand("name", (LINE, NAME)),))

PLACE = Place("AT THE LINE", (
    Act("take", ("enter", *DONE), "Do it, to what is typed.", "do it", 1),
    Act("stay", ("escape", *OUT), "Go back; the lock stays as it is.", "go back", 2),
    Act("help", HELP, "What becomes of the lock, and all the keys.", "help", 3),
))  # fmt: skip
PLACE_KEYS = Keys("place", "the place of a lock", (Stand("name", (LINE, PLACE)),))

READING = Place("IN THIS HELP", (
    Act("word", ("a", "z"), "Search all of the help for what begins with the word that is typed.", "search", 1,
        typed="Letters"),
    Act("read_back", ("up",), "Read back by a line.", "read on", 2, written="Up/Down"),
    Act("read_on", ("down",), "Read on by a line."),
    Act("page_back", ("pageup",), "Read back by what can be seen at once.", "by pages", 3, written="PgUp/PgDn"),
    Act("page_on", ("pagedown",), "Read on by what can be seen at once."),
    Act("begin", ("ctrl+home",), "Back to where it begins.", "begin, end", 4, written="Ctrl+Home/End"),
    Act("finish", ("ctrl+end",), "On to where it ends."),
    Act("escape", ("escape",), "Forget the word that is typed; without one, close the help.", "close", 0),
    Act("close", ("enter", *HELP, *OUT), "Close the help.", "close", 0),
))  # fmt: skip
HELP_KEYS = Keys("help", "the help", (Stand("word", (LINE, READING)),))
