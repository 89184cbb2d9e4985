"""The ends of the windows, the findings' numbers, the places to mark out, and rows of posts and plugs."""

import math
from contextlib import suppress
from dataclasses import replace
from typing import Any

import numpy as np
from shapely.geometry import Point

from core.checks import gathered
from core.checks.catalogue import declared
from core.errors import BadValueError
from core.layout.windows import Bound
from core.lock.lock import Lock
from core.lock.row_changes import rows_of
from core.lock.rows.plugs import Plug
from core.lock.rows.posts import Post
from tests.evidence.cases import Case, Found, Judge
from tests.met_ends import touching
from tests.plates import plate_polygon
from tests.posts_bench import Bench
from tests.test_plugs import volume


def _windows(case: Case) -> Found:
    """What is measured at each end, less what it should be there; of posts, the ends that a scan finds."""
    bench = Bench(case.lock) if rows_of(case.lock, Post) else None
    for path, window in gathered.windows(case.layout).items():
        if (
            window.conflict or case.tooth.on_relief == 0
        ):  # nothing fits, or the iteration finds no foot
            continue
        for end, bound in (("low", window.low), ("high", window.high)):
            # a key no wider than its bit is none
            if bound is None or (
                path == "key.radius" and bound.value < case.lock.key.bit_thickness
            ):
                continue
            assert case.said["windows"][path][end] == bound.value
            if (path, end, bound.code.name) == ("key.radius", "low", "key-fouls-bolt"):
                continue  # so small a key strikes beside the flank: the room in the gap leaps there
            key = f"windows.{path}.{end}"
            if not path.startswith("posts."):
                with suppress(BadValueError):  # an end at nothing, where no lock can be
                    told = touching(case.lock, bound)
                    if told is not None:
                        yield key, told[0], told[1]
                continue
            _, name, of = path.split(".")
            assert bench is not None
            if of == "diameter":
                post = rows_of(case.lock, Post)[name]
                lack = bench.lacks(name, np.array([[post.across, post.above]]), 0.0)
                if bound.value > 0:
                    yield key, bound.value, -2 * max(float(x[0]) for x in lack.values())
            elif (run := bench.stretch(name, of)) is not None:
                yield key, bound.value, run[("low", "high").index(end)]


ABOUT = {
    "foot-miss": "centreline.foot_miss", "home-travel": "tooth.home_travel", "bolt-jams": "statics.friction",
    "cocking": "statics.cocking_ratio", "torque-high": "statics.peak_torque",
    "torque-beyond-hand": "statics.peak_torque",
    "flank-runs-out": "statics.flank_left", "flank-pressure": "statics.flank_pressure",
    "release-late": "tooth.release_angle", "bridge-thin": "tooth.bridge", "key-fouls-bolt": "tooth.gap_width",
    "shut-out": "tooth.shut_out", "pushed-past-locked": "stops.locked.second_turn.pushes",
    "pushed-past-unlocked": "stops.unlocked.second_turn.pushes",
}  # fmt: skip
"""Findings whose number is one of the report's own, which is judged there."""


def _findings(case: Case) -> Found:
    """A number of the report's own, or what a finding that sets a window's end lacks, measured on the lock as it is."""
    bounds: dict[str, Bound] = {}
    for part in gathered.all_checks():
        for bound in part.bounds(case.layout):
            bounds.setdefault(bound.code.name, bound)
    for found in case.said["findings"]:
        if found["value"] is None:
            continue
        if (about := ABOUT.get(found["code"])) is not None:
            number: Any = case.said
            for key in about.split("."):
                number = number[key]
            yield "findings[].value", abs(found["value"]), abs(number)
        bound_of = bounds.get(found["code"])
        told = bound_of and touching(
            case.lock, replace(bound_of, value=case.lock.value(bound_of.path))
        )
        # an overlap has an area, which is not what the finding tells
        if told and min(told) > 0:
            yield "findings[].limit", abs(found["value"] - found["limit"]), abs(told[0] - told[1])


def _remedies(case: Case) -> Found:
    """Each remedy taken: how much of what its finding is about is then still lacking, measured by shapely."""
    for found in case.said["findings"]:
        code = declared(found["code"])
        for remedy in found["remedies"]:
            lock = case.lock
            for path, value in remedy["changes"].items():
                lock = lock.with_value(path, value)
            path, value = next(iter(remedy["changes"].items()))
            told = touching(lock, Bound(path, "low", value, "", code))
            if told is not None:
                less = told[0] - told[1] if code.name in AT_MOST else told[1] - told[0]
                yield f"findings[].remedies[].changes.{path}", max(less, 0.0), 0.0


