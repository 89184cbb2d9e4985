"""A maker whose hands slip: random keys, texts, pastes, clicks, turns of the wheel and sizes of the window.

`Hands` draws one thing to do after another from a seed; `journey` does them in the program, in a folder of its own,
and looks after each whether the program has come to rest in time, and ever again whether all work is safe: the lock
at hand is in its file or in its copy, and reads back from what would be written.
"""

import asyncio
import math
import random
import string
import time
import traceback
from collections import Counter
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from pathlib import Path

from textual import events
from textual.geometry import Size

from core.files.project_file import Project, load, save
from core.files.project_reading import read_text
from core.files.project_text import fresh_text
from core.files.recovery import load_recovery
from core.lock.lock import Lock
from core.shipped import sample_locks
from tests.locks import BY_HAND, posted
from tests.sure import sure
from tests.tui_driving import NARROW, WIDE, Driver, program
from tui.desk.session import Session
from tui.work.screen import WorkScreen

HANG = 2.0
"""Longest time [s] of the processor, for this thread, that the program may be deaf to a key."""
SAFE_EVERY = 8
"""How many handfuls are done until it is looked whether all is safe."""
MOST_AT_ONCE = 12
PULSE = 0.02
"""Time [s] after which it is looked again whether the loop turns."""

_PLAIN = (
    "up", "down", "left", "right", "home", "end", "pageup", "pagedown", "insert", "delete", "backspace", "enter", "tab",
    "escape", "space", *(f"f{n}" for n in range(1, 13)),
)  # fmt: skip
KEYS = (
    *_PLAIN, *_PLAIN, *(f"ctrl+{c}" for c in string.ascii_lowercase), *(f"shift+{key}" for key in _PLAIN),
    *(f"ctrl+{key}" for key in _PLAIN), "alt+left", "ctrl+backslash", "ctrl+underscore", "ctrl+@", "f13",
)  # fmt: skip
"""Every key that a terminal tells apart from others, whether the program knows it or not."""
LETTERS = "0123456789.,-+ =?[]{}()#\"'axsyzmQ%°½é漢\u0301"
TEXTS = (
    "81", "20.5", "1/2 in", "3 1/8", "-4", "0", "1e9", "nan", "", " ", "12 mm", "0,5", "9" * 60, "left", "round",
    "two words", "[b]x[/b]", "[@click=app.exit]go", "post", "con", "a.toml", ".", "1/0", "0x10", "٢٠",
)  # fmt: skip
PASTES = (
    *TEXTS, "one\ntwo\nthree", "\x1b[31mred\x1b]52;c;eA==\x07", "\x00\x07\x08", "a" * 5000, "\n" * 40, "\t1\t2",
    "\u202eabc\u2066", "1\r\n2\r\n", "漢" * 300, "20 20 20",
)  # fmt: skip
SIZES = (NARROW, NARROW, NARROW, NARROW, WIDE, WIDE, (60, 20), (76, 24), (104, 32), (200, 60))


@dataclass(frozen=True)
class Deed:
    """One thing to do: `kind`, and what with."""

    kind: str
    what: tuple[int | str, ...] = ()


class Hands:
    """Draws things to do from a seed; never a text by which a file could be written outside of the folder."""

    def __init__(self, seed: int) -> None:
        self._rng = random.Random(seed)  # noqa: S311 - nothing secret is made here

    def file(self) -> str:
        """Draw what the program begins with: a kind of lock, or none."""
        return self._rng.choice(("", "sample", "by hand", "posts", "new"))

    def sample(self) -> int:
        """Draw a sample lock by its number."""
        return self._rng.randrange(len(sample_locks()))

    def handful(self, size: tuple[int, int], front: str) -> list[Deed]:
        """Draw what is done next without a pause."""
        count = 1 if front == "StartScreen" else self._rng.randint(1, MOST_AT_ONCE)
        return [self.deed(size, front) for _ in range(count)]

    def deed(self, size: tuple[int, int], front: str) -> Deed:
        """Draw the next thing to do on a screen of that size and name."""
        rng = self._rng
        if front == "StartScreen" and rng.random() < 0.5:
            return Deed("key", (rng.choice(("enter", "down", "up")),))
        if front == "Ask" and rng.random() < 0.4:
            return Deed("key", (rng.choice(("enter", "down", "escape")),))
        draw = rng.random()
        if draw < 0.55:
            return Deed("key", (rng.choice(KEYS),))
        if draw < 0.63:
            return Deed("key", (rng.choice(LETTERS),))
        if draw < 0.75:
            end = rng.choice(("enter", "enter", "tab", "", "f4", "f2"))
            return Deed("text", (rng.choice(TEXTS), end))
        if draw < 0.80:
            return Deed("paste", (rng.choice(PASTES),))
        if draw < 0.95:
            kind = rng.choice(
                ("click", "click", "double", "drag", "wheel up", "wheel down", "move")
            )
            return Deed(kind, tuple(rng.randrange(n) for n in (*size, *size)))
        if rng.random() < 0.6:
            return Deed("size", rng.choice(SIZES))
        return Deed("size", (_wide(rng, 500), _wide(rng, 200)))


