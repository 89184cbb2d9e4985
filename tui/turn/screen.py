"""The turn view: the key turned by hand or by itself, and everything read off on the way."""

import math
import time
from dataclasses import replace
from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Static

from core.turning import stage
from core.turning.follow import moment
from core.whole.as_built import as_built
from tui.desk.session import layout_of
from tui.keys.acts import bindings
from tui.keys.of_turn import KEYS, TURN
from tui.plot.scale import Sight
from tui.turn import charts as turn_charts
from tui.turn import help as turn_help
from tui.turn import scene as turn_scene
from tui.turn import text as turn_reading
from tui.turn.moving_chart import TurnChart
from tui.turn.moving_drawing import TurnDrawing
from tui.turn.scene import VIEWS, View
from tui.turn.state import Place, Turn
from tui.widgets.hints import Hints
from tui.widgets.pieces import PieceText
from tui.widgets.screens import FullScreen

if TYPE_CHECKING:
    from tui.desk.host import Host

FRAME = 1 / 21
"""Seconds from frame to frame; the clock of the toolkit runs a little late, so this gives 20 a second."""
_MOST_LOST = 4
"""Frames that may be left out at a time, so that a slow machine turns the key no slower."""
_LEAST_HIGH = 24
"""Rows from which charts and read-offs have room together."""
_GO_ON = "Space: on all the same."
_CONDITION = "friction.condition"


