"""The drawing of the turn view: what stands still is drawn once, bolt and bit in every frame."""

from collections.abc import Iterable
from dataclasses import replace

from core.geometry.path import Path
from core.layout.drawing import Mark, Stroke
from tui.plot.frame import Spot, framed
from tui.plot.legend import Entry
from tui.plot.picture import Picture, Wanted, draw
from tui.plot.scale import Bounds, Scale
from tui.plot.tones import SAMPLES, moving_ink
from tui.widgets.drawing_view import Drawing

_SIGNS = (Entry("●", "value", "contact"), Entry("○", "measure", "least room"))


class TurnDrawing(Drawing, can_focus=False):
    """A drawing of which some strokes move; the mouse zooms and moves it."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Start with nothing to draw."""
        super().__init__(id=id)
        self._avoid: tuple[Path, ...] = ()
        self._names: tuple[str, ...] = ()
        self._moving: tuple[Stroke, ...] = ()
        self._spots: tuple[Spot, ...] = ()
        self._base: Picture | None = None

    def show_still(
        self, marks: Iterable[Mark], region: Bounds, avoid: Iterable[Path], names: tuple[str, ...]
    ) -> None:
        """Show what stands still [mm]; its words keep clear of the paths to `avoid`. `names` will move."""
        self._avoid, self._base, self._names = tuple(avoid), None, names
        self.show(marks, region, Wanted())

    def show_frame(self, moving: Iterable[Stroke], spots: Iterable[Spot]) -> None:
        """Show what moves as it stands now, and what is marked; only what changed is sent."""
        self._moving, self._spots = tuple(moving), tuple(spots)
        self._picture = None
        self.paint()

    @property
    def _legend_rows(self) -> int:
        return 1

    def _drawn(self, scale: Scale) -> Picture:
        if self._base is None or self._base.scale != scale:
            self._base = draw(self._marks, scale, self._wanted, self._avoid)
        inks = ((name, moving_ink(name)) for name in self._names)
        lines = (Entry(SAMPLES[ink.style], ink.tone, name) for name, ink in inks)
        return replace(framed(self._base, self._moving, self._spots), legend=(*lines, *_SIGNS))
