"""The drawing of the change view: before in a broken line, after in a whole one over it."""

from collections.abc import Iterable
from dataclasses import replace

from core.layout.drawing import Label, Mark
from tui.change.overlay import Scene
from tui.plot.frame import Spot, framed
from tui.plot.legend import Entry
from tui.plot.picture import Picture, Wanted, draw
from tui.plot.scale import Bounds, Scale
from tui.plot.tones import SAMPLES
from tui.widgets.drawing_view import Drawing

_BEFORE = Entry(SAMPLES["broken"], "plate", "before")
_AFTER = Entry(SAMPLES["solid"], "plate-wanted", "after")
_FILE, _LACKS = Entry("o", "value", "file here"), Entry("x", "foul", "metal is missing")


class ChangeDrawing(Drawing):
    """A drawing of two states of a lock over each other."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Start with nothing to draw."""
        super().__init__(id=id)
        self._scene = Scene((), (), ())
        self._spots: tuple[Spot, ...] = ()

    def show_both(
        self, scene: Scene, region: Bounds, spots: Iterable[Spot], path: str, told: tuple[Mark, ...]
    ) -> None:
        """Show another scene, with signs on it, the dimension at `path` and names, both `told`."""
        signs = tuple(spots)
        fresh = scene is not self._scene or signs != self._spots
        self._scene, self._spots = scene, signs
        marks: tuple[Mark, ...] = (*scene.still, *scene.before, *told)
        named = {mark.part for mark in told if isinstance(mark, Label)}
        self.show(marks, region, Wanted((), (path,), path, named))
        if fresh:
            self._changed()

    @property
    def _legend_rows(self) -> int:
        return 1 if self.size.width >= sum(len(e.text) + 6 for e in self._entries()) else 2

    def _entries(self) -> tuple[Entry, ...]:
        found = [_BEFORE, _AFTER] if self._scene.before or self._scene.after else []
        signs = {spot.sign for spot in self._spots}
        found += [entry for entry in (_FILE, _LACKS) if entry.sample in signs]
        return tuple(found)

    def _drawn(self, scale: Scale) -> Picture:
        base = draw(self._marks, scale, self._wanted)
        both = framed(base, self._scene.after, self._spots)
        return replace(both, legend=self._entries())
