"""A lock and its mirror image, which unlocks the other way: every number the same, every place mirrored."""

from dataclasses import replace
from typing import Any

import pytest

from core.layout.layout import Layout
from core.lock.in_mirror import unlocking_to
from core.lock.lock import Lock
from core.report.data import report
from tests.counts import of_all
from tests.designs import OUTLINES, plausible, stretched


def mirrored(lock: Lock) -> Lock:
    """Return the lock as a mirror beside it shows it; all outlines but the traced one are even."""
    points = tuple((-p[0], p[1], *(-k for k in p[2:])) for p in lock.plate.points)
    return replace(
        lock,
        unlocks="left" if lock.unlocks == "right" else "right",
        plate=replace(lock.plate, mark_across=-lock.plate.mark_across, points=points),
        pivot=replace(lock.pivot, across=-lock.pivot.across),
        shackle=replace(lock.shackle, across=-lock.shackle.across),
        spring=replace(
            lock.spring,
            tip_across=-lock.spring.tip_across,
            foot_side="left" if lock.spring.foot_side == "right" else "right",
        ),
    )


def segment_seen_in_a_mirror(segment: dict[str, Any]) -> dict[str, Any]:
    """Return a line or arc mirrored and run backwards: a clockwise contour stays clockwise."""

    def flip(point: list[float]) -> list[float]:
        return [-point[0], point[1]]

    if "line" in segment:
        start, end = segment["line"]
        return {"line": [flip(end), flip(start)]}
    arc = segment["arc"]
    return {
        "arc": {
            **arc,
            "centre": flip(arc["centre"]),
            "from": flip(arc["to"]),
            "to": flip(arc["from"]),
        }
    }


def flat(segments: list[dict[str, Any]]) -> list[float]:
    """Return the numbers of a contour in a row, each segment begun by its kind."""
    row: list[float] = []
    for segment in segments:
        if "line" in segment:
            row += [0.0, *segment["line"][0], *segment["line"][1]]
        else:
            arc = segment["arc"]
            turn = 1.0 if arc["turn"] == "cw" else 2.0
            row += [turn, *arc["centre"], arc["radius"], *arc["from"], *arc["to"]]
    return row


LOCKS = [
    *(plausible(k, outline=kind) for k, kind in enumerate(OUTLINES)),
    *map(stretched, range(4)),
]


def test_the_lock_that_is_turned_to_the_other_side_is_the_one_in_the_mirror() -> None:
    for lock in LOCKS:
        right = lock.unlocks == "right"
        wrong = (lock.shackle.across > 0) == right
        other = unlocking_to(lock, "left" if right else "right")
        assert other == (replace(lock, unlocks=other.unlocks) if wrong else mirrored(lock))
        assert unlocking_to(lock, lock.unlocks) == lock
        if not wrong:
            assert unlocking_to(other, lock.unlocks) == lock
    assert any((lock.shackle.across < 0) == (lock.unlocks == "right") for lock in LOCKS)


@pytest.mark.parametrize(
    "lock", of_all(LOCKS, 4), ids=lambda lock: f"{lock.title} {lock.plate.outline}"
)
@pytest.mark.first(1)
def test_report_of_the_mirrored_lock_is_the_mirrored_report(lock: Lock) -> None:
    one, other = report(Layout(lock)), report(Layout(mirrored(lock)))
    assert other["unlocks"] != one["unlocks"]
    assert other["tooth"] == one["tooth"]
    assert other["plate"] == pytest.approx(one["plate"], abs=1e-9)
    assert other["centreline"]["lean"] == pytest.approx(-one["centreline"]["lean"], abs=1e-9)
    assert other["centreline"]["foot_miss"] == pytest.approx(
        -one["centreline"]["foot_miss"], abs=1e-9
    )
    for path, window in one["windows"].items():
        seen = other["windows"][path]
        if (
            path == "spring.tip_across"
        ):  # its place is mirrored, and with it what is low and what high
            low, high = window["high"], window["low"]
            by = window["high_by"], window["low_by"]
            window = {"low": -low, "high": -high, "low_by": by[0], "high_by": by[1]}
        assert (seen["low_by"], seen["high_by"]) == (window["low_by"], window["high_by"])
        # the wall of a round or oval plate is made of chords, which begin on one side
        assert [seen["low"], seen["high"]] == pytest.approx(
            [window["low"], window["high"]], abs=1e-3
        )
    bolt, seen = one["bolt"], other["bolt"]
    assert seen["area"] == pytest.approx(bolt["area"], abs=1e-9)
    assert seen["centroid"] == pytest.approx([-bolt["centroid"][0], bolt["centroid"][1]], abs=1e-9)
    backwards = [segment_seen_in_a_mirror(s) for s in reversed(bolt["contour"])]
    assert flat(seen["contour"]) == pytest.approx(flat(backwards), abs=1e-9)
    turn, seen = one["turn"], other["turn"]
    assert seen["overlap_with"] == turn["overlap_with"]
    # key angles count in the way of unlocking, for either hand
    assert seen["overlap_at"] == pytest.approx(turn["overlap_at"], abs=0.1)
    assert seen["overlap"] == pytest.approx(turn["overlap"], rel=1e-3, abs=1e-6)
    assert seen["least_gap"] == pytest.approx(turn["least_gap"], abs=1e-4)
    wanted = [(m["what"], m["face"], -m["across"], m["below"]) for m in one["marking"]]
    found = [(m["what"], m["face"], m["across"], m["below"]) for m in other["marking"]]
    for (what, face, across, below), place in zip(wanted, found, strict=True):
        assert place[:2] == (what, face)
        assert place[2:] == pytest.approx((across, below), abs=1e-9)
    codes = [(f["code"], f["level"], f["step"]) for f in one["findings"]]
    assert [(f["code"], f["level"], f["step"]) for f in other["findings"]] == codes
    back = report(Layout(mirrored(mirrored(lock))))
    assert back == one


def test_a_left_hand_lock_lies_on_the_other_side() -> None:
    lock = plausible(2, unlocks="left")
    said = report(Layout(lock))
    xs = [x for row in said["bolt"]["contour"] for x, _ in row.get("line", [])]
    # the nose reaches to the right, into the shackle; the tail to the left
    face = lock.shackle.across - lock.shackle.diameter / 2
    assert max(xs) == pytest.approx(face + lock.shackle.engagement, abs=1e-9)
    assert min(xs) == pytest.approx(
        -lock.rear_guide.from_centreline - lock.rear_guide.width, abs=1e-9
    )


def test_a_shackle_on_the_wrong_side_stops() -> None:
    lock = plausible(2, unlocks="left")
    wrong = replace(lock, shackle=replace(lock.shackle, across=-lock.shackle.across))
    found = report(Layout(wrong))["findings"]
    (said,) = [f for f in found if f["code"] == "shackle-wrong-side"]
    assert said["level"] == "stop"
    # what it is held against is the centreline
    assert (said["value"], said["limit"]) == (wrong.shackle.across, 0.0)
