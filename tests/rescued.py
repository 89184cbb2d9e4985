"""Locks of which some parts are made, with a referee that knows them by shapely alone."""

from dataclasses import replace

from core.change.consequences import Consequences
from core.checks import gathered
from core.files.project_file import load
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.lock.made import Made
from core.made.marking import mark_made
from core.shipped import sample_locks
from core.whole import assembly
from tests import benchwork

NEAR = 2e-3
PLATES_AND_BOLT = ("back_plate", "front_plate", "bolt")


def made(lock: Lock, *parts: str) -> Lock:
    for part in parts or assembly.workpieces():
        lock = mark_made(lock, part)
    return lock


def demo() -> Lock:
    path = next(path for path in sample_locks() if path.stem == "boathouse")
    return load(path).lock


def stops(lock: Lock) -> set[str]:
    return {f.code for f in gathered.findings(Layout(lock)) if f.level == "stop"}


def made_to(lock: Lock, record: Made) -> Lock:
    for path, value in (*record.planned, *record.measured):
        lock = lock.with_value(path, value)
    return lock


def good_by_shapely(lock: Lock, part: str) -> bool:
    """Say whether a made part lies within the tolerance of what the lock wants, by polygons alone."""
    record = next(record for record in lock.made if record.part == part)
    shape, tolerance = benchwork.SHAPES[part], lock.fit.made_tolerance + NEAR
    wanted, own = shape(Layout(lock).lock), shape(made_to(replace(lock, made=()), record))
    return max(benchwork.depth(own, wanted), benchwork.depth(wanted, own)) <= tolerance


def words(change: Consequences) -> dict[str, str]:
    return {v.part: v.word for v in change.wish.standing.verdicts}
