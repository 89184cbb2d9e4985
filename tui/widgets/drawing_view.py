"""The drawing: a picture of the lock that is built when it is shown, in the size that there is."""

from collections.abc import Iterable
from typing import ClassVar

from textual import events
from textual.strip import Strip

from core.layout.drawing import Mark
from tui.keys.acts import bindings
from tui.keys.common import DRAWING, RETURN
from tui.plot.legend import legend_rows
from tui.plot.picture import Picture, Wanted, draw
from tui.plot.scale import Bounds, Scale, Sight
from tui.plot.tones import TONES
from tui.widgets.pieces import PieceView

LEAST = (20, 8)
"""Columns and rows below which nothing can be made out."""
_ONE_ROW = 72
"""Columns from which the legend needs one row only."""
_STEP = 1.25
_PAN = 8  # dots


class Drawing(PieceView, can_focus=True):
    """A picture of marks [mm]; the arrow keys and the mouse move and zoom it."""

    PREFIX = "drawing"
    BINDINGS = bindings(DRAWING, RETURN)
    COMPONENT_CLASSES: ClassVar[set[str]] = {f"drawing--{tone}" for tone in TONES}

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Start with nothing to draw."""
        super().__init__(id=id)
        self.sight = Sight()
        self._marks: tuple[Mark, ...] = ()
        self._region: Bounds = (0.0, 0.0, 1.0, 1.0)
        self._wanted = Wanted()
        self._picture: Picture | None = None
        self._held: tuple[int, int] | None = None

    def show(self, marks: Iterable[Mark], region: Bounds, wanted: Wanted) -> None:
        """Draw other marks, or the same ones with others wanted."""
        scene = (tuple(marks), region, wanted)
        if scene != (self._marks, self._region, self._wanted):
            self._marks, self._region, self._wanted = scene
            self._changed()

    def look(self, sight: Sight) -> None:
        """Look at another place, or closer."""
        self.sight = sight
        self._changed()

    @property
    def picture(self) -> Picture | None:
        """The picture in the size at hand, None where there is no room for one."""
        columns, rows = self.size
        if columns < LEAST[0] or rows < LEAST[1]:
            return None
        rows -= self._legend_rows
        fresh = self._picture
        if fresh is None or (fresh.scale.columns, fresh.scale.rows) != (columns, rows):
            scale = self.sight.scale(self._region, columns, rows)
            fresh = self._picture = self._drawn(scale)
        return fresh

    def _drawn(self, scale: Scale) -> Picture:
        return draw(self._marks, scale, self._wanted)

    @property
    def _legend_rows(self) -> int:
        """The rows below the picture that are kept for the legend."""
        return 0 if not self._wanted.paths else 2 if self.size.width < _ONE_ROW else 1

    def render_line(self, y: int) -> Strip:
        """Return one row of the picture, or of the legend below it."""
        width, picture = self.size.width, self.picture
        if picture is None:
            said = "too small to draw" if y == self.size.height // 2 else ""
            return self.strip([(said[:width].center(width), "")])
        if y < len(picture.rows):
            return self.strip(picture.rows[y])
        legend = legend_rows(picture.legend, width, self._legend_rows)
        return self.strip(
            legend[y - len(picture.rows)] if y - len(picture.rows) < len(legend) else []
        )

    def _changed(self) -> None:
        self._picture = None
        self.refresh()

    # keys and mouse

    def action_closer(self) -> None:
        """Zoom in."""
        self.look(self.sight.closer(_STEP))

    def action_farther(self) -> None:
        """Zoom out."""
        self.look(self.sight.closer(1 / _STEP))

    def action_whole(self) -> None:
        """Show the whole view again."""
        self.look(Sight())

    def action_pan_left(self) -> None:
        """Look further to the left."""
        self._pan(-_PAN, 0)

    def action_pan_right(self) -> None:
        """Look further to the right."""
        self._pan(_PAN, 0)

    def action_pan_up(self) -> None:
        """Look further up."""
        self._pan(0, _PAN)

    def action_pan_down(self) -> None:
        """Look further down."""
        self._pan(0, -_PAN)

    def _pan(self, right: float, up: float) -> None:
        if self.picture is not None:
            per_dot = self.picture.scale.mm_per_dot
            self.look(self.sight.moved(right * per_dot, up * per_dot))

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        """Zoom in."""
        event.stop()
        self.action_closer()

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        """Zoom out."""
        event.stop()
        self.action_farther()

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Take hold of the drawing."""
        self._held = (event.screen_x, event.screen_y)
        self.capture_mouse()

    def on_mouse_up(self, event: events.MouseUp) -> None:
        """Let go of the drawing."""
        del event
        self._held = None
        self.release_mouse()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        """Move the drawing along with the mouse."""
        if self._held is not None:
            x, y = self._held
            self._held = (event.screen_x, event.screen_y)
            self._pan(2.0 * (x - event.screen_x), 4.0 * (event.screen_y - y))
