"""Where the dimensions of the shackle's end lie in the drawing."""

from core.layout.extents import Ends, Extents, along, in_drive
from core.layout.layout import Layout
from core.parts.bolt_contour import nose_face
from core.parts.tooth import tooth


def _at_nose(layout: Layout, by: float) -> Ends:
    """Return a line from the shackle's near face, half way up the bolt's nose."""
    level = tooth(layout).bolt_line - layout.lock.bolt.nose_height / 2
    return along(-nose_face(layout), level, by)


def _across(layout: Layout) -> Ends:
    line = tooth(layout).bolt_line + 1.0
    return (0.0, line), (in_drive(layout, layout.lock.shackle.across), line)


def _diameter(layout: Layout) -> Ends:
    shackle = layout.lock.shackle
    level = tooth(layout).bolt_line - shackle.drop + 1.0
    return along(-nose_face(layout), level, -shackle.diameter)


EXTENTS = Extents(
    lock={
        "shackle.across": _across,
        "shackle.diameter": _diameter,
        "shackle.engagement": lambda of: _at_nose(of, -of.lock.shackle.engagement),
        "shackle.gap": lambda of: _at_nose(of, of.lock.shackle.gap),
        "spread.shackle": lambda of: _at_nose(of, -of.lock.spread.shackle),
    }
)
