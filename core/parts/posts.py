"""The posts: spacers riveted between the plates, clear of everything that moves and of each other."""

from collections.abc import Iterable, Mapping
from functools import partial
from typing import Any

from core.layout.frames import hand
from core.layout.layout import Layout
from core.layout.part import BenchTable, Drawn, Fixed, Part
from core.layout.workpiece import Feature
from core.lock.rows.posts import ROWS
from core.parts.discs import disc_areas, disc_holes, disc_marks, disc_spots, discs_of
from core.parts.free_room import disc_bounds, disc_codes, disc_findings, room


def least_room(layout: Layout) -> float | None:
    """Return how much room [mm] is left round the post that has least; None without posts."""
    return min((room(layout, post)[0] for post in discs_of(layout, ROWS)), default=None)


def _report(layout: Layout) -> Mapping[str, Any]:
    """Return the report's `posts`, for a lock that has any: place, diameter, and the room left round each."""
    rows = []
    for post in discs_of(layout, ROWS):
        (x, y), (left, thing) = hand(layout).point(post.at), room(layout, post)
        rows.append(
            {
                "name": post.name, "across": x, "above": y, "diameter": 2 * post.radius,
                "room": left, "nearest": thing.by,
            }
        )  # fmt: skip
    return {"posts": rows} if rows else {}


def _bench(layout: Layout) -> Iterable[BenchTable]:
    show, rows = layout.show, []
    for post in discs_of(layout, ROWS):
        (x, y), (left, thing) = hand(layout).point(post.at), room(layout, post)
        size = f"{post.title}, {show(2 * post.radius)} thick"
        rows.append((size, f"{show(x)} across, {show(y)} above"))
        rows.append(("  room left round it", f"{show(left)}, to {thing.by}"))
    if rows:
        yield BenchTable("posts", 35, tuple(rows))


PART = Part(
    "posts",
    88,
    drawn=(Drawn(ROWS.singular, "other", each=True),),
    codes=disc_codes(ROWS),
    findings=partial(disc_findings, kind=ROWS),
    bounds=partial(disc_bounds, kind=ROWS),
    fixed=(Fixed(ROWS.singular, 88, ROWS.plural, partial(disc_areas, kind=ROWS)),),
    marks=partial(disc_marks, kind=ROWS),
    spots=partial(disc_spots, kind=ROWS),
    report=_report,
    bench=_bench,
    features=tuple(
        Feature(
            plate, ("pivot.across", "pivot.below", ROWS.table), partial(disc_holes, kind=ROWS),
            measurable=(ROWS.table,),
        )
        for plate in ("back plate", "front plate")
    ),
)  # fmt: skip
