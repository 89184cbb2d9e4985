"""The way to every stand of the table of keys: which keys lead there, and in which lock."""

import asyncio
from collections.abc import Iterator

from tui.keys.acts import Keys, Stand
from tui.keys.every_key import all_keys

WAYS: dict[tuple[str, str, str], list[str]] = {
    ("start", "locks", ""): ["f10"],
    ("work", "entry", "number"): ["enter"],
    ("work", "entry", "choice"): [],
    ("work", "entry", "text"): ["f3"],
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
    ("sheets", "folder", ""): ["ctrl+p"],
    ("sheets", "sheets", ""): ["ctrl+p", "f6"],
    ("ask", "answers", ""): ["enter", "up", "f10"],
    ("name", "name", ""): ["f10", "down", "enter", "f2"],
    ("help", "help", ""): ["f1"],
}
"""Keys that lead from the first prompt of a lock to a stand, by the stand's screen, cursor and kind."""


def stands() -> Iterator[tuple[Keys, Stand]]:
    """Return every stand of the program, with the keys of its screen."""
    return ((keys, stand) for keys in all_keys() for stand in keys.stands)


def name(keys: Keys, stand: Stand) -> str:
    """Return a name for a stand."""
    return " ".join(filter(None, (keys.name, stand.cursor, stand.kind)))


async def lead(driver, keys: Keys, stand: Stand) -> None:
    """Lead the program from the first prompt of its lock to a stand."""
    await driver.press(*WAYS[keys.name, stand.cursor, stand.kind])
    for _ in range(3000):  # a worker finds out which sheets there are
        if getattr(driver.screen, "checks_done", True):
            break
        await asyncio.sleep(0.01)
    await driver.settle()
    assert driver.screen.KEYS is keys
    assert (driver.app.focused.id if driver.app.focused else "") == stand.cursor
