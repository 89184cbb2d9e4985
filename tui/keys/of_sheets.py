"""The keys of the sheets dialog."""

from tui.keys.acts import Act, Keys, Place, Stand
from tui.keys.common import ACROSS, LINE, OUT, rows

SHEETS = Place("ANYWHERE HERE", (
    Act("write", ("f2", "ctrl+s"), "Write what is chosen.", "write", 0),
    Act("escape", ("escape", *OUT), "While sheets are written, stop; else go back.", "back or stop", 1),
    Act("paper", ("f5",), "Turn to the other paper, A4 or Letter.", "paper", 2),
    Act("list", ("f6",), "Go into the list of sheets.", "which", 3),
    Act("all", ("f7",), "Choose all sheets, or none.", "all or none", 5),
    Act("help", ("f1",), "What is written, and all the keys.", "help", 6),
))  # fmt: skip
FOLDER = Place("AT THE FOLDER", (
    Act("write", ("enter",), "Write what is chosen."),
    Act("list", ("down",), "Go down into the list of sheets."),
), by_screen=True)  # fmt: skip
WHICH = rows("IN THE LIST OF SHEETS (F6)", "Choose the sheet at the cursor, or leave it out.",
             up="Go to the sheet above, from the first one to the folder.")  # fmt: skip
MARK = Place("", (
    Act("mark", ("space",), "Choose the sheet at the cursor, or leave it out.", "yes or no", 4),
), by_screen=True)  # fmt: skip
KEYS = Keys("sheets", (
    Stand("folder", (LINE, FOLDER, ACROSS, SHEETS)),
    Stand("sheets", (WHICH, MARK, ACROSS, SHEETS)),
))  # fmt: skip
