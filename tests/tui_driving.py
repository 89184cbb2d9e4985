"""Driving the full-screen program by keys, as a person does, and reading its screen as text."""

import asyncio
import io
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest
from rich.console import Console
from textual import events
from textual.dom import DOMNode
from textual.pilot import Pilot

from core.files.project_file import Project, save
from core.lock.lock import Lock
from tests.sure import sure
from tui.app import Boltwright
from tui.desk.desk import Desk
from tui.steps.walk import all_steps

NAMES = {
    "\n": "enter", " ": "space", ".": "full_stop", "/": "slash", "-": "minus", "=": "equals_sign",
    "+": "plus", "?": "question_mark", ",": "comma",
}  # fmt: skip
_FRAMES = str.maketrans(dict.fromkeys("│▁▂▃▄▅▆▇█", " "))
"""Borders, and the ends of scroll bars, beside the words."""
NARROW, WIDE = (80, 24), (120, 40)
_IDS = ["80x24", "120x40"]
SIZES = pytest.mark.parametrize("size", [NARROW, WIDE], ids=_IDS)
"""The one journey through a view that is made by default in either size."""
NARROW_BY_DEFAULT = pytest.mark.parametrize(
    "size", [NARROW, pytest.param(WIDE, marks=pytest.mark.slow)], ids=_IDS
)
"""The others are made in the size that is harder, and with the slow tests in both."""


def to_step(name: str) -> list[str]:
    """Return the keys that lead from a step to the one of that `name`, whatever its number is by now."""
    number = next(n for n, step in enumerate(all_steps(), start=1) if step.name == name)
    return ["f9", *str(number), "enter"]


def stored(folder: Path, name: str = "lock.toml", **values: Any) -> Path:
    """Save a lock that differs from the default in some values, and return its path."""
    lock = Lock()
    for path, value in values.items():
        lock = lock.with_value(path.replace("__", "."), value)
    return sure(save(Project(None, lock), folder / name).path)


@asynccontextmanager
async def program(
    folder: Path, file: Path | None = None, size: tuple[int, int] = NARROW
) -> AsyncIterator["Driver"]:
    """Run the program on a folder, or a file in it, and give its driver."""
    app = Boltwright(folder, file)
    async with app.run_test(size=size) as pilot:
        driver = Driver(app, pilot)
        await driver.settle()
        yield driver


@asynccontextmanager
async def at_prompt(
    folder: Path, lock: Lock, path: str, size: tuple[int, int] = NARROW
) -> AsyncIterator["Driver"]:
    """Run the program on a lock in a file, at the prompt for `path`, and give its driver."""
    file = save(Project(None, lock), folder / "lock.toml").path
    async with program(folder, file, size=size) as driver:
        driver.screen.set_desk(driver.desk.at_path(path))
        await driver.settle()
        yield driver


def _shown(node: DOMNode) -> bool:
    """Say whether nothing hides a node: what was hidden from the first is asked to paint itself when it is shown."""
    return all(above.display for above in node.ancestors_with_self)


class Driver:
    """Presses keys and reads the screen."""

    def __init__(self, app: Boltwright, pilot: Pilot[Any]) -> None:
        """Drive an app that is running."""
        self.app, self.pilot = app, pilot

    @property
    def screen(self) -> Any:
        """The screen in front."""
        return self.app.screen

    @property
    def desk(self) -> Desk:
        """The desk of the working screen in front."""
        desk: Desk = self.screen.desk
        return desk

    async def key(self, key: str) -> None:
        """Press a key by name, and wait until it has been worked off and drawn, but for no check."""
        self.send(key)
        await self.quiet()

    async def press(self, *keys: str) -> None:
        """Press keys by name, each worked off before the next."""
        for key in keys:
            await self.key(key)
        await self.settle()

    async def burst(self, *keys: str) -> None:
        """Press keys as fast as a paste comes in, without a pause."""
        for key in keys:
            self.send(key)
        await self.settle()

    def send(self, key: str) -> None:
        """Send a key by name, and wait for nothing."""
        name, character = NAMES.get(key, key), key if len(key) == 1 else None
        self.app.post_message(events.Key(name, "\r" if name == "enter" else character))

    async def type(self, text: str) -> None:
        """Type a text, a key for each character; a line end is Enter."""
        await self.burst(*text)

    async def click(self, *where: Any, offset: tuple[int, int]) -> None:
        """Click on a widget, or with only an offset on the screen."""
        await self.pilot.click(where[0] if where else None, offset=offset)
        await self.settle()

    async def click_key(self, text: str) -> None:
        """Click on a text in the key line, such as "F5"."""
        bar = self.screen.query_one("#hints").region
        shown = self.rows()[bar.y : bar.bottom]
        row = next(n for n, line in enumerate(shown) if text in line)
        await self.click(offset=(bar.x + shown[row].index(text) + len(text) // 2, bar.y + row))

    async def resize(self, columns: int, rows: int) -> None:
        """Give the window another size."""
        await self.pilot.resize_terminal(columns, rows)
        await self.settle()

    async def quiet(self) -> None:
        """Wait until no message is on its way.

        The toolkit's own waiting looks at the processor instead, and takes long on a busy machine.
        """
        calm = 0
        for _ in range(4000):
            await asyncio.sleep(0.001)
            if self.app._exit:
                return  # nobody is at home any more
            nodes = [self.app, *self.screen.walk_children(with_self=True)]
            busy = self.screen._layout_required or self.screen._dirty_widgets
            for node in nodes:
                busy = busy or not node._message_queue.empty() or node._next_callbacks
                busy = busy or (node is not self.app and node._repaint_required and _shown(node))
            calm = 0 if busy else calm + 1
            if calm == 3:
                return
        raise AssertionError("the program never came to rest")

    async def settle(self) -> None:
        """Wait until what was asked for has been worked out and drawn."""
        for _ in range(1000):
            await self.quiet()
            if getattr(self.screen, "checks_done", True):
                break
            await asyncio.sleep(0.01)
        else:
            raise AssertionError("the checks never ended")
        await self.quiet()

    async def until(self, words: str, *which: str) -> None:
        """Wait until `words` stand in a widget: a message that the disk causes comes when it comes."""
        for _ in range(500):
            if words in self.words(*which):
                return
            await asyncio.sleep(0.01)
        raise AssertionError(f"{words!r} never came: {self.words(*which)}")

    def rows(self) -> list[str]:
        """Return the rows of the screen as text."""
        width, _ = self.app.size
        console = Console(width=width, file=io.StringIO(), force_terminal=True, record=True)
        update = self.screen._compositor.render_update(
            full=True, screen_stack=self.app._background_screens, simplify=False
        )
        console.print(update)
        return console.export_text(styles=False).split("\n")

    def text(self) -> str:
        """Return the whole screen as text."""
        return "\n".join(self.rows())

    def words(self, *which: str) -> str:
        """Return what stands in widgets as words with one blank between, wherever lines end."""
        rows, kept = self.rows(), []
        for name in which or ("#side",):
            place = self.screen.query_one(name).region
            kept += [row[place.x : place.right] for row in rows[place.y : place.bottom]]
        return " ".join(" ".join(kept).translate(_FRAMES).split())
