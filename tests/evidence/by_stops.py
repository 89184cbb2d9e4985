"""The stops that were chosen past either seat, and how far past it the bolt may go."""

from core.parts.end_stops import SEATS
from tests.evidence.by_detent import bench_of
from tests.evidence.by_forces import friction
from tests.evidence.cases import Case, Found, Judge
from tests.stopped_locks import face_met, section, stopped
from tests.test_end_stops import met, metal


def _stops(case: Case) -> Found:
    """Slide the bolt past its seats: each stop stands where its over-travel was to put it, and is met first."""
    lock = case.lock
    for seat in SEATS:
        said, (name, away) = case.said["stops"][seat], met(lock, seat)
        assert said["by"] == name
        yield f"stops.{seat}.distance", said["distance"], away
        yield f"stops.{seat}.asked", said["asked"], away
        if said["area"] is not None:
            found = face_met(lock, seat, metal(lock)[name], away)
            yield f"stops.{seat}.area", said["area"], found
        if said["sheared"] is not None:
            post = next(each.row for each in lock.rows.of("posts") if name.endswith(each.name))
            yield f"stops.{seat}.sheared", said["sheared"], 2 * section(post.diameter / 2)


def _windows(case: Case) -> Found:
    """At the low end the stop stands at the seat itself; at the high end the notch no longer draws the bolt back."""
    lock = case.lock
    reaches = bench_of(lock).draws_over(
        friction()[lock.friction.metals, lock.friction.condition][1]
    )
    for seat in SEATS:
        path, kind = f"stops.{seat}_over", lock.value(f"stops.{seat}")
        window = case.said["windows"][path]
        there = stopped(lock, seat, kind, window["low"])
        yield f"windows.{path}.low", window["low"], met(there, seat)[1]
        if window["high"] is not None:
            yield f"windows.{path}.high", window["high"], reaches


JUDGES = (
    Judge(
        "stopped", "the bolt slid past each seat; how its overlap with the stop grows; a fine disc",
        "shapely; stops placed by the bolt's outline alone",
        ("stops.*.asked", "stops.*.sheared"), _stops,
    ),
    Judge(
        "drawn back", "the stop set to the seat itself; the notch's reach measured on the bolt's outline",
        "shapely; Coulomb's friction",
        ("windows.stops.*",), _windows,
    ),
)  # fmt: skip
