"""What shows rows of text in tones, and sends to the terminal only what changed in them."""

from collections.abc import Sequence
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from tui.plot.canvas import Piece


class PieceView(Widget):
    """A widget of rows of pieces. The tone `quiet` of a piece is the component class `PREFIX--quiet`."""

    PREFIX: ClassVar[str]

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Start without styles worked out."""
        super().__init__(id=id)
        self._tones: dict[str, Style] = {}

    def notify_style_update(self) -> None:
        """Work the styles out anew when the style sheet or the look has changed."""
        self._tones = {}
        super().notify_style_update()

    def tone(self, name: str) -> Style:
        """Return the style of a tone; the widget's own for none.

        The toolkit forgets its own at every refresh, and works them out slowly.
        """
        style = self._tones.get(name)
        if style is None:
            style = (
                self.get_component_rich_style(f"{self.PREFIX}--{name}") if name else self.rich_style
            )
            self._tones[name] = style
        return style

    def strip(self, pieces: Sequence[Piece]) -> Strip:
        """Return one row, as wide as the widget."""
        segments = [Segment(text, self.tone(name)) for text, name in pieces]
        return Strip(segments).adjust_cell_length(self.content_size.width, self.tone(""))

    def refresh_changed(
        self, before: Sequence[Sequence[Piece]], after: Sequence[Sequence[Piece]], top: int = 0
    ) -> None:
        """Draw anew what differs between two pictures of one size, the first row of which is row `top`."""
        if len(before) != len(after):
            self.refresh()
            return
        regions = []
        for row, (old, new) in enumerate(zip(before, after, strict=True)):
            if old is not new and old != new:
                start, stop = _differing(old, new, self.content_size.width)
                regions.append(Region(start, top + row, stop - start, 1))
        if regions:
            self.refresh(*regions)


def _differing(old: Sequence[Piece], new: Sequence[Piece], width: int) -> tuple[int, int]:
    """Return the columns between which two rows differ, by whole pieces."""
    start = _alike(old, new)
    stop = width - _alike(list(reversed(old)), list(reversed(new)))
    whole = sum(len(text) for text, _ in old) == sum(len(text) for text, _ in new) == width
    return (start, stop) if whole and start < stop else (start if start < width else 0, width)


def _alike(old: Sequence[Piece], new: Sequence[Piece]) -> int:
    """Return how many columns of pieces are the same from the left."""
    columns = 0
    for one, other in zip(old, new, strict=False):
        if one != other:
            break
        columns += len(one[0])
    return columns


class PieceText(PieceView):
    """A text of several rows in a few tones, that may change in every frame."""

    PREFIX = "text"
    COMPONENT_CLASSES: ClassVar[set[str]] = {
        f"text--{tone}" for tone in ("quiet", "strong", "bold", "accent", "fine", "stop")
    }

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Start empty."""
        super().__init__(id=id)
        self._rows: Sequence[Sequence[Piece]] = ()

    def put(self, rows: Sequence[Sequence[Piece]]) -> None:
        """Show other rows."""
        before, self._rows = self._rows, rows
        self.refresh_changed(before, rows)

    def render_line(self, y: int) -> Strip:
        """Return one row."""
        return self.strip(self._rows[y] if y < len(self._rows) else ())
