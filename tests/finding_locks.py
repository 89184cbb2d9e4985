"""A lock, a made part, a row or a file for every finding that there is, which shows it."""

import errno
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from pathlib import Path

from core.files.history_file import history_path, load_history
from core.files.project_file import Project, save
from core.files.project_reading import read_text
from core.files.project_text import fresh_text
from core.files.recovery import load_recovery, recovery_path
from core.layout.findings import Finding
from core.lock.lock import Lock
from core.lock.rows.plugs import Plug
from core.made.marking import mark_made
from core.whole import assembly
from tests.faulty import Faults
from tests.held_locks import HELD
from tests.locks import BY_HAND

SQUARE = ((-38.0, 0.0), (38.0, 0.0), (38.0, -92.0), (-38.0, -92.0))
NEAR = {"rear_guide.from_centreline": 1.0, "front_guide.from_centreline": 1.0}


LONG = {
    # a long throw, the bit coming early
    "key.radius": 22.0, "bolt_line.height": 26.0, "bolt.depth": 12.0, "shackle.engagement": 20.5,
    "tooth.pickup_angle": 30.0, "shackle.across": -36.0, "front_guide.from_centreline": 28.0,
    "rear_guide.from_centreline": 28.0,
}  # fmt: skip
ALONG = {"detent.kind": "stop and spring"}
LOCKS: dict[str, Mapping[str, object]] = {
    "plate-outline": {"plate.outline": "traced"},
    "rim-too-wide": {"plate.rim": 40.0},
    "mark-not-used": {"plate.outline": "traced", "plate.points": SQUARE, "plate.mark_across": 3.0},
    "pivot-outside": {"pivot.below": 2.0},
    "pivot-hole-small": {"pivot.hole": 5.9},
    "home-budget": {"pivot.hole": 8.0},
    "play-over-clearance": {"pivot.hole": 6.4},
    "foot-miss": {"pivot.across": 2.0},
    "bridge-thin": {"bolt_line.height": 21.0},
    "spring-room": {"pivot.below": 30.0},
    "key-hits-wall": {"key.radius": 36.0},
    "key-too-large": {"fit.key_max": 15.0},
    "no-tooth": {"key.radius": 6.0},
    "no-drive": {"bolt_line.height": 30.0},
    "foot-at-shank": {"key.radius": 6.0},
    "home-travel": {"fit.detent_capture": 0.1},
    "shut-out": {"fit.detent_capture": 0.1},
    "bit-too-thick": {"key.bit_thickness": 40.0},
    "bolt-shallow": {"bolt_line.height": 30.0},
    "bolt-at-shank": {"bolt.depth": 25.0},
    "chamfer-large": {"bolt.lobe_chamfer": 3.0},
    "nose-taller-than-bolt": {"bolt.nose_height": 12.0},
    "tail-taller-than-bolt": {"bolt.tail_height": 12.0},
    "roof-flat": {"tooth.roof": "scribed", "bolt.depth": 3.0},
    "nose-too-short": {"shackle.across": -8.0},
    "rear-guide-at-body": NEAR,
    "rear-guide-in-key-circle": {"rear_guide.floor": 20.0},
    "rear-guide-outside-wall": {"rear_guide.floor": 35.0},
    "front-guide-at-body": NEAR,
    "front-guide-in-key-circle": {"front_guide.floor": 12.0},
    "front-guide-outside-wall": {"front_guide.from_centreline": 36.0},
    "tail-hits-wall": {"pivot.across": 2.0},
    "front-guide-at-shackle": {"shackle.diameter": 10.0},
    "nose-leaves-guide": {"front_guide.from_centreline": 25.0},
    "nose-short-in-guide": {"shackle.diameter": 12.0},
    "shackle-wrong-side": {"shackle.across": 26.5},
    "lip-thin": {"shackle.drop": 7.2},
    "lip-none": {"shackle.drop": 6.5},
    "cheeks-thin": {"bolt.thickness": 5.5},
    "nose-gap-small": {"shackle.gap": 0.0},
    "front-guide-thin": {"front_guide.floor": 0.7},
    "rear-guide-thin": {"rear_guide.width": 0.7},
    "lobe-thin": {"bolt.lobe_width": 0.7},
    "nose-thin": {"bolt.nose_height": 0.7},
    "tail-thin": {"bolt.tail_height": 0.7},
    "bolt-thin": {"bolt.thickness": 0.7},
    "key-clearance-small": {"fit.key_clearance": 0.0},
    "slide-clearance-none": {"fit.slide_clearance": 0.0},
    "shackle-in-key-circle": {"shackle.across": -14.0},
    "shackle-outside-wall": {"shackle.drop": 30.0},
    "notch-cuts-through": {"shackle.catch": "notch"},
    "notch-deep": {"shackle.catch": "notch", "shackle.engagement": 3.5},
    "key-fouls-bolt": {"tooth.roof": "flat", "tooth.pickup_angle": 20.0},
    "key-fouls-rear-guide": NEAR,
    "key-fouls-front-guide": NEAR,
    "key-fouls-shackle-end": {"shackle.across": -14.0},
    "key-fouls-inner-wall": {"key.radius": 36.0},
    "bolt-outside-wall": {"shackle.across": -30.0},
    "chamfer-binds": {"bolt.lobe_chamfer": 0.5, "friction.condition": "dry"},
    "pushed-past-locked": {"fit.detent_capture": 0.4},
    "pushed-past-unlocked": {"fit.detent_capture": 0.4},
    "bolt-jams": {**LONG, "friction.condition": "dry"},
    "bolt-jams-rougher": {**LONG, "friction.condition": "greased"},
    "cocking": {**NEAR, "friction.condition": "dry"},
    "torque-high": {"spring.force": 40.0},
    "torque-beyond-hand": {"spring.force": 80.0},
    "flank-runs-out": {"fit.detent_capture": 0.6},
    "flank-pressure": {"bolt.thickness": 0.01},
    "release-late": {**LONG, "tooth.pickup_angle": 25.0, "shackle.engagement": 22.5, "bolt.depth": 18.0},
    "detent-on-trust": {},
    "knocked-back": HELD,
    "detent-ramp-shallow": {**HELD, "detent.ramp": 45.0},
    "detent-ramp-steep": {**HELD, "detent.ramp": 68.0},
    "detent-stops-short": {**HELD, "friction.drag": 0.6},
    "detent-notch-deep": {**HELD, "spring.tip_across": 8.0},
    "detent-tip-wide": {**HELD, "spring.tip": "rolled", "spring.tip_radius": 1.2},
    "detent-notches-meet": {**HELD, "detent.half_width": 5.0},
    "detent-notch-off-bolt": {**HELD, "spring.tip_across": -21.0},
    "spring-push-weak": {**ALONG, "detent.push": 1.0},
    "springs-back": ALONG,
    "stop-before-locked": {"stops.locked": "guide face", "stops.locked_over": -0.2},
    "stop-before-unlocked": {"stops.unlocked": "guide face", "stops.unlocked_over": -0.2},
    "overtravel-locked": {"stops.locked": "guide face", "stops.locked_over": 1.2},
    "overtravel-unlocked": {"stops.unlocked": "none", "fit.detent_capture": 0.4},
    "stop-missing-locked": {"stops.locked": "pin"},
    "stop-missing-unlocked": {"stops.unlocked": "pin"},
    "stop-second-locked": {"stops.locked": "guide face", "front_guide.from_centreline": 22.0},
    "stop-second-unlocked": {"stops.unlocked": "guide face"},
    "stop-elsewhere-locked": {"stops.locked": "guide face", "stops.locked_over": 0.2},
    "stop-elsewhere-unlocked": {"stops.unlocked": "guide face", "stops.unlocked_over": 0.2},
    "no-detent": {"detent.kind": "none"},
    "detent-loose": {**HELD, "detent.depth": 1.0},
    "detent-ramps-meet": {**HELD, "detent.depth": 2.0},
    "spring-past-yield": {**HELD, "spring.preload": 5.0},
    "spring-too-high": {**HELD, "spring.tip_height": 8.0},
    "spring-rubs": {**HELD, "spring.tip_height": 0.5},
    "spring-outside-wall": {**HELD, "spring.foot_side": "right"},
    "spring-at-shackle": {**HELD, "spring.free_length": 32.0},
    "spring-off-bolt": {**HELD, "spring.tip_across": 25.0},
    "tip-in-guide": {**HELD, "spring.tip_across": 20.5},
    "spring-bent-far": {**HELD, "spring.free_length": 12.0},
    "tip-rolled-tight": {**HELD, "spring.tip": "rolled", "spring.tip_radius": 0.5},
}  # fmt: skip
"""For each code a lock that shows it: the values in which it differs from a new one."""


