"""A small chart with a cursor; a click on it picks an angle."""

from dataclasses import dataclass
from typing import ClassVar

from textual import events
from textual.message import Message
from textual.strip import Strip

from tui.plot.chart import Ground, chart
from tui.plot.layers import Rows, overlaid, upright
from tui.turn.charts import Plan
from tui.widgets.pieces import PieceView

_TONES = ("measure", "measure-wanted", "bolt-wanted", "key-wanted", "foul")
_LEAST = (16, 3)
"""Columns and rows below which there is no room for a curve."""


class TurnChart(PieceView):
    """A chart under its title. What stands still is drawn once; the cursor is laid over it."""

    PREFIX = "turn-chart"
    COMPONENT_CLASSES: ClassVar[set[str]] = {f"turn-chart--{tone}" for tone in _TONES}

    @dataclass
    class Picked(Message):
        """The maker wants to see a key angle [degrees]."""

        degrees: float

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Start with nothing to show."""
        super().__init__(id=id)
        self._plan: Plan | None = None
        self._cursor = 0.0
        self._still: tuple[Ground, Rows] | None = None
        self._moved: tuple[float, Rows] | None = None

    def show(self, plan: Plan) -> None:
        """Show another chart."""
        self._plan, self._still = plan, None
        self.refresh()

    def move(self, degrees: float) -> None:
        """Put the cursor at an angle."""
        before, self._cursor = self.rows, degrees
        self.refresh_changed(before, self.rows, top=1)

    @property
    def ground(self) -> Ground | None:
        """The field of the chart, below its title; None without room for one."""
        columns, rows = self.size.width, self.size.height - 1
        if self._plan is None or columns < _LEAST[0] or rows < _LEAST[1]:
            return None
        return Ground(columns, rows, self._plan.xs, self._plan.ys)

    @property
    def rows(self) -> Rows:
        """The rows of the chart with its cursor; none without room for one."""
        ground, plan = self.ground, self._plan
        if ground is None or plan is None:
            return []
        if self._still is None or self._still[0] != ground:
            self._still = (ground, chart(ground, plan.curves, plan.y_numbers, plan.signs))
            self._moved = None
        if self._moved is None or self._moved[0] != self._cursor:
            self._moved = (self._cursor, overlaid(self._still[1], self._line(ground)))
        return self._moved[1]

    def _line(self, ground: Ground) -> Rows:
        dot, low, high = ground.dot_of(self._cursor), *ground.xs
        empty = [(" " * ground.columns, "")]
        if low <= self._cursor <= high:
            line = upright(ground.columns, ground.rows - 1, dot, "measure-wanted")
            return [*line, empty]
        # the key is beyond what the chart shows: an arrow says on which side
        arrow = "◂" if self._cursor < low else "▸"
        column = dot // 2
        after = ground.columns - column - 1
        row = [(" " * column, ""), (arrow, "measure-wanted"), (" " * after, "")]
        return [row if n == ground.rows // 2 else empty for n in range(ground.rows)]

    def render_line(self, y: int) -> Strip:
        """Return the title, or one row of the chart."""
        if y == 0:
            title = f" {self._plan.title}" if self._plan is not None else ""
            return self.strip([(title, "measure-wanted")])
        rows = self.rows
        return self.strip(rows[y - 1] if y - 1 < len(rows) else [])

    def on_click(self, event: events.Click) -> None:
        """Tell which angle was clicked on."""
        degrees = self.ground.x_at(event.x) if self.ground is not None else None
        if degrees is not None and event.y > 0:
            self.post_message(self.Picked(degrees))
