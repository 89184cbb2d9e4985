"""The rivets."""

from functools import partial

from core.lock.rows.second_kind import ROWS

from core.layout.part import Drawn, Part
from core.layout.workpiece import Feature
from core.parts.discs import disc_areas, disc_holes, disc_marks, disc_spots
from core.parts.free_room import disc_bounds, disc_findings

PART = Part(
    "rivets",
    89,
    drawn=(Drawn("rivet", "other", each=True),),
    findings=partial(disc_findings, kind=ROWS),
    bounds=partial(disc_bounds, kind=ROWS),
    fixed=partial(disc_areas, kind=ROWS),
    marks=partial(disc_marks, kind=ROWS),
    spots=partial(disc_spots, kind=ROWS),
    features=tuple(
        Feature(
            plate, ("pivot.across", "pivot.below", "rivets"), partial(disc_holes, kind=ROWS), measurable=("rivets",),
        )
        for plate in ("back plate", "front plate")
    ),
)  # fmt: skip
