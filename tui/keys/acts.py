"""What can be done, with which keys: one table that feeds the keys, the hints and the help."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Literal

from textual.binding import Binding, BindingType

Where = Literal[
    "prompt",
    "anywhere",
    "rows",
    "proposing",
    "drawing",
    "list",
    "turn",
    "change",
    "made",
    "read off",
    "sheets",
]
"""Where an action holds: at the prompt, all over the working screen, all over it in a step that asks for rows or
that has something to propose, in the drawing, in a list; or all over another screen.
"""
WORKING: tuple[Where, ...] = ("prompt", "anywhere", "rows", "proposing", "drawing", "list")
"""The places of the working screen."""


@dataclass(frozen=True)
class Act:
    """One action. `keys` as the terminal names them, `shown` as they are written for the maker.

    An action with a `hint` is named in the last line of the screen, the smallest `rank` first.
    One that `opens` another screen names the module, in `tui`, that has an `over`, which makes
    that screen for the working screen it is given.
    """

    name: str
    keys: tuple[str, ...]
    shown: str
    help: str
    where: Where
    hint: str = ""
    rank: int = 99
    opens: str = ""

    @property
    def action(self) -> str:
        """The action as the toolkit runs it."""
        return f"open('{self.opens}')" if self.opens else self.name


ACTS: tuple[Act, ...] = (
    Act("enter", ("enter", "tab"), "Enter", "Take what is typed and go on to the next prompt; "
        "with nothing typed the value stays as it is.", "prompt", "next", 1),
    Act("prompt_back", ("shift+tab",), "Shift+Tab", "Go back to the prompt before.", "prompt"),
    Act("more", ("up",), "Up", "Nudge the value up by 0.1 mm, 1/64 in or half a degree; at a choice, "
        "turn to the one before.", "prompt", "nudge", 3),
    Act("less", ("down",), "Down", "Nudge the value down, or turn to the next choice.", "prompt"),
    Act("much_more", ("pageup", "shift+up", "ctrl+up"), "PgUp", "Nudge up ten times as far; "
        "Shift+Up does the same.", "prompt", "x10", 7),
    Act("much_less", ("pagedown", "shift+down", "ctrl+down"), "PgDn", "Nudge down ten times as far; "
        "Shift+Down does the same.", "prompt"),
    Act("escape", ("escape",), "Esc", "Put back the value as it was; in a list or the drawing, return "
        "to the prompt.", "prompt"),
    Act("line_break", ("ctrl+j",), "Ctrl+J", "Begin a new line in the notes.", "prompt"),
    Act("help", ("f1",), "F1", "Help on this prompt, and all the keys; ? does the same at a number.",
        "anywhere", "help", 0),
    Act("save", ("f2", "ctrl+s"), "F2", "Save the lock to its file.", "anywhere", "save", 2),
    Act("step_back", ("f3",), "F3", "Go to the step before.", "anywhere", "step back", 5),
    Act("step_on", ("f4",), "F4", "Go to the next step.", "anywhere", "step on", 4),
    Act("turn", ("f5",), "F5", "Turn the key and watch: travel, torque, the least gap, and where anything "
        "fouls or jams.", "anywhere", "turn key", 4, opens="turn.screen"),
    Act("findings", ("f6",), "F6", "Look through the findings: Up and Down; F1 tells what one means, Enter "
        "goes to what mends it.", "anywhere", "findings", 8),
    Act("view", ("f7",), "F7", "Change the view: all of it, the plate, or close to the tooth.",
        "anywhere", "view", 6),
    Act("drawing", ("f8",), "F8", "Go into the drawing to zoom and to move about.", "anywhere",
        "zoom", 9),
    Act("steps", ("f9",), "F9", "Go into the list of steps: Up and Down or its number, then Enter.",
        "anywhere", "steps", 10),
    Act("leave", ("f10", "ctrl+q"), "F10", "Leave for the list of locks; asks if anything is "
        "unsaved.", "anywhere", "leave", 1),
    Act("change", ("ctrl+n",), "Ctrl+N", "Change one dimension and see it before and after: what got worse, and "
        "which made parts are still good.", "anywhere", "change one", 6, opens="change.screen"),
    Act("made", ("ctrl+o",), "Ctrl+O", "Parts made so far: mark them, and type what was measured on them.",
        "anywhere", "made", 7, opens="made.screen"),
    Act("read_off", ("ctrl+r",), "Ctrl+R", "Read off at the bench, throw or angle or gap: what is the likely "
        "cause, and its correction.", "anywhere", "read off", 12, opens="made.reading_screen"),
    Act("sheets", ("ctrl+p",), "Ctrl+P", "Print: full-size sheets, marking tables and the report, into a folder.",
        "anywhere", "sheets", 7, opens="sheets.screen"),
    Act("undo", ("ctrl+z",), "Ctrl+Z", "Take back the last change.", "anywhere", "undo", 11),
    Act("redo", ("ctrl+y",), "Ctrl+Y", "Make the change again that was taken back.", "anywhere"),
    Act("shade", ("ctrl+t",), "Ctrl+T", "Light letters on dark, or dark on light.", "anywhere"),
    Act("row_add", ("ctrl+f", "insert"), "Ctrl+F", "Further one: add another row, such as a post, where there is "
        "most room.", "rows", "add", 0),
    Act("row_copy", ("ctrl+l",), "Ctrl+L", "Like this one: add a copy of the row at hand, in the same place.", "rows",
        "copy", 0),
    Act("row_name", ("ctrl+g",), "Ctrl+G", "Give the row at hand another name.", "rows", "name", 0),
    Act("row_remove", ("ctrl+x",), "Ctrl+X", "Cross out: take the row at hand away.", "rows", "remove", 0),
    Act("propose", ("f12",), "F12", "Take the spring and notches that are proposed for this "
        "lock.", "proposing", "propose", 0),
    Act("closer", ("plus", "equals_sign"), "+", "Zoom in; so does the mouse wheel.", "drawing"),
    Act("farther", ("minus",), "-", "Zoom out.", "drawing"),
    Act("pan_left", ("left",), "arrows", "Move about in the drawing.", "drawing"),
    Act("pan_right", ("right",), "", "", "drawing"),
    Act("pan_up", ("up",), "", "", "drawing"),
    Act("pan_down", ("down",), "", "", "drawing"),
    Act("whole", ("0", "home"), "0", "Show the whole view again.", "drawing"),
    Act("back", ("escape", "f5"), "Esc", "Back to the step.", "turn", "back", 0),
    Act("help", ("f1", "question_mark"), "F1", "What is read off here, and all the keys.", "turn", "help", 0),
    Act("play", ("space", "enter"), "Space", "Let the key turn, or hold it. It stops where something "
        "fouls or jams; Space again goes on all the same.", "turn", "play", 1),
    Act("on_one", ("right", "full_stop"), "Right", "Turn the key on by one degree.", "turn", "1°", 2),
    Act("back_one", ("left", "comma"), "Left", "Turn it back by one degree.", "turn"),
    Act("on_ten", ("up", "pageup", "shift+right", "ctrl+right"), "Up", "Turn it on by ten degrees; PgUp and "
        "Shift+Right do the same.", "turn", "10°", 3),
    Act("back_ten", ("down", "pagedown", "shift+left", "ctrl+left"), "Down", "Turn it back by ten degrees; "
        "PgDn and Shift+Left do the same.", "turn"),
    Act("other_way", ("s", "tab"), "S", "The other stroke: unlocking or locking, at the same angle.", "turn",
        "stroke", 5),
    Act("key_in", ("home", "i"), "Home", "To key-in, where the stroke begins.", "turn", "key-in", 10),
    Act("pick_up", ("p",), "P", "To the pick-up, where the bit meets the flank.", "turn", "pick-up", 6),
    Act("release", ("r",), "R", "To the release, where the bit lets go of the flank.", "turn", "release", 7),
    Act("key_out", ("end", "o"), "End", "To key-out, where the stroke ends.", "turn", "key-out", 11),
    Act("trouble", ("x",), "X", "To where something next fouls or jams, in either stroke.", "turn",
        "fouls", 4),
    Act("kept", ("k",), "K", "See the forces as if the lock were kept greased, clean or dry; the lock stays as it "
        "is.", "turn", "grease", 9),
    Act("adopt", ("a",), "A", "Keep the lock itself as it is shown: greased, clean or dry.", "turn"),
    Act("charts", ("c",), "C", "Show the charts, or give their room to the drawing.", "turn", "charts", 12),
    Act("view", ("f7", "v"), "F7", "Change the view: the mechanism, close to the tooth, or the whole plate.",
        "turn", "view", 9),
    Act("closer", ("plus", "equals_sign"), "+", "Zoom in; so does the mouse wheel. Dragging moves the "
        "drawing.", "turn"),
    Act("farther", ("minus",), "-", "Zoom out.", "turn"),
    Act("whole", ("0",), "0", "Show the whole view again.", "turn"),
    Act("shade", ("ctrl+t",), "Ctrl+T", "Light letters on dark, or dark on light.", "turn"),
    Act("leave", ("f10", "ctrl+q"), "F10", "Leave for the list of locks; asks if anything is "
        "unsaved.", "turn"),
    Act("keep", ("f2", "ctrl+s"), "F2", "Keep the change: go on with the lock as it is shown.", "change", "keep", 0),
    Act("escape", ("escape", "f10", "ctrl+q", "ctrl+c"), "Esc", "Go back without a change; in a list or the drawing, "
        "return to the prompt.", "change", "drop", 1),
    Act("other_meaning", ("f5",), "F5", "Mean it the other way: it came out so, or it is a wish.", "change",
        "wish or fact", 2),
    Act("ways", ("f6",), "F6", "Go into the ways out: Up and Down, Enter takes one or takes it back; PgUp and PgDn "
        "read on.", "change", "ways out", 3),
    Act("dimension_back", ("f3",), "F3", "Try the dimension before.", "change"),
    Act("dimension_on", ("f4",), "F4", "Try the next dimension.", "change"),
    Act("view", ("f7",), "F7", "Change the view: all of it, the tooth, or close to the move.", "change", "view", 5),
    Act("drawing", ("f8",), "F8", "Go into the drawing to zoom and to move about.", "change", "zoom", 6),
    Act("dimensions", ("f9",), "F9", "Choose another dimension.", "change", "dimension", 4),
    Act("help", ("f1",), "F1", "What is shown here, and all the keys.", "change", "help", 7),
    Act("shade", ("ctrl+t",), "Ctrl+T", "Light letters on dark, or dark on light.", "change"),
    Act("mark", ("space",), "Space", "Mark the part at the cursor as made, as everything now stands; or as not made.",
        "made", "made or not", 0),
    Act("escape", ("escape", "f10", "ctrl+q", "ctrl+c"), "Esc", "From a measured value back to the list, from there to "
        "the step.", "made", "back", 2),
    Act("weigh", ("f6",), "F6", "See in the change view what the value at hand leads to, before it is kept.", "made",
        "what it does", 3),
    Act("read_off", ("f5", "ctrl+r"), "F5", "What was read off with the parts put together, and the likely cause.",
        "made", "read off", 4),
    Act("plug", ("f7",), "F7", "Plug the holes that stand astray, and count the plates as drilled where they belong; "
        "the plugs stay with the lock.", "made", "plug", 8),
    Act("list", ("f9",), "F9", "Go to the list of parts; Enter there goes to the measured values.", "made", "parts", 5),
    Act("help", ("f1",), "F1", "What is asked here, and all the keys.", "made", "help", 6),
    Act("undo", ("ctrl+z",), "Ctrl+Z", "Take back the last change.", "made", "undo", 7),
    Act("redo", ("ctrl+y",), "Ctrl+Y", "Make the change again that was taken back.", "made"),
    Act("shade", ("ctrl+t",), "Ctrl+T", "Light letters on dark, or dark on light.", "made"),
    Act("escape", ("escape", "f10", "ctrl+q", "ctrl+c"), "Esc", "Back; what was read off is dropped, corrections that "
        "were taken stay.", "read off", "back", 1),
    Act("causes", ("f6",), "F6", "Go into the likely causes: Enter takes one as found.", "read off", "causes", 0),
    Act("help", ("f1",), "F1", "How each is read off, and all the keys.", "read off", "help", 2),
    Act("undo", ("ctrl+z",), "Ctrl+Z", "Take back the last change.", "read off", "undo", 3),
    Act("redo", ("ctrl+y",), "Ctrl+Y", "Make the change again that was taken back.", "read off"),
    Act("shade", ("ctrl+t",), "Ctrl+T", "Light letters on dark, or dark on light.", "read off"),
    Act("write", ("f2", "ctrl+s"), "F2", "Write what is chosen; Enter at the folder does the same.", "sheets",
        "write", 0),
    Act("escape", ("escape", "f10", "ctrl+q", "ctrl+c"), "Esc", "While sheets are written, stop; else go back.",
        "sheets", "back or stop", 1),
    Act("paper", ("f5",), "F5", "Turn to the other paper, A4 or Letter.", "sheets", "paper", 2),
    Act("list", ("f6",), "F6", "Go into the list of sheets.", "sheets", "which", 3),
    Act("mark", ("space",), "Space", "Choose the sheet at the cursor, or leave it out.", "sheets", "yes or no", 4),
    Act("all", ("f7",), "F7", "Choose all sheets, or none.", "sheets", "all or none", 5),
    Act("help", ("f1",), "F1", "What is written, and all the keys.", "sheets", "help", 6),
)  # fmt: skip


def bindings(where: Where) -> list[BindingType]:
    """Return the key bindings of the actions that hold there."""
    return [
        Binding(",".join(act.keys), act.action, act.hint or act.name, show=False)
        for act in ACTS
        if act.where == where
    ]


def keys(where: Where) -> Mapping[str, str]:
    """Return the name of the action of every key that holds there."""
    return {key: act.name for act in ACTS if act.where == where for key in act.keys}


def shown(name: str) -> str:
    """Return the keys of an action as they are written for the maker."""
    return next(act.shown for act in ACTS if act.name == name)


def hints(places: Collection[Where]) -> tuple[Act, ...]:
    """Return the actions to be named on a screen that has these places, the most needed first."""
    found = (act for act in ACTS if act.hint and act.where in places)
    return tuple(sorted(found, key=lambda act: act.rank))


def opened_at(step: str) -> str:
    """Return what opens the screen that mends the findings of `step`; empty where a step does."""
    return next((act.opens for act in ACTS if act.opens and act.name == step), "")
