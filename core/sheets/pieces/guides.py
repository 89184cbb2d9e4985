"""Both guides: from the front, and from the end with the leg in its place."""

from collections.abc import Iterable

from core.geometry.motion import shift
from core.geometry.path import Line, Path, polyline
from core.layout.drawing import Label, Mark, Stroke
from core.layout.frames import hand
from core.layout.layout import Layout
from core.parts.guide_places import Guide, front_guide, rear_guide
from core.sheets.left_on import left_on
from core.sheets.record import Flat, Piece, Rule, Setting, Sheet, Stock, Task
from core.sheets.sizes import size
from core.sheets.strokes import dimension, levels

APART = 32.0
"""Distance [mm] between the two drawings of a guide."""
NEXT = 46.0
"""Distance [mm] from one guide to the next, for the texts between them."""


def _both(layout: Layout) -> tuple[Guide, Guide]:
    return (rear_guide(layout), front_guide(layout))


def depth(layout: Layout, guide: Guide) -> float:
    """Return how far [mm] a guide stands off the back plate: leg, clearance, and a cheek as thick as its floor.

    The cheek's thickness is common practice, no source.
    """
    lock = layout.lock
    return lock.bolt.thickness + lock.fit.slide_clearance + guide.values.floor


def _sheets(layout: Layout) -> Iterable[Sheet]:
    marks: list[Mark] = []
    x = 0.0
    for guide in sorted(_both(layout), key=lambda guide: guide.side):
        marks += _front(layout, guide, x)
        x += guide.values.width + APART
        marks += _end(layout, guide, x)
        x += depth(layout, guide) + NEXT
    yield Sheet(
        name="guides",
        title="Guides",
        marks=tuple(marks),
        seen="Each guide from the front, then from its end with the back plate on the left",
        notes=(
            (
                "Dashed: the leg of the bolt. The cheek beside the leg is drawn as thick as the floor. The roof keeps "
                "the bolt down. Its metal is not drawn: make it as thick as the floor where the spring leaves "
                "room (both common practice, no source)."
            ),
            "Dashed, with +: the floor is left so much full, and filed until the leg runs on the bolt line.",
        ),
    )


def _front(layout: Layout, guide: Guide, x: float) -> Iterable[Mark]:
    wide, high = guide.values.width, guide.top - guide.bottom

    def show(mm: float) -> str:
        return size(layout, mm)

    yield Stroke(
        polyline([(x, 0.0), (x, high), (x + wide, high), (x + wide, 0.0)], closed=True),
        "view",
        guide.name,
    )
    slide, floor = layout.lock.fit.slide_clearance, guide.values.floor
    for y in (floor + slide, floor + slide + guide.leg):
        yield Stroke(polyline([(x - 4.0, y), (x + wide + 4.0, y)]), "view", guide.name, ghost=True)
    yield from dimension((x, 0.0), (x + wide, 0.0), show(wide), guide.name, off=-6.0, spill="right")
    yield Label((x + wide / 2, high + 11.0), guide.name, "note", guide.name, 2.5)


def _profile(layout: Layout, guide: Guide) -> Path:
    """Return a guide from its end, the back plate at its left: a floor, and a cheek beside the leg, up to the roof."""
    lock, floor = layout.lock, guide.values.floor
    high, deep = guide.top - guide.bottom, depth(layout, guide)
    inside = lock.bolt.thickness + lock.fit.slide_clearance
    corners = (
        (0.0, 0.0), (0.0, floor), (inside, floor), (inside, high), (deep, high), (deep, 0.0),
    )  # fmt: skip
    return polyline(corners, closed=True)


def _flats(layout: Layout) -> Iterable[Flat]:
    for guide in _both(layout):
        yield Flat(
            guide.name,
            _profile(layout, guide),
            guide.values.width,
            seen="its end, the back plate at its left",
        )


def _end(layout: Layout, guide: Guide, x: float) -> Iterable[Mark]:
    lock, floor = layout.lock, guide.values.floor
    high, deep = guide.top - guide.bottom, depth(layout, guide)
    inside = lock.bolt.thickness + lock.fit.slide_clearance

    def show(mm: float) -> str:
        return size(layout, mm)

    profile = shift(x, 0.0).path(_profile(layout, guide))
    yield Stroke(profile, "cut", guide.name)
    full = Line((x, floor), (x + inside, floor))
    yield from left_on(layout, [(full, lock.filing.guide_floors)], guide.name)
    low = floor + lock.fit.slide_clearance
    leg = (
        (x, low),
        (x, low + guide.leg),
        (x + lock.bolt.thickness, low + guide.leg),
        (x + lock.bolt.thickness, low),
    )
    yield Stroke(polyline(leg, closed=True), "view", guide.name, ghost=True)
    yield from dimension((x, 0.0), (x + deep, 0.0), show(deep), guide.name, off=-6.0, spill="right")
    yield from dimension(
        (x, high), (x + inside, high), f"slot {show(inside)}", guide.name, off=4.5, spill="left"
    )
    yield from levels(
        [(high, f"roof {show(high)}"), (floor, f"floor {show(floor)}"), (0.0, "foot 0")],
        x + deep + 1.0,
        7.0,
        guide.name,
    )


def _rules(layout: Layout) -> Iterable[Rule]:
    flip = hand(layout)
    for guide in _both(layout):
        for face, x in (("near", guide.near), ("outer", guide.far)):
            top, low = (guide.side * x, guide.top), (guide.side * x, guide.bottom)
            yield Rule(
                f"{guide.name}, {face} face", flip.point(top), flip.point(low), ("back plate",)
            )


def _settings(layout: Layout) -> Iterable[Setting]:
    for guide in _both(layout):
        yield Setting(
            guide.name,
            guide.near,
            "centreline at the bolt line",
            f"the near face of the {guide.name}",
        )


def _stock(layout: Layout) -> Iterable[Stock]:
    for guide in _both(layout):
        long = guide.top - guide.bottom + 2.0
        yield Stock(
            guide.name,
            1,
            (long, guide.values.width, depth(layout, guide)),
            "bar",
            "brass or mild steel",
        )


def _steps(layout: Layout) -> Iterable[str]:
    for guide in _both(layout):
        side = "right" if (guide.side > 0) is (layout.lock.unlocks == "right") else "left"
        yield (
            f"{guide.name.capitalize()}: near face {size(layout, guide.near)} to the {side} of the centreline, "
            f"{size(layout, guide.values.width)} wide, floor {size(layout, guide.values.floor)} below a leg of "
            f"{size(layout, guide.leg)}."
        )


def _work(layout: Layout) -> Iterable[Task]:
    for guide in _both(layout):
        side = "right" if (guide.side > 0) is (layout.lock.unlocks == "right") else "left"
        slot = layout.lock.bolt.thickness + layout.lock.fit.slide_clearance
        yield Task(
            "guides", guide.name.replace(" ", "-"),
            f"{guide.name.capitalize()}: saw and file it to its sheet, slot {size(layout, slot)} deep; fix it on the "
            f"back plate {size(layout, guide.near)} to the {side} of the centreline, between the lines scribed for "
            f"it, its foot at their ends and its floor left {size(layout, layout.lock.filing.guide_floors)} full.",
        )  # fmt: skip


PIECE = Piece(
    "guides",
    70,
    sheets=_sheets,
    flats=_flats,
    rules=_rules,
    settings=_settings,
    stock=_stock,
    steps=_steps,
    work=_work,
)
