"""The map over the working screen: the lock as a mark in it, which the arrows move."""

from dataclasses import replace
from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Static

from core.layout.layout import Layout
from core.propose.proposals_text import named
from core.propose.room_map import RoomMap, room_map, with_mark
from core.text import capital
from tui.desk.desk import Desk
from tui.keys.acts import bindings
from tui.keys.of_map import MAP, MAP_KEYS
from tui.map import state as map_state
from tui.map import text as map_told
from tui.widgets.dialogs import Answer, Ask
from tui.widgets.hints import Hints
from tui.widgets.pieces import PieceText
from tui.widgets.piecework import Piecework
from tui.widgets.screens import FullScreen

if TYPE_CHECKING:
    from tui.desk.host import Host

_LEAST = (10, 5)
"""Columns and rows of the smallest map."""


class MapScreen(FullScreen):
    """The map of the lock on a working screen, in whose desk all that is true of the lock stays."""

    CSS_PATH = "map.tcss"
    KEYS = MAP_KEYS
    BINDINGS = bindings(MAP)

    def __init__(self, work: "Host") -> None:
        """Show the map of the lock on a working screen."""
        super().__init__()
        self._work, self._pair = work, map_state.PAIRS[0]
        self._map: RoomMap | None = None
        self._looks = Piecework[map_state.Looked](self, self._learn)

    def compose(self) -> ComposeResult:
        """Lay out the screen."""
        yield PieceText(id="title")
        with Horizontal(id="bench"):
            yield PieceText(id="map")
            yield PieceText(id="beside")
        yield Static("", id="small", markup=False)
        yield Hints(self.KEYS, id="hints")

    @property
    def checks_done(self) -> bool:
        """Whether every check has been heard of the lock where it is."""
        return self._looks.done

    def on_mount(self) -> None:
        """Draw the map once its size is known."""
        self.call_after_refresh(self._show)

    def on_resize(self, event: events.Resize) -> None:  # noqa: ARG002 - the toolkit calls it and the base's own
        """Draw the map in the size that there is."""
        self._map = None
        self.call_after_refresh(self._show)

    # what is shown

    def _show(self) -> None:
        """Show the map, worked out anew where more than its two dimensions is another."""
        if not (self.is_attached and self.children):
            return
        place = self.query_one("#map", PieceText).content_size
        size = max(place.width, _LEAST[0]), max(place.height - 1, _LEAST[1])
        found = self._at(size)
        self._paint(found)
        if found.stopped is None or found.best_stopped is None:
            self._looks.begin(map_state.looking(found, self._work.desk.lock))

    def _learn(self, looked: map_state.Looked) -> None:
        """Show what every check says."""
        if self._map is not None:
            self._map = replace(self._map, stopped=looked.here, best_stopped=looked.best)
            self._paint(self._map)

    def _paint(self, found: RoomMap) -> None:
        self.query_one("#title", PieceText).put(map_told.title(found))
        self.query_one("#map", PieceText).put(map_told.picture(found))
        beside = self.query_one("#beside", PieceText)
        notice = self._work.desk.notice
        said = notice.text if notice is not None else ""
        beside.put(map_told.beside(found, max(beside.content_size.width, 20), said))

    def _at(self, size: tuple[int, int]) -> RoomMap:
        lock = Layout(self._work.desk.lock).lock
        known = self._map
        across, up = self._pair
        same = known is not None and (known.across, known.up) == self._pair
        if known is None or not same or not map_state.same_but_for(known, lock):
            found = room_map(self._work.desk.lock, across, up, *size)
        else:
            found = with_mark(known, self._work.desk.lock)
            x, y = found.here
            if not (found.xs[0] <= x <= found.xs[-1] and found.ys[0] <= y <= found.ys[-1]):
                found = room_map(self._work.desk.lock, across, up, *size)
        self._map = found
        return found

    def _put(self, desk: Desk) -> None:
        self._work.set_desk(desk)
        self._show()

    def _move(self, which: int, steps: int) -> None:
        """Move the lock across, 0, or up, 1."""
        desk = self._work.desk
        self._put(map_state.moved(desk.silent(), self._pair[which], steps))

    # what the keys do

    def action_right(self) -> None:
        """Move the lock to the right."""
        self._move(0, 1)

    def action_left(self) -> None:
        """Move the lock to the left."""
        self._move(0, -1)

    def action_up(self) -> None:
        """Move the lock up."""
        self._move(1, 1)

    def action_down(self) -> None:
        """Move the lock down."""
        self._move(1, -1)

    def action_far_right(self) -> None:
        """Move the lock far to the right."""
        self._move(0, 10)

    def action_far_left(self) -> None:
        """Move the lock far to the left."""
        self._move(0, -10)

    def action_far_up(self) -> None:
        """Move the lock far up."""
        self._move(1, 10)

    def action_far_down(self) -> None:
        """Move the lock far down."""
        self._move(1, -10)

    def action_most(self) -> None:
        """Move the lock to where there is most room."""
        if self._map is not None:
            self._put(map_state.to_most_room(self._work.desk.silent(), self._map))

    def action_other(self) -> None:
        """Show two other dimensions."""
        self._of(map_state.after(self._pair))

    def action_choose_across(self) -> None:
        """Choose the dimension across."""
        self._choose(0)

    def action_choose_up(self) -> None:
        """Choose the dimension up."""
        self._choose(1)

    def _choose(self, which: int) -> None:
        def chosen(path: str | None) -> None:
            if path is not None and path != "stay":
                self._of(map_state.with_one(self._pair, which, path))

        answers = (
            Answer(path, capital(named(path))) for path in map_state.from_here(self._pair[which])
        )
        question = f"Which dimension {('across', 'up')[which]}?"
        self.app.push_screen(Ask(question, *answers, Answer("stay", "Leave it as it is")), chosen)

    def _of(self, pair: tuple[str, str]) -> None:
        """Show the map of two dimensions."""
        self._pair, self._map = pair, None
        self._show()

    def action_undo(self) -> None:
        """Take back the last change."""
        self._work.action_undo()
        self._show()

    def action_redo(self) -> None:
        """Make the change again that was taken back."""
        self._work.action_redo()
        self._show()

    def action_back(self) -> None:
        """Go back to the step."""
        self.dismiss(None)

    def action_leave(self) -> None:
        """Leave the lock."""
        self.dismiss(None)
        self._work.call_later(self._work.action_leave)

    def help_page(self) -> Content:
        """Return the help of the map."""
        return map_told.help_page()


def over(work: "Host") -> MapScreen:
    """Return the map over a working screen."""
    return MapScreen(work)
