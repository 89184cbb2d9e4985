"""The report as data: what a lock comes to, in the keys of the report contract.

Lengths in mm, areas in mm2, angles in degrees, in full precision: rounding is for the eye. Points are in the
mechanism frame, marking in the plate frame as each face shows it.
"""

from collections.abc import Iterable
from typing import Any

from core.checks import gathered
from core.layout.findings import Finding, worst_first
from core.layout.layout import Layout
from core.layout.windows import Window
from core.lock.lock import FORMAT
from core.whole import assembly

FACES = (
    ("back plate, inside", 1),
    ("back plate, outside", -1),
    ("front plate, outside", 1),
    ("front plate, inside", -1),
)
"""Each face with the sign of X as it is seen: two of the four are mirrored."""


def report(layout: Layout, notes: Iterable[Finding] = ()) -> dict[str, Any]:
    """Return the whole report; `notes` are findings on the file that the lock came from."""
    lock = layout.lock
    made: dict[str, Any] = {
        "format": FORMAT,
        "title": lock.title,
        "unlocks": lock.unlocks,
        "windows": {path: _window(w) for path, w in gathered.windows(layout).items()},
        "marking": marking(layout),
        "findings": [f.as_data() for f in worst_first([*gathered.findings(layout), *notes])],
    }
    for check in gathered.all_checks():
        for key, value in check.report(gathered.seen_by(check, layout)).items():
            if key in made:
                raise ValueError(f"two parts report under {key}")
            made[key] = value
    return made


def marking(layout: Layout) -> list[dict[str, Any]]:
    """Return every place to mark out, once for each face of the two plates [mm]."""
    return [
        {"what": spot.what, "face": face, "across": sign * spot.across + 0.0, "below": spot.below}
        for face, sign in FACES
        for part in assembly.all_parts()
        for spot in part.spots(layout)
    ]


def _window(window: Window) -> dict[str, Any]:
    low, high = window.low, window.high
    return {
        "low": low.value if low else None,
        "high": high.value if high else None,
        "low_by": low.by if low else None,
        "high_by": high.by if high else None,
    }
