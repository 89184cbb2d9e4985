"""Where the guides' dimensions lie in the drawing, and the room that the bolt has in them."""

from core.layout.extents import Ends, Extents, up
from core.layout.layout import Layout
from core.parts.guide_places import Guide, front_guide, rear_guide
from core.parts.tooth import tooth


def _middle(guide: Guide) -> float:
    return guide.side * (guide.near + guide.far) / 2


def _floor(guide: Guide) -> Ends:
    return up(_middle(guide), guide.bottom, guide.values.floor)


def _wide(guide: Guide) -> Ends:
    y = guide.top + 1.5
    return (guide.side * guide.near, y), (guide.side * guide.far, y)


def _slide(layout: Layout) -> Ends:
    x = -(front_guide(layout).near + front_guide(layout).far) / 2
    return up(x, tooth(layout).bolt_line, layout.lock.fit.slide_clearance)


def _left_on(layout: Layout) -> Ends:
    guide = front_guide(layout)
    x = -(guide.near + guide.far) / 2
    return up(x, guide.bottom + guide.values.floor, layout.lock.filing.guide_floors)


EXTENTS = Extents(
    lock={
        "rear_guide.width": lambda of: _wide(rear_guide(of)),
        "rear_guide.floor": lambda of: _floor(rear_guide(of)),
        "front_guide.width": lambda of: _wide(front_guide(of)),
        "front_guide.floor": lambda of: _floor(front_guide(of)),
        "fit.slide_clearance": _slide,
        "filing.guide_floors": _left_on,
    }
)