def _wide(rng: random.Random, most: int) -> int:
    """Draw a width from 1 to `most`, as often of few columns as of many."""
    return min(most, max(1, round(math.exp(math.log(most) * rng.random()))))


@dataclass
class Found:
    """What a journey found: how much was done, on which screens, and the first thing that was wrong."""

    done: int = 0
    wrong: str = ""
    slowest: float = 0.0
    slow_at: str = ""
    screens: Counter[str] = field(default_factory=Counter)
    trail: list[str] = field(default_factory=list)


async def journey(seed: int, length: int, folder: Path) -> Found:
    """Do `length` things at random in programs on one folder, each begun anew where the last one was left."""
    hands, found = Hands(seed), Found()
    while found.done < length and not found.wrong:
        file = _begun(hands, folder)
        try:
            async with program(folder, file) as driver:
                await _driven(driver, hands, length, found)
                if not found.wrong and not driver.app._exit:
                    found.wrong = await _ended(driver)
                # the toolkit works off what is still on its way, which its way of testing would not wait for
                _, on = await asyncio.wait([sure(driver.app._task)], timeout=60)
                if on and not found.wrong:
                    found.wrong = "the program did not end"
        except BaseException as error:  # whatever comes is what is looked for
            found.wrong = found.wrong or "".join(traceback.format_exception(error))[-3000:]
        found.wrong = found.wrong or _all_load(folder)
    if found.wrong:
        found.wrong = (
            f"seed {seed}, after {found.done} ({' | '.join(found.trail[-3:])}): {found.wrong}"
        )
    return found


def _begun(hands: Hands, folder: Path) -> Path | None:
    kind = hands.file()
    path = folder / f"{kind}.toml"
    if kind and not path.exists():
        match kind:
            case "sample":
                path.write_text(sample_locks()[hands.sample()].read_text())
            case "by hand":
                path.write_text(BY_HAND)
            case "posts":
                save(Project(None, posted((10.0, 20.0), (-12.5, 5.0, 4.0))), path)
            case _:
                save(Project(None, Lock()), path)
    return path if kind else None


async def _pulse(deaf: list[float]) -> None:
    """Note every time [s] of the processor that goes by between two turns of the loop, in which keys are heard."""
    last = time.thread_time()
    while True:
        await asyncio.sleep(PULSE)
        now = time.thread_time()
        deaf.append(now - last)
        last = now


async def _driven(driver: Driver, hands: Hands, length: int, found: Found) -> None:
    while found.done < length and not driver.app._exit:
        front = type(driver.screen).__name__
        handful = hands.handful(driver.app.size, front)[: length - found.done]
        told = [f"{deed.kind} {' '.join(map(repr, deed.what))}"[:60] for deed in handful]
        found.trail.append(f"{front} {tuple(driver.app.size)}: {'; '.join(told)}")
        found.screens[front] += len(handful)
        deaf = [0.0]
        pulse = asyncio.create_task(_pulse(deaf))
        for deed in handful:
            await DEEDS.get(deed.kind, _mouse)(driver, deed)
        await driver.quiet()
        await asyncio.sleep(2 * PULSE)
        pulse.cancel()
        took = max(deaf)
        found.done += len(handful)
        if took > found.slowest:
            found.slowest, found.slow_at = took, found.trail[-1]
        if len(found.trail) % SAFE_EVERY == 0 and not driver.app._exit:
            found.wrong = await _unsafe(driver)
        if took > HANG:
            found.wrong = f"deaf for {took:.1f} s of the processor"
        if found.wrong:
            return


