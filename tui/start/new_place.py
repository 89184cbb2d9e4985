"""Asks where a saved lock shall go: under another name, into another folder, or as a copy beside it."""

from collections.abc import Callable
from pathlib import Path

from textual.content import Content

from core.text import plain
from tui.desk.naming import file_named, folder_named
from tui.keys.acts import bindings
from tui.keys.of_dialogs import PLACE, PLACE_KEYS
from tui.widgets.dialogs import AskLine

Doing = Callable[[Path, Path], None]
"""What is done with the lock's file, given where it is and where it shall be; a refusal is an error of our own."""


class AskPlace(AskLine[Path]):
    """Asks for a name or a folder, does what it is asked for, and ends with the lock's new file."""

    KEYS = PLACE_KEYS
    BINDINGS = bindings(PLACE)
    HEADING = "WHERE THE LOCK GOES"

    def __init__(
        self, question: str, suggested: str, lock: Path, do: Doing, *, folder: bool = False
    ) -> None:
        """Ask where `lock` shall go; with `folder` it keeps its name, and goes into the folder that is typed."""
        super().__init__(question, plain(suggested))
        self._lock, self._do, self._folder = lock, do, folder

    def made_of(self, typed: str) -> Path:
        """Return the lock's new file, after it was put there."""
        place = folder_named(typed) / self._lock.name if self._folder else file_named(typed)
        place = self._lock.parent / place
        self._do(self._lock, place)
        return place

    def about(self) -> Content:
        """Return what there is to say of a place."""
        return Content(
            "What is kept beside the lock goes with it: its list of changes, and work that was not saved. Nothing is "
            "written over, and nothing is thrown away."
        )
