"""The spring's strip and the notches under its tip: stock, and their place in the order of work."""

from collections.abc import Iterable

from core.layout.layout import Layout
from core.parts.notches import places
from core.parts.strip import Strip, notch, strip
from core.parts.strip_place import bend_in_degrees, tip_on_bolt
from core.sheets.record import Piece, Stock, Task
from core.sheets.sizes import rough, size
from core.units import show_angle

SPARE = 2.0
"""Added to the length of the strip [mm]; common practice, no source."""
NEAR = 0.1
"""Half a width [mm] of a floor below which a notch counts as a V."""


def length(layout: Layout, made: Strip) -> float:
    """Return the length [mm] of strip that is cut: what bends, its foot or feet, and the tip that is bent or rolled."""
    values = layout.lock.spring
    if made.beam.on_two_ends:
        # the tip is a bow in the middle: down and up again
        return made.beam.length + 2 * values.foot_length + 2 * made.tip_height
    rolled = 2 * 3.1416 * (values.tip_radius - values.thickness / 2)
    return (
        made.beam.length
        + values.foot_length
        + (rolled if values.tip == "rolled" else values.tip_height)
    )


def _stock(layout: Layout) -> Iterable[Stock]:
    made = strip(layout)
    if made is None:
        return
    sizes = (length(layout, made) + SPARE, made.beam.width, made.beam.thickness)
    note = f"{made.metal.temper}; {rough(layout, SPARE)} to spare in length"
    yield Stock("spring", 1, sizes, "strip", made.metal.name, note)


def _notches(layout: Layout) -> str | None:
    """Return how the notches are filed, None where there are none."""
    cut = notch(layout)
    if cut is None or cut.foot <= 0:
        return None

    def show(mm: float) -> str:
        return size(layout, mm)

    on = tip_on_bolt(layout)
    floor = f", with a floor {show(2 * cut.floor)} wide" if cut.floor > NEAR else ""
    first, second = (seat for seat, _ in places(layout))
    return (
        f"Notches: along the bolt line from the tip of the nose, {show(on[first])} for the {first} seat and "
        f"{show(on[second])} for the {second} one, each {show(2 * cut.half_width)} wide at the top edge and "
        f"{show(cut.foot)} deep, sides at {show_angle(layout.lock.detent.ramp)} to the bolt line{floor}. Prove the "
        "places first: with the bolt at either seat the spring's tip has to stand over the middle. File them a "
        "little shallow and try them under the spring."
    )  # fmt: skip


def _bent(layout: Layout, made: Strip) -> str:
    """Return how the strip is bent, and what it then presses."""
    where = "in the middle" if made.beam.on_two_ends else "at the edge of its foot"
    return (
        f"bend the strip {bend_in_degrees(made):.1f} degrees {where}, so that beside its notches it is "
        f"lifted {size(layout, made.hang + made.drop)}; it then presses with {layout.show_force(made.rest)} in a notch "
        f"and {layout.show_force(made.land)} beside it. Bending or tempering it hot: tongs, gloves, away from oil "
        "and anything that burns. A spring under load flies: eye protection on, a thumb over it as you fit it."
    )


def _steps(layout: Layout) -> Iterable[str]:
    notches, made = _notches(layout), strip(layout)
    if notches is not None:
        yield notches
    if made is not None:
        yield f"Spring: {_bent(layout, made)}"


def _work(layout: Layout) -> Iterable[Task]:
    notches, made = _notches(layout), strip(layout)
    if made is not None:
        long, wide, thick = (
            size(layout, mm) for mm in (length(layout, made), made.beam.width, made.beam.thickness)
        )
        cut = f"cut {long} of strip {wide} wide and {thick} thick, {made.metal.name}"
        yield Task("tooth", "strip", f"Spring: {cut}; {_bent(layout, made)}")
    if notches is not None:
        yield Task("tooth", "notches", notches)


PIECE = Piece("spring", 92, stock=_stock, steps=_steps, work=_work)
