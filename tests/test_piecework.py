"""Work in pieces: what it brings on the screen is drawn before more is worked out; only what was begun last goes on."""

import asyncio
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from dataclasses import dataclass

import pytest
from textual.app import App, ComposeResult
from textual.screen import Screen
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Static

from tui.widgets import piecework
from tui.widgets.piecework import Brought, Piecework


@dataclass(frozen=True)
class Count:
    """How far it has come."""

    number: int
    complete: bool = False


class Bench(Widget):
    """A widget that notes when it is drawn."""

    def __init__(self) -> None:
        super().__init__()
        self.went: list[str] = []
        self.work = Piecework[Count](self, self.learn)

    def compose(self) -> ComposeResult:
        yield Static("")

    def learn(self, count: Count) -> None:
        self.went.append(f"learnt {count.number}")
        self.query_one(Static).update(str(count.number))
        self.refresh()

    def render_line(self, y: int) -> Strip:
        if y == 0:
            self.went.append("drawn")
        return super().render_line(y)

    def pieces(self, *yielded: Count | Brought | None) -> Iterator[Count | Brought | None]:
        for number, piece in enumerate(yielded):
            self.went.append(f"piece {number}")
            if isinstance(piece, Brought):
                self.refresh()
            yield piece


class Shop(App[None]):
    """A program of one widget."""

    def compose(self) -> ComposeResult:
        yield Bench()


@asynccontextmanager
async def shop() -> AsyncIterator[tuple[Shop, Bench]]:
    app = Shop()
    async with app.run_test() as pilot:
        await pilot.pause()
        bench = app.query_one(Bench)
        bench.went.clear()
        yield app, bench


async def done(bench: Bench) -> None:
    for _ in range(500):
        if bench.work.done:
            return
        await asyncio.sleep(0.01)
    raise AssertionError(f"never done: {bench.went}")


LAST = Count(9, complete=True)


@pytest.mark.parametrize("first", [Count(1), Brought()], ids=["known", "brought"])
async def test_what_a_piece_brings_is_drawn_before_the_next(first: Count | Brought) -> None:
    async with shop() as (_, bench):
        bench.work.begin(bench.pieces(None, first, None, LAST))
        await done(bench)
        went = bench.went
        assert "drawn" in went[went.index("piece 1") : went.index("piece 2")]
        assert went[went.index("piece 2") :][:3] == ["piece 2", "piece 3", "learnt 9"]


async def test_pieces_that_bring_nothing_follow_on_one_another() -> None:
    async with shop() as (_, bench):
        bench.work.begin(bench.pieces(None, None, None, LAST))
        await done(bench)
        went = [what for what in bench.went if what.startswith("piece")]
        start = bench.went.index("piece 0")
        assert bench.went[start : start + 4] == went


async def test_under_another_screen_nothing_is_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    async with shop() as (app, bench):
        await app.push_screen(Screen())
        # it begins when that much time has gone by, and waits no more from there
        monkeypatch.setattr(piecework, "LATEST", 0.01)
        bench.work.begin(bench.pieces(Count(1), Brought(), Count(2), LAST))
        monkeypatch.setattr(piecework, "LATEST", 1e6)
        await done(bench)
        assert [what for what in bench.went if what.startswith("learnt")] == [
            "learnt 1",
            "learnt 2",
            "learnt 9",
        ]


@pytest.mark.parametrize("anew", [True, False], ids=["begun anew", "left off"])
async def test_what_is_dropped_while_it_waits_for_its_drawing_does_not_go_on(anew: bool) -> None:
    async with shop() as (_, bench):
        learn = bench.learn

        def dropping(count: Count) -> None:
            learn(count)
            if count.number == 1 and anew:
                bench.work.begin(bench.pieces(Count(5), LAST))
            elif count.number == 1:
                bench.work.leave_off()

        bench.work = Piecework[Count](bench, dropping)
        bench.work.begin(bench.pieces(Count(1), Count(2), LAST))
        for _ in range(20):
            await asyncio.sleep(0.02)
        learnt = [what for what in bench.went if what.startswith("learnt")]
        assert learnt == ["learnt 1", *(["learnt 5", "learnt 9"] if anew else [])]
        assert bench.work.done
