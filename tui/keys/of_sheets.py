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
    Act("printer", ("p",), "Turn to the next printer that was measured, or to none.", "printer", 7),
    Act("measure", ("m",), "Type what the bars of a printer measure; its sheets are then corrected.", "measure one", 8),
    Act("cutter", ("c",), "Turn to files for a laser or a mill, and back to sheets.", "cutter", 9),
    Act("check", ("k",), "Hold a printed sheet against the lock, by the mark that it bears.", "check a print", 10),
), by_screen=True)  # fmt: skip
ASKED = Place("AT THE LINE", (
    Act("take", ("enter", *DONE), "Take what is typed.", "take", 1),
    Act("stay", ("escape", *OUT), "Go back; nothing is done.", "go back", 2),
    Act("help", HELP, "All the keys.", "help", 3),
))  # fmt: skip
ASKED_KEYS = Keys("asked", "a line to type at the sheets", (Stand("asked", (LINE, ASKED)),))
KEYS = Keys("sheets", "the sheets", (
    Stand("folder", (LINE, FOLDER, ACROSS, SHEETS)),
    Stand("sheets", (WHICH, MARK, ACROSS, SHEETS)),
))  # fmt: skip
