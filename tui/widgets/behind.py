"""The screen behind a dialog, in dimmer colours: as the toolkit shows it, but each style is dimmed once.

The toolkit works the colours of every piece of every line out again whenever a dialog is laid out, which was a tenth
of what a dialog took.
"""

from collections.abc import Iterable
from functools import lru_cache

from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.renderables.background_screen import BackgroundScreen


class Behind(BackgroundScreen):
    """A screen behind another one."""

    @classmethod
    def process_segments(cls, segments: Iterable[Segment], color: Color) -> Iterable[Segment]:
        """Return the pieces of lines with their colours dimmed by `color`."""
        for text, style, control in segments:
            yield Segment(text, style if control else _dimmed(style, color), control)


@lru_cache(maxsize=2048)
def _dimmed(style: Style | None, color: Color) -> Style | None:
    (piece,) = BackgroundScreen.process_segments([Segment("", style)], color)
    return piece.style
