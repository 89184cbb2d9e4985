"""What is drilled stays where it is: places in a plate, seen from a pivot that came out elsewhere.

A row's place is in the mechanism frame, which goes with the pivot. Its hole was laid out from the plan, so when the
pivot is measured, the hole has another place in that frame.
"""

from collections.abc import Mapping
from typing import Any

from core.layout.frames import centreline_frame
from core.lock.facts import values_of
from core.lock.lock import Lock
from core.lock.made import Made, Values
from core.lock.paths import place_at

PIVOT = ("pivot.across", "pivot.below")
LINE = "bolt_line.height"
"""Scribed on the back plate, from the pivot: it is another number when the pivot came out elsewhere."""


def made_values(lock: Lock, record: Made, names: tuple[str, ...]) -> Values:
    """Return what a workpiece was made to, as `values_of` does, with what is drilled held in its place."""
    own, measured = dict(values_of(lock, record, names)), dict(record.measured)
    if set(PIVOT) <= own.keys() and not measured.keys().isdisjoint(PIVOT):
        planned = dict(values_of(lock, record, names, planned=True))
        held = held_places(planned, {**planned, **{path: own[path] for path in PIVOT}})
        own |= {path: value for path, value in held.items() if path not in measured}
    return tuple(own.items())


def held_places(old: Mapping[str, Any], new: Mapping[str, Any]) -> dict[str, float]:
    """Return the places of the rows in `old` as seen from the pivot in `new` [mm], by path."""
    before, after = (centreline_frame(*(side[path] for path in PIVOT)) for side in (old, new))
    move = before.inverse().then(after)
    found: dict[str, float] = {}
    for path in old:
        place = place_at(path)
        if place.kind is not None and place.kind.place is not None:
            here = [place.at(key) for key in place.kind.place]
            found |= dict(zip(here, move.point((old[here[0]], old[here[1]])), strict=True))
    return found
