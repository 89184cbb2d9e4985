"""The spring above the bolt, and what else holds the bolt back while the key drives it."""

from collections.abc import Iterable

from core.geometry.path import polyline
from core.layout.drawing import Mark, Stroke
from core.layout.frames import hand
from core.layout.layout import Layout
from core.layout.loads import Load
from core.layout.part import Drawn, Part

_BARB = 1.5
"""Size [mm] of the arrow that stands for the spring in the drawing."""


def _loads(layout: Layout) -> Iterable[Load]:
    lock = layout.lock
    press, drag, line = lock.spring.force, lock.friction.drag, lock.bolt_line.height
    tip = hand(layout).point((lock.spring.tip_across, line))
    # the spring's tip rubs on the bolt's top edge as it presses on it
    yield Load(tip, lambda _stroke, _travel, mu: (mu * press, press))
    # drag is felt where the bolt rubs: in the guides, at the middle of their legs' mean height
    leg = (lock.bolt.nose_height + lock.bolt.tail_height) / 2
    yield Load((0.0, line - leg / 2), lambda _stroke, _travel, _mu: (drag, 0.0))


def _marks(layout: Layout) -> Iterable[Mark]:
    lock = layout.lock
    x, y, room = lock.spring.tip_across, lock.bolt_line.height, lock.bolt_line.spring_room
    yield Stroke(polyline([(x, y + room), (x, y)]), "note", "spring")
    yield Stroke(
        polyline([(x - _BARB / 2, y + _BARB), (x, y), (x + _BARB / 2, y + _BARB)]), "note", "spring"
    )


PART = Part("spring", 85, drawn=(Drawn("spring", "other"),), marks=_marks, loads=_loads)
