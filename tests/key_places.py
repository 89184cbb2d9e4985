"""The way to every stand of the table of keys: which keys lead there, and how to be back after any key."""

import asyncio
from collections.abc import Callable, Iterator
from typing import Any

from textual.screen import Screen

from tests.tui_driving import Driver, to_step
from tui.keys.acts import Keys, Stand
from tui.keys.every_key import all_keys
from tui.widgets.keyed import Keyed

AT_ROWS = to_step("posts")
"""Keys that lead to the step of the posts, of which there are none at first."""
AT_NEW = ["f10", "down", "down", "enter"]
"""Keys that lead to the first page of a new lock."""
WAYS: dict[tuple[str, str, str], list[str]] = {
    ("start", "locks", ""): ["f10"],
    ("work", "entry", "number"): ["enter"],
    ("work", "entry", "choice"): [],
    ("work", "entry", "text"): to_step("lock"),
    ("work", "entry", "none"): [*AT_ROWS],
    ("work", "steps", ""): ["f9"],
    ("work", "findings", ""): ["f6"],
    ("work", "drawing", ""): ["f8"],
    ("change", "entry", "number"): ["enter", "ctrl+n", "up"],
    ("change", "entry", "choice"): ["ctrl+n", "right"],
    ("change", "ways", ""): ["enter", "ctrl+n", "up", "f6"],
    ("change", "drawing", ""): ["enter", "ctrl+n", "up", "f8"],
    ("pick", "letters", ""): ["ctrl+n", "f9"],
    ("made", "pieces", ""): ["ctrl+o"],
    ("made", "entry", "number"): ["ctrl+o", "space", "enter"],
    ("read off", "entry", "number"): ["ctrl+r"],
    ("read off", "causes", ""): ["ctrl+r", "pagedown", "f6"],
    ("turn", "", ""): ["f5"],
    ("map", "", ""): ["alt+m"],
    ("offers", "offers", ""): ["alt+l"],
    ("sheets", "folder", ""): ["ctrl+p"],
    ("sheets", "sheets", ""): ["ctrl+p", "f9"],
    ("asked", "asked", ""): ["ctrl+p", "f9", "k"],
    ("ask", "answers", ""): ["enter", "up", "f10"],
    ("begin", "entry", "text"): [*AT_NEW],
    ("begin", "entry", "choice"): [*AT_NEW, "enter"],
    ("begin", "entry", "number"): [*AT_NEW, *["enter"] * 4],
    ("begin", "offers", ""): [*AT_NEW, "f6"],
    ("name", "name", ""): ["f10", "down", "down", "down", "down", "enter", "f2"],
    ("place", "name", ""): ["f10", "r"],
    ("row name", "name", ""): [*AT_ROWS, "ctrl+f", "f12"],
    ("help", "word", ""): ["f1"],
}
"""Keys that lead from the first prompt of a lock to a stand, by the stand's screen, cursor and kind."""


def stands() -> Iterator[tuple[Keys, Stand]]:
    """Return every stand of the program, with the keys of its screen."""
    return ((keys, stand) for keys in all_keys() for stand in keys.stands)


class Way:
    """Leads a program to a stand, and back to it after any key."""

    def __init__(self, driver: Driver, keys: Keys, stand: Stand) -> None:
        """Lead the program of `driver`, which shows the first prompt of a lock."""
        self.driver, self.keys, self.stand = driver, keys, stand
        self._work = driver.screen
        self._first = self._work.desk
        self._state = None

    @property
    def there(self) -> bool:
        """Whether the program is at the stand."""
        screen, cursor = self.driver.screen, self.driver.app.focused
        if not isinstance(screen, Keyed) or screen.KEYS is not self.keys:
            return False
        if (cursor.id if cursor is not None else "") != self.stand.cursor:
            return False
        return self.stand.cursor != "entry" or self._kind(cursor) == self.stand.kind

    def _kind(self, cursor: Any) -> str:
        return {"picked": "choice", "free": "text", "none": "none"}.get(
            cursor.kind.entering, "number"
        )

    async def begin(self) -> None:
        """Go there from the first prompt."""
        for key in WAYS[self.keys.name, self.stand.cursor, self.stand.kind]:
            await self.driver.key(key)
        for _ in range(3000):  # a worker finds out which sheets there are
            if getattr(self.driver.screen, "checks_done", True):
                break
            await asyncio.sleep(0.01)
        assert self.there, (self.keys.name, self.stand.cursor, self.driver.screen)
        self._state = getattr(self.driver.screen, "state", None)

    async def back(self) -> bool:
        """Go back there from wherever a key has led; False where that takes a program begun anew."""
        app = self.driver.app
        await self._up_to(lambda screen: getattr(screen, "KEYS", None) is self.keys)
        if isinstance(app.screen, Keyed) and app.screen.KEYS is self.keys:
            if self._state is not None:
                app.screen.put(self._state)
            if self.stand.cursor:
                app.screen.set_focus(app.screen.query_one(f"#{self.stand.cursor}"))
            await self.driver.quiet()
            if self.there:
                return True
        if not await self.home():
            return False
        await self.begin()
        return True

    async def home(self) -> bool:
        """Go to the first prompt of the lock; False where the lock has been left."""
        if self._work not in self.driver.app.screen_stack:
            return False
        await self._up_to(lambda screen: screen is self._work)
        self._work.set_desk(self._first)
        self._work.action_rest()
        await self.driver.quiet()
        return True

    async def _up_to(self, wanted: Callable[[Screen[Any]], bool]) -> None:
        """Take away the screens over one that is wanted, if there is such a screen."""
        app = self.driver.app
        if any(wanted(screen) for screen in app.screen_stack):
            while not wanted(app.screen):
                app.pop_screen()
                await self.driver.quiet()