class TurnScreen(FullScreen):
    """The turn of one lock's key. All that is true of it is in `turn`; the widgets only show that."""

    CSS_PATH = "turn.tcss"
    KEYS = KEYS
    BINDINGS = bindings(TURN)

    def __init__(self, work: "Host") -> None:
        """Turn the key of the lock on a working screen."""
        super().__init__()
        self._work = work
        lock = work.desk.lock
        self.turn = Turn(as_built(layout_of(lock)), lock.friction.condition)
        self.view: View = VIEWS[0]
        self.said = ""
        self._charts: bool | None = None
        self._shown: Turn | None = None
        self._last = 0.0

    def compose(self) -> ComposeResult:
        """Lay out the screen."""
        yield PieceText(id="title")
        with Horizontal(id="bench"):
            yield TurnDrawing(id="drawing")
            yield PieceText(id="readings")
        with Horizontal(id="charts"):
            yield TurnChart(id="travel-chart")
            yield TurnChart(id="torque-chart")
        yield Static("", id="small", markup=False)
        yield Hints(self.KEYS, id="hints")

    def on_mount(self) -> None:
        """Draw the lock; work the turn out once that can be seen."""
        self._timer = self.set_interval(FRAME, self._tick, pause=True)
        self.query_one("#readings", PieceText).put([[("working out the turn ...", "quiet")]])
        self._draw_still()

    def on_unmount(self) -> None:
        """Stop the clock."""
        self._timer.stop()

    def on_screen_suspend(self) -> None:
        """Hold the key while another screen is in front."""
        if self.turn.playing:
            self._set(self.turn.paused())

    def on_resize(self, event: events.Resize) -> None:  # noqa: ARG002 - the toolkit calls it and the base's own
        """Make room for the charts or take it away, and write the texts anew for another width."""
        self._fit_charts()
        self._shown = None
        self.call_after_refresh(self._show)

    def _fit_charts(self) -> None:
        wanted = self.size.height >= _LEAST_HIGH if self._charts is None else self._charts
        self.set_class(not wanted, "no-charts")

    # the state, and showing it

    def _set(self, turn: Turn, said: str = "") -> None:
        """Put another turn in place and show it, with a sentence for the maker."""
        if turn.playing and not self.turn.playing:
            self._last = time.monotonic()
            self._timer.resume()
        elif not turn.playing:
            self._timer.pause()
        self.turn, self.said = turn, said or (_GO_ON if turn.met else "")
        self._show()

    def _tick(self) -> None:
        """Turn the key on by the frames whose time has come."""
        now = time.monotonic()
        frames = min(max(round((now - self._last) / FRAME), 1), _MOST_LOST)
        self._last = now
        self._set(self.turn.frame(frames))

    def _draw_still(self) -> None:
        layout = self.turn.layout
        drawing = self.query_one(TurnDrawing)
        drawing.show_still(
            turn_scene.still(layout),
            turn_scene.region(layout, self.view),
            turn_scene.swept(layout),
            stage.moving_names(layout),
        )

    def _show(self) -> None:
        """Show the turn as it is now; what has not changed is left alone."""
        if not (self.is_attached and self.children):
            return
        turn, before = self.turn, self._shown
        self._shown = turn
        now = moment(turn.layout, turn.angle, turn.stroke)
        drawing = self.query_one(TurnDrawing)
        drawing.show_frame(turn_scene.moving(turn.layout, now), turn_scene.spots(turn, now))
        self._show_charts(before)
        readings = self.query_one("#readings", PieceText)
        room = readings.content_size
        readings.put(turn_reading.panel(turn, now, self.said, max(room.width, 24), room.height))
        title = self.query_one("#title", PieceText)
        title.put([turn_reading.title(turn, self.size.width)])

    def _show_charts(self, before: Turn | None) -> None:
        turn = self.turn
        travel = self.query_one("#travel-chart", TurnChart)
        torque = self.query_one("#torque-chart", TurnChart)
        scene = (turn.layout, turn.stroke, turn.kept)
        if before is None or scene != (before.layout, before.stroke, before.kept):
            travel.show(turn_charts.travel_plan(turn))
            torque.show(turn_charts.torque_plan(turn))
        for chart in (travel, torque):
            chart.move(math.degrees(turn.angle))

    # what can be done

    def action_play(self) -> None:
        """Let the key turn, or hold it."""
        self._set(self.turn.played())

    def action_on_one(self) -> None:
        """Turn on by one degree."""
        self._set(self.turn.stepped(1))

    def action_back_one(self) -> None:
        """Turn back by one degree."""
        self._set(self.turn.stepped(-1))

    def action_on_ten(self) -> None:
        """Turn on by ten degrees."""
        self._set(self.turn.stepped(10))

    def action_back_ten(self) -> None:
        """Turn back by ten degrees."""
        self._set(self.turn.stepped(-10))

    def action_other_way(self) -> None:
        """Turn to the other stroke."""
        self._set(self.turn.other_way())

    def _jump(self, place: Place) -> None:
        missing = place in ("pick-up", "release") and not self.turn.drives
        said = f"No {place}: nothing is driven." if missing else ""
        self._set(self.turn.jumped(place), said)

    def action_key_in(self) -> None:
        """Go to where the stroke begins."""
        self._jump("key-in")

    def action_pick_up(self) -> None:
        """Go to the pick-up."""
        self._jump("pick-up")

    def action_release(self) -> None:
        """Go to the release."""
        self._jump("release")

    def action_key_out(self) -> None:
        """Go to where the stroke ends."""
        self._jump("key-out")

    def action_trouble(self) -> None:
        """Go to where something next fouls or jams."""
        turn = self.turn.at_trouble()
        self._set(turn, "" if turn.met else f"Nothing fouls, and kept {turn.kept} nothing jams.")

    def action_kept(self) -> None:
        """See the forces in the next friction condition."""
        self._set(self.turn.kept_next())

    def action_adopt(self) -> None:
        """Keep the lock as it is shown."""
        desk, kept = self._work.desk, self.turn.kept
        lock = desk.lock.with_value(_CONDITION, kept)
        if lock == desk.lock:
            self._set(self.turn.paused(), f"Kept {kept} already; K shows another.")
            return
        session = desk.session.changed(lock, _CONDITION)
        self._work.set_desk(replace(desk, session=session).said(f"Kept {kept} from now on."))
        said = f"Kept {kept} from now on; Ctrl+Z at the step takes that back."
        self._set(replace(self.turn, layout=as_built(layout_of(lock)), playing=False), said)

    def action_charts(self) -> None:
        """Show the charts or hide them."""
        self._charts = self.has_class("no-charts")
        self._fit_charts()
        self.call_after_refresh(self._show)

    def action_view(self) -> None:
        """Change the view."""
        self.view = VIEWS[(VIEWS.index(self.view) + 1) % len(VIEWS)]
        self._draw_still()
        self.query_one(TurnDrawing).look(Sight())
        self._set(self.turn, f"View: {self.view}.")

    def action_closer(self) -> None:
        """Zoom in."""
        self.query_one(TurnDrawing).action_closer()

    def action_farther(self) -> None:
        """Zoom out."""
        self.query_one(TurnDrawing).action_farther()

    def action_whole(self) -> None:
        """Show the whole view again."""
        self.query_one(TurnDrawing).action_whole()

    def help_page(self) -> Content:
        """Return the help of the turn view."""
        return turn_help.help_page(self.turn.layout)

    def action_back(self) -> None:
        """Go back to the step."""
        self.dismiss(None)

    def action_leave(self) -> None:
        """Go back, and leave the lock from there."""
        self.dismiss(None)
        self._work.call_later(self._work.action_leave)

    def on_turn_chart_picked(self, message: TurnChart.Picked) -> None:
        """Turn the key to the angle that was clicked on."""
        self._set(self.turn.at_angle(math.radians(message.degrees)))


def over(work: "Host") -> TurnScreen:
    """Return the turn view of the lock on a working screen."""
    return TurnScreen(work)
