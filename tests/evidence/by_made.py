"""The verdicts' numbers by polygon differences of workpieces that shapely alone has drawn."""

from typing import Any

import shapely
from shapely.geometry import Point

from core.lock.lock import Lock
from core.lock.made import Made
from core.made.verdicts import by_shape
from tests import benchwork
from tests.evidence.by_places import places
from tests.evidence.cases import Case, Found, Judge
from tests.plates import plate_polygon

SLOTTED = ("front_guide", "rear_guide", "shackle")
"""Workpieces with slots whose sizes no flat polygon has."""


PLATES = ("back_plate", "front_plate")


def _pair(lock: Lock, record: Made) -> tuple[Lock, Lock]:
    """Return the lock that a workpiece is of, and the one that is wanted."""
    planned, measured = dict(record.planned), dict(record.measured)
    made = wanted = lock
    for path, value in planned.items():
        made = made.with_value(path, measured.get(path, value))
        if path in measured:
            wanted = wanted.with_value(path, value)
    return made, wanted


def _made(case: Case) -> Found:
    shift = {verdict.part: verdict.fitting.shift for verdict in by_shape(case.layout)}
    records = {record.part: record for record in case.lock.made}
    for said in case.said["made"]:
        part, record = said["part"], records[said["part"]]
        made, wanted = _pair(case.lock, record)
        yield from _strays(said, made, wanted)
        if not said["strays"]:
            yield from _scribed(said, made, wanted)
        one, other = benchwork.SHAPES[part](made), benchwork.SHAPES[part](wanted)
        one = benchwork.moved(one, shift[part])
        # of a hole astray the plates alone: what was made after it was made to it, on its line
        if part in SLOTTED or (case.said["made"][0]["strays"] and part not in PLATES):
            continue
        for key, kept, gone in (("file", one, other), ("missing", other, one)):
            rest = kept.difference(gone)
            yield f"made[].{key}_area", said[f"{key}_area"], rest.area
            yield f"made[].{key}_depth", said[f"{key}_depth"], benchwork.depth(kept, gone)
            for patch in said[key]:
                piece = min(shapely.get_parts(rest), key=lambda p: p.distance(Point(patch["at"])))
                yield f"made[].{key}[].at[]", 0.0, float(piece.distance(Point(patch["at"])))
                yield f"made[].{key}[].area", patch["area"], piece.area
                yield f"made[].{key}[].depth", patch["depth"], benchwork.depth(piece, gone)


def _strays(said: dict[str, Any], made: Lock, wanted: Lock) -> Found:
    for hole in said["strays"]:
        at, place = (complex(lock.pivot.across, -lock.pivot.below) for lock in (made, wanted))
        plate, bore = wanted.plate.thickness, made.pivot.hole + 2.0
        # common practice, no source: counterbores 2 mm wider, a quarter of the plate deep, a rod 0.1 mm looser
        found = {
            "across": (at - place).real, "up": (at - place).imag, "hole": made.pivot.hole, "counterbore": bore,
            "counterbore_depth": plate / 4, "plug": made.pivot.hole - 0.1,
            "web": abs(at - place) - (bore + wanted.pivot.hole) / 2,
            "to_edge": plate_polygon(made).boundary.distance(Point(at.real, at.imag)) - bore / 2,
        }  # fmt: skip
        deep = plate / 4
        volume = made.pivot.hole**2 * (plate - 2 * deep) + bore**2 * (2 * deep + 2 * 0.2)
        found["plug_length"] = volume / found["plug"] ** 2
        yield from ((f"made[].strays[].{key}", hole[key], value) for key, value in found.items())
        for key, point in (("at", at), ("wanted", place)):
            yield f"made[].strays[].{key}[]", abs(complex(*hole[key]) - point), 0.0


def _scribed(said: dict[str, Any], made: Lock, wanted: Lock) -> Found:
    before, now = places(made), places(wanted)
    for line in said["scribe"]:
        off = now[line["what"]] - before[line["what"]]
        yield "made[].scribe[].across", line["across"], off.real
        yield "made[].scribe[].up", line["up"], off.imag


JUDGES = (
    Judge(
        "made", "the workpiece as it was made less the one that is wanted, and the other way; depths by halving",
        "shapely, on workpieces drawn without the program (`tests/benchwork.py`); plugs: common practice, no source",
        ("made[].*",), _made,
    ),
)  # fmt: skip
