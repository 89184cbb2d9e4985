"""The two notches in the bolt's top edge: where they are, and what they do under the spring's tip.

Known from the lock's values alone, so that the tooth can ask how far the detent draws the bolt home.
"""

from itertools import pairwise
from typing import Any

from core.geometry.path import Line, Segment
from core.layout.frames import hand
from core.layout.layout import Layout, derived
from core.lock.lock import Lock
from core.mechanism.detent_force import Detent
from core.mechanism.maths import Number
from core.parts.friction import own_friction
from core.parts.strip import notch, strip


def throw_of(lock: Lock) -> float:
    """Return the way [mm] from seat to seat."""
    return lock.shackle.engagement + lock.shackle.gap


def tip_at(layout: Layout) -> float:
    """Return where the spring's tip stands along the bolt line [mm], in the drive frame."""
    return hand(layout).point((layout.lock.spring.tip_across, 0.0))[0]


def places(layout: Layout) -> tuple[tuple[str, float], ...]:
    """Return the seats with the middles of their notches [mm] on the bolt at its locked seat, drive frame."""
    at = tip_at(layout)
    return (("locked", at), ("unlocked", at - throw_of(layout.lock)))


def press(layout: Layout) -> float:
    """Return what the spring presses with [N] at rest: by its sizes, or as it is felt."""
    by_sizes = strip(layout)
    return layout.lock.spring.force if by_sizes is None else by_sizes.rest


def rate(layout: Layout) -> float:
    """Return how much more it presses [N/mm] as it is lifted; 0 for one that is felt, of which that is not known."""
    by_sizes = strip(layout)
    return 0.0 if by_sizes is None else by_sizes.beam.rate


@derived
def detent(layout: Layout) -> Detent[Any] | None:
    """Return the detent with its notches, None for a lock without."""
    cut, lock = notch(layout), layout.lock
    return None if cut is None else Detent(cut, throw_of(lock), press(layout), rate(layout))


def draws_from(layout: Layout, mu: Number) -> Number:
    """Return how far off its seat [mm] the detent still draws the bolt home, at a friction `mu`, shape of that.

    By the notches where they say so, else as it was measured or felt. A spring along the bolt draws nothing to the
    unlocked seat, where the bolt may stay as far short as the nose is clear of the shackle; nor does friction alone.
    """
    lock, made = layout.lock, detent(layout)
    if made is not None and lock.detent.reach == "worked out":
        caught: Number = made.capture(mu, lock.friction.drag)
        return caught
    if lock.detent.kind == "stop and spring":
        return lock.shackle.gap + 0 * mu
    if lock.detent.kind == "none":
        return 0 * mu
    return lock.fit.detent_capture + 0 * mu


@derived
def caught(layout: Layout) -> float:
    """Return how far off its seat [mm] notches draw the bolt home at the most friction of the lock; 0 without."""
    made = detent(layout)
    if made is None:
        return 0.0
    return float(made.capture(own_friction(layout).high, layout.lock.friction.drag))


@derived
def reach(layout: Layout) -> float:
    """Return how far off its seat [mm] the bolt is drawn home for certain: at the most friction of the lock as kept."""
    if detent(layout) is not None and layout.lock.detent.reach == "worked out":
        return caught(layout)
    return float(draws_from(layout, own_friction(layout).high))


@derived
def snaps(layout: Layout) -> bool:
    """Say whether the bolt leaves the key as soon as the detent draws it: where notches are cut, or measured."""
    return layout.lock.detent.kind == "notches"


def notched_edge(layout: Layout, left: float, right: float, top: float) -> list[Segment]:
    """Return the bolt's top edge from left to right [mm] at a height [mm], with its notches, drive frame.

    A notch that would run out at an end is left out: a finding says so.
    """
    cut, points = notch(layout), [(left, top)]
    if cut is not None and cut.foot > 0:
        for _, at in sorted(places(layout), key=lambda place: place[1]):
            if left < at - cut.half_width and at + cut.half_width < right:
                points += [(at - cut.half_width, top), (at - cut.floor, top - cut.foot)]
                points += [(at + cut.floor, top - cut.foot), (at + cut.half_width, top)]
    ends = [*points, (right, top)]
    return [Line(a, b) for a, b in pairwise(ends) if a != b]