AT_MOST = {"home-budget", "play-over-clearance"}
"""Findings of too much of something; all other remedies mend too little."""


def places(lock: Lock) -> dict[str, complex]:
    """Return the places to mark out in the plate frame [mm], X to the right and Y up, by the frames' definition."""
    sign = 1 if lock.unlocks == "right" else -1
    pivot = complex(lock.pivot.across, -lock.pivot.below)
    up = -pivot / abs(pivot)
    line, rear, front = lock.bolt_line.height, lock.rear_guide, lock.front_guide

    def at(x: float, y: float) -> complex:
        return pivot + x * (up / 1j) + y * up

    found = {
        "datum mark": 0j, "pivot": pivot, "bolt line on the centreline": at(0, line),
        "rear guide, near face on the bolt line": at(sign * rear.from_centreline, line),
        "rear guide, outer face on the bolt line": at(sign * (rear.from_centreline + rear.width), line),
        "front guide, near face on the bolt line": at(-sign * front.from_centreline, line),
        "front guide, outer face on the bolt line": at(-sign * (front.from_centreline + front.width), line),
        "shackle end, middle of its underside": at(-sign * abs(lock.shackle.across), line - lock.shackle.drop),
    }  # fmt: skip
    found |= {f"post {name}": at(p.across, p.above) for name, p in rows_of(lock, Post).items()}
    return found | {
        f"plug {name}": complex(p.across, -p.below) for name, p in rows_of(lock, Plug).items()
    }


def _marking(case: Case) -> Found:
    """Two of the four faces are seen from behind."""
    found, low = places(case.lock), plate_polygon(case.lock).bounds[1]
    for row in case.said["marking"]:
        behind = -1 if row["face"] in ("back plate, outside", "front plate, inside") else 1
        if row["what"] == "lowest point":
            yield "marking[].below", row["below"], -low
            continue
        place = found[row["what"]]
        yield "marking[].across", row["across"], behind * place.real
        yield "marking[].below", row["below"], -place.imag


def _rows(case: Case) -> Found:
    posts, plugs = rows_of(case.lock, Post), rows_of(case.lock, Plug)
    edge = plate_polygon(case.lock).boundary
    for row in case.said.get("posts", ()):
        post = posts[row["name"]]
        yield from (
            (f"posts[].{key}", row[key], getattr(post, key))
            for key in ("across", "above", "diameter")
        )
        lack = Bench(case.lock).lacks(
            row["name"], np.array([[post.across, post.above]]), post.diameter / 2
        )
        if row["room"] > -post.diameter / 2:  # deeper in, the program tells how deep
            yield "posts[].room", row["room"], -max(float(x[0]) for x in lack.values())
    for row in case.said.get("plugs", ()):
        plug = plugs[row["name"]]
        for key in ("across", "below", "hole", "counterbore", "depth", "diameter"):
            yield f"plugs[].{key}", row[key], getattr(plug, key)
        rod = math.pi / 4 * plug.diameter**2
        yield "plugs[].length", row["length"], volume(case.lock, plug) / rod
        place = Point(plug.across, -plug.below)
        yield "plugs[].to_edge", row["to_edge"], edge.distance(place) - plug.counterbore / 2
        pivot = Point(case.lock.pivot.across, -case.lock.pivot.below)
        if row["nearest"] == "the pivot hole":
            web = place.distance(pivot) - (plug.counterbore + case.lock.pivot.hole) / 2
            yield "plugs[].web", row["web"], web


JUDGES = (
    Judge(
        "touched",
        "at each end the part that sets it measured against what it touches; of posts, a scan in steps of 0.05 mm",
        "shapely and the design page's iteration; `tests/met_ends.py`, `tests/posts_bench.py`",
        ("windows.*.low", "windows.*.high"), _windows,
    ),
    Judge(
        "taken", "each remedy taken, and what its finding is about measured on that lock: what is still lacking",
        "shapely; `tests/met_ends.py`", ("findings[].remedies[].changes.*",), _remedies,
    ),
    Judge(
        "found", "the report's own number that is meant, or what is lacking, measured by shapely on the lock as it is",
        "hands and friction: see The shipped tables",
        ("findings[].value", "findings[].limit"), _findings,
    ),
    Judge(
        "frames", "every place by complex numbers; two of the four faces mirrored",
        "the design's definition of the frames", ("marking[].*",), _marking,
    ),
    Judge(
        "bench", "posts against areas of shapely alone, plugs by an integral over the plate's thickness",
        "shapely, scipy; equal volume",
        ("posts[].*", "plugs[].*"), _rows,
    ),
)  # fmt: skip