FITTED: dict[str, tuple[tuple[str, float], ...]] = {
    "key": (("key.radius", 20.5), ("key.radius", 36.0), ("key.radius", 10.0)),
    "bolt": (("bolt.depth", 10.5), ("bolt.depth", 22.0), ("bolt.depth", 3.0)),
    "front_guide": (
        ("front_guide.floor", 2.5), ("front_guide.floor", 12.0), ("bolt.nose_height", 8.0),
    ),
    "rear_guide": (
        ("rear_guide.floor", 2.5), ("rear_guide.floor", 20.0), ("bolt.tail_height", 8.0),
    ),
    "shackle": (("shackle.drop", 9.8), ("shackle.drop", 30.0), ("shackle.drop", 7.0)),
}  # fmt: skip
"""For each workpiece a size to which it is made so that it still works, has to be filed, or has to be remade."""


PLACED = {
    "back_plate": "bolt_line.height", "front_guide": "front_guide.from_centreline",
    "rear_guide": "rear_guide.from_centreline", "key_gauge": "bolt_line.height",
}  # fmt: skip
"""For each workpiece with a place or scribed marks a dimension that moves them."""


MEASURED = {
    "made-measured": [("key", "key.radius", 19.7)],
    "made-differ": [("back_plate", "pivot.below", 54.3), ("front_plate", "pivot.below", 54.1)],
}
FIXED = {
    "bolt-lies-off": ("front_guide", 0.2, 0.2),
    "nose-off-catch": ("front_guide", 0.5, 0.5),
    "bolt-stuck-in-front-guide": ("front_guide", 0.0, 0.4),
    "bolt-stuck-in-rear-guide": ("rear_guide", 0.4, 0.0),
}
"""For each code of how the bolt lies in its guides one of them, and how much too high both ends of its slot stand."""


