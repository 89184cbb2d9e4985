"""The drawing: a picture of the lock that is built when it is shown, in the size that there is."""

from collections.abc import Iterable
from functools import lru_cache
from typing import ClassVar

from textual import events
from textual.strip import Strip

from core.layout.drawing import Mark
from tui.keys.acts import bindings
from tui.keys.common import DRAWING, RETURN
from tui.plot.canvas import Piece
from tui.plot.frame import Spot, framed
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


def _from(row: list[Piece], over: list[Piece]) -> list[Piece]:
    """Return what is left of a row beside the pieces that lie over its beginning."""
    cut = sum(len(text) for text, _ in over)
    left = []
    for text, tone in row:
        if len(text) > cut:
            left.append((text[cut:], tone))
        cut = max(cut - len(text), 0)
    return left


@lru_cache(maxsize=8)
def _unmarked(marks: tuple[Mark, ...], scale: Scale, wanted: Wanted) -> Picture:
    """Return the picture of marks; the same one while it was lately drawn."""
    return draw(marks, scale, wanted)


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
        self._marked: tuple[Spot, ...] = ()
        self._picture: Picture | None = None
        self._painted: Picture | None = None
        self._held: tuple[int, int] | None = None
        self._about = ""

    def show(self, marks: Iterable[Mark], region: Bounds, wanted: Wanted, about: str = "") -> None:
        """Draw other marks, or the same ones with others wanted; `about` says above them what they are of."""
        if about != self._about:
            self._about = about
            self.refresh()
        scene = (tuple(marks), region, wanted)
        if scene != (self._marks, self._region, self._wanted):
            self._marks, self._region, self._wanted = scene
            self._changed()

    def foresee(self, marks: Iterable[Mark], region: Bounds, wanted: Wanted) -> None:
        """Draw what may be shown next, and show nothing of it: what is drawn is kept for a while."""
        columns, rows = self._room
        if columns >= LEAST[0] and self.size.height >= LEAST[1]:
            _unmarked(tuple(marks), self.sight.scale(region, columns, rows), wanted)

    def mark(self, spots: Iterable[Spot]) -> None:
        """Mark other places."""
        marked = tuple(spots)
        if marked != self._marked:
            self._marked = marked
            self._changed()

    def look(self, sight: Sight) -> None:
        """Look at another place, or closer."""
        self.sight = sight
        self._picture = self._painted = None
        self.refresh()

    @property
    def picture(self) -> Picture | None:
        """The picture in the size at hand, None where there is no room for one."""
        columns, rows = self._room
        if columns < LEAST[0] or self.size.height < LEAST[1]:
            return None
        fresh = self._picture
        if fresh is None or (fresh.scale.columns, fresh.scale.rows) != (columns, rows):
            scale = self.sight.scale(self._region, columns, rows)
            fresh = self._picture = self._drawn(scale)
        return fresh

    @property
    def _room(self) -> tuple[int, int]:
        """The columns and rows that there are for the picture."""
        columns, rows = self.size
        return columns, rows - self._legend_rows

    def _drawn(self, scale: Scale) -> Picture:
        return framed(_unmarked(self._marks, scale, self._wanted), (), self._marked)

    @property
    def _legend_rows(self) -> int:
        """The rows below the picture that are kept for the legend."""
        return 0 if not self._wanted.paths else 2 if self.size.width < _ONE_ROW else 1

    def render_line(self, y: int) -> Strip:
        """Return one row of the picture, or of the legend below it."""
        width, picture = self.size.width, self._painted
        if picture is None or (picture.scale.columns, picture.scale.rows) != self._room:
            picture = self._painted = self.picture
        if picture is None:
            said = "too small to draw" if y == self.size.height // 2 else ""
            return self.strip([(said[:width].center(width), "")])
        if y < len(picture.rows):
            told = [row for row in (self._of(width), self._told(width)) if row]
            over = told[y] if y < len(told) else []
            return self.strip([*over, *_from(picture.rows[y], over)])
        legend = legend_rows(picture.legend, width, self._legend_rows)
        return self.strip(
            legend[y - len(picture.rows)] if y - len(picture.rows) < len(legend) else []
        )

    def _of(self, width: int) -> list[Piece]:
        """Return what the drawing is of, where that has to be said."""
        return [(f" {self._about} "[:width], "value")] if self._about else []

    def _told(self, width: int) -> list[Piece]:
        """Return how the maker looks at the drawing, and the keys that change it, while that is not the usual way."""
        if self.sight == Sight() and not self.has_focus:
            return []
        moved = ", moved" if self.sight.pan != (0.0, 0.0) else ""
        keys = "+ - arrows, 0 all of it" if self.has_focus else "F8 0 all of it"
        return [(f" {self.sight.zoom:.1f} times{moved}: {keys} "[:width], "value")]

    def _changed(self) -> None:
        """Draw anew once a number that was typed stands on the screen: that takes less time."""
        self._picture = None
        self.call_after_refresh(self.paint)

    def paint(self) -> None:
        """Bring what differs from what stands on the screen there."""
        before, after = self._painted, self.picture
        self._painted = after
        if before is None or after is None or before.legend != after.legend:
            self.refresh()
        elif before is not after:
            self.refresh_changed(before.rows, after.rows)

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
        """Look farther to the left."""
        self._pan(-_PAN, 0)

    def action_pan_right(self) -> None:
        """Look farther to the right."""
        self._pan(_PAN, 0)

    def action_pan_up(self) -> None:
        """Look farther up."""
        self._pan(0, _PAN)

    def action_pan_down(self) -> None:
        """Look farther down."""
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
