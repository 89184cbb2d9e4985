"""The keys of the turn view."""

from tui.keys.acts import Act, Keys, Place, Stand
from tui.keys.common import HELP, OUT, SHADE, VIEW
from tui.keys.common import TURN as TURNED

TURN = Place("THE KEYS HERE", (
    Act("back", ("escape", *TURNED), "Back to the step.", "back", 0),
    Act("help", (*HELP, "question_mark"), "What is read off here, and all the keys.", "help", 0),
    Act("play", ("space", "enter"), "Let the key turn, or hold it. It stops where something fouls or jams; Space "
        "again goes on all the same.", "play", 1),
    Act("on_one", ("right", "full_stop"), "Turn the key on by one degree.", "1°", 2, written="Left/Right"),
    Act("back_one", ("left", "comma"), "Turn it back by one degree."),
    Act("on_ten", ("up", "pageup", "shift+right", "ctrl+right"), "Turn it on by ten degrees.", "10°", 3,
        written="Up/Down"),
    Act("back_ten", ("down", "pagedown", "shift+left", "ctrl+left"), "Turn it back by ten degrees."),
    Act("other_way", ("s", "tab"), "The other stroke: unlocking or locking, at the same angle.", "stroke", 5),
    Act("key_in", ("home", "i"), "To key-in, where the stroke begins.", "key-in", 10),
    Act("pick_up", ("p",), "To the pick-up, where the bit meets the flank.", "pick-up", 6),
    Act("release", ("r",), "To the release, where the bit lets go of the flank.", "release", 7),
    Act("key_out", ("end", "o"), "To key-out, where the stroke ends.", "key-out", 11),
    Act("trouble", ("x",), "To where something next fouls or jams, in either stroke.", "fouls", 4),
    Act("kept", ("k",), "See the forces as if the lock were kept greased, clean or dry; the lock stays as it is.",
        "grease", 9),
    Act("adopt", ("a",), "Keep the lock itself as it is shown: greased, clean or dry.", "keep it so", 14),
    Act("charts", ("c",), "Show the charts, or give their room to the drawing.", "charts", 12),
    Act("view", (*VIEW, "v"), "Change the view: the mechanism, close to the tooth, or the whole plate.", "view", 9),
    Act("closer", ("plus", "equals_sign"), "Zoom in; so does the mouse wheel. Dragging moves the drawing.",
        "zoom", 13, written="+/-"),
    Act("farther", ("minus",), "Zoom out."),
    Act("whole", ("0",), "Show the whole view again.", "whole", 15),
    Act("leave", OUT, "Leave for the list of locks; asks if anything is unsaved.", "leave", 16),
    SHADE,
))  # fmt: skip
KEYS = Keys("turn", "the turn of the key", (Stand("", (TURN,)),))
