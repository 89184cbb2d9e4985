"""The spring's strip and the notches under its tip: stock, and their place in the order of work."""

from collections.abc import Iterable

from core.layout.layout import Layout
from core.parts.notches import notch, places
from core.parts.strip import Strip, strip
from core.parts.strip_place import bend_in_degrees, tip_on_bolt
from core.sheets.record import Piece, Stock
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


def _steps(layout: Layout) -> Iterable[str]:
    cut, made = notch(layout), strip(layout)

    def show(mm: float) -> str:
        return size(layout, mm)

    if cut is not None and cut.foot > 0:
        on = tip_on_bolt(layout)
        floor = f", with a floor {show(2 * cut.floor)} wide" if cut.floor > NEAR else ""
        first, second = (seat for seat, _ in places(layout))
        yield (
            f"Notches: along the bolt line from the tip of the nose, {show(on[first])} for the {first} seat and "
            f"{show(on[second])} for the {second} one, each {show(2 * cut.half_width)} wide at the top edge and "
            f"{show(cut.foot)} deep, sides at {show_angle(layout.lock.detent.ramp)} to the bolt line{floor}. Prove the "
            "places first: with the bolt at either seat the spring's tip has to stand over the middle. File them a "
            "little shallow and try them under the spring."
        )  # fmt: skip
    if made is not None:
        where = "in the middle" if made.beam.on_two_ends else "at the edge of its foot"
        yield (
            f"Spring: bend the strip {bend_in_degrees(made):.1f} degrees {where}, so that beside its notches it is "
            f"lifted {show(made.hang + made.drop)}; it then presses with {layout.show_force(made.rest)} in a notch and "
            f"{layout.show_force(made.land)} beside it. Bending or tempering it hot: tongs, gloves, away from oil "
            "and anything that burns. A spring under load flies: eye protection on, a thumb over it as you fit it."
        )


PIECE = Piece("spring", 92, stock=_stock, steps=_steps)
