"""The drill schedule: for each size of hole the pilot, the finish, and the nearest drill with its error."""

from collections.abc import Iterable
from dataclasses import dataclass

from core.layout.layout import Layout
from core.sheets.drills import PILOTS, nearest, pilot
from core.sheets.gathering import all_holes, all_pieces
from core.sheets.record import Drilling
from core.sheets.sizes import error_of, size
from core.sheets.table import Table
from core.tables.twist_drills import INCHES, Drill, kinds_for


@dataclass(frozen=True)
class Line:
    """One line of the schedule: holes of one diameter [mm] and purpose."""

    what: str
    where: str
    diameter: float
    count: int
    fit: str
    chained: bool


def lines(layout: Layout) -> tuple[Line, ...]:
    """Return the schedule's lines, holes of one row or purpose counted together."""
    found: dict[tuple[str, str, float], Line] = {}
    for item in _drillings(layout):
        name = item.what.rstrip(" 0123456789") if item.chained else item.what
        key = (name, item.where, round(item.diameter, 6))
        before = found[key].count if key in found else 0
        found[key] = Line(
            name, item.where, item.diameter, before + item.count, item.fit, item.chained
        )
    return tuple(found.values())


def _drillings(layout: Layout) -> Iterable[Drilling]:
    for hole in all_holes(layout):
        where = " and ".join(hole.plates)
        yield Drilling(
            hole.group or hole.what, hole.diameter, len(hole.plates), where, hole.fit, hole.chained
        )
    for piece in all_pieces():
        yield from piece.drillings(layout)


def drill_schedule(layout: Layout) -> Table:
    """Return the schedule: the nearest drill; beside a metric one the nearest in inches, never the other way round."""
    own = kinds_for(layout.lock.units)
    asked = (own,) if own == INCHES else (own, INCHES)
    rows = []
    for item in lines(layout):
        first = pilot(item.diameter, PILOTS[layout.lock.units])
        rows.append(
            (
                f"{item.what} ({item.where})",
                str(item.count),
                first.name if first else "none",
                size(layout, item.diameter),
                *(
                    _with_error(layout, nearest(item.diameter, kinds), item.diameter)
                    for kinds in asked
                ),
                item.fit,
            )
        )
    return Table(
        "Drill schedule",
        ("hole", "holes", "pilot", "finish", "nearest drill", *("or",) * (len(asked) - 1), "for"),
        tuple(rows),
        (
            (
                "In brackets: how much larger (+) or smaller (-) the drill is than the finish. A hole for a shank or "
                "pin that comes out small is reamed or filed. Pilots are common practice, no source."
            ),
        ),
        widths=(38, 12, 20, 28, *(36,) * len(asked), 36),
    )


def _with_error(layout: Layout, drill: Drill | None, diameter: float) -> str:
    if drill is None:
        return "none near: bore or file"
    return f"{drill.name} ({error_of(layout, drill.diameter - diameter)})"
