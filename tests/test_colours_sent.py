"""The colours that a terminal is sent, read off the bytes: each letter and line on its ground, in every look.

Sources: WCAG 2.1, 1.4.3 (4.5 to 1 for text) and 1.4.11 (3 to 1 for lines); ECMA-48 for the sequences; the 16 colours
of a PC's console (0, 85, 170, 255) and the cube and greys of xterm's 256 (its file 256colres.h; memory).
"""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from core.shipped import sample_locks
from tests.contrast import contrast
from tests.test_terminal import Terminal

SIXTEEN = [
    "#000000", "#aa0000", "#00aa00", "#aa5500", "#0000aa", "#aa00aa", "#00aaaa", "#aaaaaa",
    "#555555", "#ff5555", "#55ff55", "#ffff55", "#5555ff", "#ff55ff", "#55ffff", "#ffffff",
]  # fmt: skip
TOKEN = re.compile(r"\x1b\[([0-9;]*)m|\x1b\[[0-9;?<>=]*[ -/]*[@-~]|\x1b[@-Z\\-_]|([^\x1b])")


def numbered(number: int) -> str:
    """Return a colour of the 256."""
    if number < 16:
        return SIXTEEN[number]
    if number >= 232:
        return "#" + 3 * f"{8 + 10 * (number - 232):02x}"
    parts = [(number - 16) // 36, (number - 16) // 6 % 6, (number - 16) % 6]
    return "#" + "".join(f"{55 + 40 * part if part else 0:02x}" for part in parts)


def inked(written: bytes) -> Iterator[tuple[str, str, str]]:
    """Yield each character that shows, with its colour and that of its ground; "" is the terminal's own."""
    ink = ground = ""
    turned = False
    for codes, character in TOKEN.findall(written.decode("utf-8", "replace")):
        if character:
            if character.isprintable() and character not in " \u2800":
                yield (character, ground, ink) if turned else (character, ink, ground)
            continue
        numbers = [int(code or 0) for code in codes.split(";")] if codes else [0]
        while numbers:
            match numbers.pop(0):
                case 0:
                    ink, ground, turned = "", "", False
                case 7:
                    turned = True
                case 27:
                    turned = False
                case 39:
                    ink = ""
                case 49:
                    ground = ""
                case 38 | 48 as which:
                    if numbers.pop(0) == 5:
                        colour = numbered(numbers.pop(0))
                    else:
                        colour = "#" + "".join(f"{numbers.pop(0):02x}" for _ in range(3))
                    ink, ground = (colour, ground) if which == 38 else (ink, colour)
                case code if 30 <= code <= 37 or 90 <= code <= 97:
                    ink = SIXTEEN[code - 30 if code < 90 else code - 82]
                case code if 40 <= code <= 47 or 100 <= code <= 107:
                    ground = SIXTEEN[code - 40 if code < 100 else code - 92]


def shown(folder: Path, term: str, ground: str) -> bytes:
    """Return what the program writes from its first screen through a lock that fouls, its findings and its turn."""
    sample = next(path for path in sample_locks() if "pump" in path.name)
    fouls = shutil.copy(sample, folder / "fouls.toml")
    with Terminal(folder, str(fouls), TERM=term, COLORFGBG=ground) as terminal:
        here = terminal.wait_for("Plate", "stop")
        for key, words in (
            (b"\x1b[17~", "Enter"),
            (b"\x1b", "outline"),
            (b"\x1b[15~", "unlocking"),
        ):
            terminal.send(key)
            here = terminal.wait_for(words, after=here)
        terminal.send(b"\x11")
        terminal.wait_for("boltwright", after=here)
        terminal.send(b"\x11")
        terminal.end()
    return terminal.written


@pytest.mark.slow
@pytest.mark.parametrize("ground", ["15;0", "0;15"], ids=["dark", "light"])
@pytest.mark.parametrize("term", ["linux", "xterm", "xterm-256color"])
def test_every_letter_and_line_that_is_sent_stands_off_its_ground(
    tmp_path: Path, term: str, ground: str
) -> None:
    seen = set(inked(shown(tmp_path, term, ground)))
    coloured = [(c, ink, under) for c, ink, under in seen if ink and under]
    assert len({c for c, *_ in coloured}) > 60
    for character, ink, under in coloured:
        line = not character.isascii() and not character.isalnum()
        assert contrast(ink, under) >= (3.0 if line else 4.5), (character, ink, under)