async def _keys(driver: Driver, deed: Deed) -> None:
    driver.send(str(deed.what[0]))


async def _text(driver: Driver, deed: Deed) -> None:
    text, end = map(str, deed.what)
    for key in [*text, *([end] if end else [])]:
        driver.send(key)


async def _paste(driver: Driver, deed: Deed) -> None:
    driver.app.post_message(events.Paste(str(deed.what[0])))


async def _size(driver: Driver, deed: Deed) -> None:
    size = Size(*map(int, deed.what))
    sure(driver.app._driver)._size = size
    driver.app.post_message(events.Resize(size, size))


async def _mouse(driver: Driver, deed: Deed) -> None:
    x, y, to_x, to_y = map(int, deed.what)

    def post(kind: type[events.MouseEvent], x: int, y: int, button: int = 0) -> None:
        no = (False, False, False)
        driver.app.post_message(kind(None, x, y, 0, 0, button, *no, x, y))

    def click(x: int, y: int) -> None:
        post(events.MouseDown, x, y, 1)
        post(events.MouseUp, x, y, 1)

    match deed.kind:
        case "click":
            click(x, y)
        case "double":
            click(x, y)
            click(x, y)
        case "drag":
            post(events.MouseDown, x, y, 1)
            post(events.MouseMove, to_x, to_y, 1)
            post(events.MouseUp, to_x, to_y, 1)
        case "wheel up":
            post(events.MouseScrollUp, x, y)
        case "wheel down":
            post(events.MouseScrollDown, x, y)
        case _:
            post(events.MouseMove, x, y)


DEEDS: dict[str, Callable[[Driver, Deed], Awaitable[None]]] = {
    "key": _keys, "text": _text, "paste": _paste, "size": _size,
}  # fmt: skip


async def _work(driver: Driver) -> WorkScreen | None:
    """Return the working screen, all its checks done, if there is one anywhere on the stack."""
    for screen in driver.app.screen_stack:
        if isinstance(screen, WorkScreen):
            for _ in range(3000):
                await driver.quiet()
                if screen.checks_done:
                    return screen
                await driver.pilot.pause(0.01)
            raise AssertionError("the checks never ended")
    return None


async def _unsafe(driver: Driver) -> str:
    work = await _work(driver)
    return "" if work is None else lost_of(work.desk.session)


async def _ended(driver: Driver) -> str:
    """Stop the program from outside; say what of the lock at hand, or of what was typed, is lost."""
    work = await _work(driver)
    typed = None if work is None else work.unentered()
    driver.app._stopped(15)
    if work is None:
        return ""
    lock = work.desk.session.lock
    if typed is not None and (typed.text not in _typed_in(work.desk.session)):
        return f"{typed} was typed and is not in the copy"
    return lost_of(work.desk.session) if lock == work.desk.lock else "two locks"


def _typed_in(session: Session) -> str:
    copy = load_recovery(session.place, session.seat)
    return "" if copy is None or copy.typed is None else copy.typed.text


def lost_of(session: Session) -> str:
    """Say what of a session would be lost if its program died now; "" where nothing would."""
    lock = session.lock
    if read_text(fresh_text(lock)).lock != lock:
        return f"the lock does not read back: {lock}"
    if not session.dirty:
        path = session.project.path
        return "" if path is None or load(path).lock == lock else f"the file is not {lock}"
    copy = load_recovery(session.place, session.seat)
    return "" if copy is not None and copy.lock == lock else f"the copy is {copy}, not {lock}"


def _all_load(folder: Path) -> str:
    for path in folder.rglob("*.toml"):
        if path.is_file():  # sheets may be written to a folder of any name
            load(path)
    outside = {p.name for p in folder.parent.iterdir()} - {folder.name}
    return f"written outside: {outside}" if outside else ""
