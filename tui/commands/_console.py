"""What the commands share: writing to the terminal they run on, and opening the screens."""

import os
import shutil
import sys
from pathlib import Path

from core.errors import BoltwrightError, SaveError
from core.text import plain
from tui.commands._loading import loading

WIDEST = 100
"""Columns of the widest text."""


class NoScreenError(BoltwrightError):
    """There is no terminal here on which a full-screen program can run."""


def say(text: str) -> None:
    """Write `text` to standard output, without control characters other than line ends.

    A reader that goes away early, such as `head`, is not a fault: the rest is dropped.

    Raises
    ------
    SaveError
        Where standard output is a file on a full disk, and the like.
    """
    if sys.stdout is None:
        raise SaveError("The output was not written: it is closed")
    try:
        print(plain(text, lines=True), flush=True)  # noqa: T201 - the one place that prints
    except BrokenPipeError:
        # Python flushes once more on its way out, and would complain then
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise SaveError(f"The output was not written whole: {error.strerror}") from error


def columns() -> int:
    """Return how wide a text may be: as the terminal, but no wider than a line can be read."""
    return min(shutil.get_terminal_size().columns, WIDEST)


def open_screen(path: Path | None) -> int:
    """Open the full-screen program, on a project file or on the start screen, and return its code.

    Raises
    ------
    NoScreenError
        Without a terminal, or on one that cannot move its cursor.
    BadFileError
        For a file that cannot be read as a lock.
    """
    for what, stream in (("input", sys.stdin), ("output", sys.stdout), ("messages", sys.stderr)):
        if stream is None or not stream.isatty():
            raise NoScreenError(
                f"There is no screen here, its {what} being piped; {_instead(path)}"
            )
    if os.name == "posix" and os.environ.get("TERM", "") in ("", "dumb", "unknown"):
        raise NoScreenError(f"This terminal cannot show a full screen; {_instead(path)}")
    # the number typed, the drawing and the findings are a frame each: at the toolkit's own 60 a second they wait longer
    os.environ.setdefault("TEXTUAL_FPS", "500")
    # the screens take most of the start-up time, and only this command needs them
    with loading():
        from tui.app import run

    return run(path)


def _instead(path: Path | None) -> str:
    return f"for text, use: boltwright report {'FILE' if path is None else path}"
