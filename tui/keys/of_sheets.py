"""The keys of the sheets dialog."""

from tui.keys.acts import Act, Keys, Place, Stand
from tui.keys.common import ACROSS, DONE, GO, HELP, LINE, OUT, TURN, rows

SHEETS = Place("ANYWHERE HERE", (
    Act("write", DONE, "Write what is chosen.", "write", 0),
    Act("escape", ("escape", *OUT), "While sheets are written, stop; else go back.", "back or stop", 1),
    Act("paper", TURN, "Turn to the other paper, A4 or Letter.", "paper", 2),
    Act("list", GO, "Go into the list of sheets.", "which", 3),
    Act("help", HELP, "What is written, and all the keys.", "help", 6),
))  # fmt: skip
FOLDER = Place("AT THE FOLDER", (
    Act("write", ("enter",), "Write what is chosen.", "write", 7),
    Act("list", ("down",), "Go down into the list of sheets.", "which", 8),
), by_screen=True)  # fmt: skip
WHICH = rows("IN THE LIST OF SHEETS (F9)", "Choose the sheet at the cursor, or leave it out.",
             up="Go to the sheet above, from the first one to the folder.", hint="yes or no")  # fmt: skip
MARK = Place("", (
    Act("mark", ("space",), "Choose the sheet at the cursor, or leave it out.", "yes or no", 4),
    Act("all", ("a",), "Choose all sheets, or none.", "all or none", 5),
), by_screen=True)  # fmt: skip
KEYS = Keys("sheets", (
    Stand("folder", (LINE, FOLDER, ACROSS, SHEETS)),
    Stand("sheets", (WHICH, MARK, ACROSS, SHEETS)),
))  # fmt: skip
