"""The drawing of a working screen: what it is of, and the view that shows the dimension asked for."""

from typing import TYPE_CHECKING

from textual.screen import Screen

from core.layout.drawing import Mark
from tui.desk.checking import Checked
from tui.desk.desk import Desk
from tui.desk.opening import Opened
from tui.desk.session import layout_of
from tui.plot.picture import Wanted
from tui.plot.scale import Bounds, Sight
from tui.plot.views import VIEWS, View, asked, best_view, region
from tui.widgets.drawing_view import Drawing
from tui.work.looked_at import LookedAt, looked_at
from tui.work.marked import spots

if TYPE_CHECKING:
    from tui.steps.step import Step


class Board:
    """What is drawn, and how it is looked at.

    The view is chosen when it is drawn, not when a key leads to another prompt: to find it takes longer than to show
    a number.
    """

    def __init__(self, screen: Screen[None]) -> None:
        """Draw on the drawing of a screen."""
        self._screen = screen
        self.view: View = "whole"
        self._viewed: tuple[Step | None, str] = (None, "")

    @property
    def drawing(self) -> Drawing:
        """Where it is drawn."""
        return self._screen.query_one(Drawing)

    def choose(self, desk: Desk) -> None:
        """Choose a view that shows the dimension asked for: at a new step its own, else the one at hand if it does."""
        path, own, (step, viewed) = desk.path, desk.step.view, self._viewed
        new = desk.step != step
        if not new and path == viewed:
            return
        first = own if new or self.view == "close" else self.view
        view = best_view(layout_of(desk.lock), path, first, own)
        if new or view != self.view or view == "close":
            self.view = view
            self.drawing.look(Sight())
        self._viewed = (desk.step, path)

    def show(self, desk: Desk, opened: Opened | None) -> None:
        """Draw the lock at hand, or the one that a way which is looked at leads to."""
        self.choose(desk)
        seen = looked_at(desk, opened)
        self.drawing.show(*self._scene(desk, seen), seen.told)

    def foresee(self, desk: Desk) -> None:
        """Draw a lock that may come next, and show nothing of it."""
        self.drawing.foresee(*self._scene(desk, looked_at(desk, None)))

    def _scene(self, desk: Desk, seen: LookedAt) -> tuple[tuple[Mark, ...], Bounds, Wanted]:
        """Return the marks of a lock that is looked at, the region that is seen of them, and what stands out."""
        return (
            asked(seen.layout, *seen.paths),
            region(seen.layout, self.view, seen.paths[0]),
            Wanted(desk.parts, seen.paths, seen.paths[0]),
        )

    def mark(self, desk: Desk, opened: Opened | None, found: Checked | None) -> None:
        """Mark what was found: that is of the lock as it is, not as a way would leave it."""
        seen = looked_at(desk, opened)
        self.drawing.mark(() if seen.told else spots(seen.layout, found))

    def look(self, desk: Desk, opened: Opened) -> None:
        """Choose a view that shows what a way sets, or the one for the lock as it is, as the prompt would have it."""
        self.choose(desk)
        if opened.looked_at is None:
            self._viewed = (desk.step, "")
        else:
            seen = looked_at(desk, opened)
            self.view = best_view(seen.layout, seen.paths[0], self.view, desk.step.view)

    def turn_view(self, desk: Desk) -> View:
        """Take the next view, and return it."""
        self.choose(desk)
        self.view = VIEWS[(VIEWS.index(self.view) + 1) % len(VIEWS)]
        self.drawing.look(Sight())
        return self.view