POSTS: dict[str, tuple[tuple[float, float], ...]] = {
    "post-in-key-circle": ((5.0, 5.0),),
    "post-in-bolt": ((0.0, 22.0),),
    "post-in-shackle": ((-26.0, 40.0),),
    "post-in-front-guide": ((-20.0, 17.0),),
    "post-in-rear-guide": ((22.0, 17.0),),
    "post-outside-wall": ((40.0, 0.0),),
    "post-in-another": ((0.0, -26.0), (1.0, -26.0)),
    "key-fouls-post": ((0.0, -26.0), (5.0, -12.0)),
}
"""For each code of posts the places of posts that show it."""


PLUGS = {
    "plug-hollow": Plug(10.0, 20.0, depth=1.0),
    "plug-loose": Plug(10.0, 20.0, diameter=6.2),
    "plug-cut": Plug(0.0, 48.0),
    "plug-at-edge": Plug(0.0, 5.0),
}
"""For each code of plugs one that shows it."""


def made_codes() -> set[str]:
    pieces = [(part, what) for part in assembly.workpieces() for what in ("use", "file", "remake")]
    pieces += [("back_plate", "plug"), ("front_plate", "plug")]
    pieces += [("front_guide", "move"), ("rear_guide", "move")]
    pieces.remove(("key_gauge", "use"))  # a gauge is right or wrong
    cut = {f"made-{what}-{part}".replace("_", "-") for part, what in pieces}
    moved = {f"made-moved-{part}".replace("_", "-") for part in PLACED}
    return cut | moved | {*MEASURED, *FIXED, "made-unknown"}


def on_files(folder: Path) -> dict[str, Callable[[], Iterable[Finding | None]]]:
    """Return for each code that is not of a lock itself what shows it."""
    place = folder / "gate.toml"

    def history() -> Iterable[Finding | None]:
        history_path(place).write_text("{", "utf-8")
        return [load_history(Lock(), place, "").note]

    def recovery() -> Iterable[Finding | None]:
        recovery_path(place).write_text("cut sho", "utf-8")
        found = load_recovery(place)
        return [found.note if found else None]

    def not_synced() -> Iterable[Finding | None]:
        with Faults(errno.EIO, every="fsync").on():
            return save(Project(None, Lock()), place).notes

    return {
        "default-taken": lambda: read_text("[key]\nradius = 19.0\n").notes,
        "unknown-key": lambda: read_text(BY_HAND).notes,
        "taken-as-zero": lambda: read_text("[pivot]\nacross = 1e-300\n").notes,
        "history-unused": history,
        "recovery-unreadable": recovery,
        "changed-outside": lambda: read_text(fresh_text(Lock()).replace("20.0", "20.5", 1)).notes,
        "folder-not-synced": not_synced,
    }


SOUND = Lock().with_value("shackle.drop", 9.5)


def made_as(part: str, path: str, value: float) -> Lock:
    """Return a sound lock with one workpiece made to another size."""
    record = mark_made(SOUND.with_value(path, value), part).made
    return replace(SOUND, made=record)
