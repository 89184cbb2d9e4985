"""The rivets."""

from functools import partial

from core.lock.rows.second_kind import ROWS

from core.layout.part import Drawn, Fixed, Part
from core.layout.workpiece import Feature
from core.parts.discs import disc_areas, disc_holes, disc_marks, disc_spots
from core.parts.free_room import disc_bounds, disc_codes, disc_findings

PART = Part(
    "rivets",
    89,
    drawn=(Drawn("rivet", "other", each=True),),
    codes=disc_codes(ROWS),
    findings=partial(disc_findings, kind=ROWS),
    bounds=partial(disc_bounds, kind=ROWS),
    fixed=(Fixed("rivet", 89, "rivets", partial(disc_areas, kind=ROWS)),),
    marks=partial(disc_marks, kind=ROWS),
    spots=partial(disc_spots, kind=ROWS),
    features=tuple(
        Feature(
            plate, ("pivot.across", "pivot.below", "rivets"), partial(disc_holes, kind=ROWS), measurable=("rivets",),
        )
        for plate in ("back plate", "front plate")
    ),
)  # fmt: skip
