"""What limits a lock, worked out for many at a time: the room left to everything that could stop it.

A limit bears the code by which its part finds a single lock, and means the same length; a test holds each against the
checks of single locks. What takes a turn of the key, hangs on spring, notches and posts, or is a size too small for
what it is, is left to those checks.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from core.layout.codes import Code
from core.layout.layout import Layout
from core.mechanism.maths import Array
from core.mechanism.narrow_gap import gap_needed
from core.mechanism.takeover import takeover
from core.mechanism.tooth_numbers import SLACK
from core.parts import bolt, bolt_line, guides, key, pivot, shackle, tooth_limits
from core.parts.friction import own_friction
from core.parts.least_sizes import KEY_TOO_LARGE
from core.parts.wall_ends import BOLT_OUTSIDE_WALL
from core.propose.locks import Locks
from core.turning.hands import hands
from core.turning.release import BROKEN_EDGE
from core.turning.torque import COCKING_MARGIN


@dataclass(frozen=True)
class Limit:
    """What a lock is found for by `code`, `by` in a few words; `spare` [mm] is left to it, below 0 it is passed.

    Infinite where the question does not arise, since another limit says it all.
    """

    code: Code
    by: str
    spare: Array


def limits(locks: Locks) -> tuple[Limit, ...]:
    """Return everything that could stop the locks, in the order in which a lock is laid out."""
    every = (*_of_plate(locks), *_of_tooth(locks), *of_guides(locks), *_of_shackle(locks))
    return tuple(
        Limit(one.code, one.by, np.where(np.isnan(one.spare), np.inf, one.spare)) for one in every
    )


def makers_limits(locks: Locks) -> tuple[Limit, ...]:
    """Return what stops the locks by their maker's own word: no room need be left to it."""
    most = locks.at("fit.key_max")
    large = np.where(most > 0, most - locks.at("key.radius"), np.inf)
    return (Limit(KEY_TOO_LARGE, "the largest key", large),)


def every_limit(locks: Locks) -> tuple[Limit, ...]:
    """Return everything that could stop the locks, what their maker says at the end."""
    return (*limits(locks), *makers_limits(locks))


def nearest(found: tuple[Limit, ...]) -> tuple[Array, Array]:
    """Return the least room [mm] of each lock, shape (n,), and the number of the limit that leaves it, shape (n,)."""
    every = np.stack([limit.spare for limit in found])
    which = np.argmin(every, axis=0)
    return np.take_along_axis(every, which[None], 0)[0], which


def wants_a_look(locks: Locks) -> Array:
    """Return the least room [mm] to what only wants a look of the sizes that are proposed, shape (n,).

    Ten degrees of the key's turn count as one mm.
    """
    cut, line = locks.teeth, locks.line
    lip = locks.at("shackle.drop") - least_drop(locks)
    in_guide = nose_in_guide(locks) - locks.at("front_guide.width") / 2
    deep = locks.at("bolt.depth")
    shallow = deep - (line - cut.relief_foot)
    legs = deep - np.maximum(locks.at("bolt.nose_height"), locks.at("bolt.tail_height"))
    flank = takeover(cut, locks.capture).flank_left - BROKEN_EDGE
    late = (hands().turn - np.degrees(cut.release_angle)) / 10
    found = np.stack([lip, in_guide, shallow, legs, flank, late, _upright(locks)])
    least: Array = np.where(np.isnan(found), -np.inf, found).min(axis=0)
    return least


def _upright(locks: Locks) -> Array:
    """Return how much [mm] farther below the guides the key could push and they would hold the bolt square, shape (n,).

    By the cocking ratio, span of the guides over twice friction times lever; the lever down to the flanks' foot.
    """
    fronts = [locks.at(f"front_guide.{size}") for size in ("from_centreline", "width")]
    rears = [locks.at(f"rear_guide.{size}") for size in ("from_centreline", "width")]
    tip = locks.face - locks.at("shackle.gap")
    span = np.minimum(fronts[0] + fronts[1] / 2, tip) + rears[0] + rears[1] / 2
    legs = (locks.at("bolt.nose_height") + locks.at("bolt.tail_height")) / 4
    lever = locks.line - legs - locks.teeth.flank_foot
    mu = own_friction(Layout(locks.lock)).high
    return span / (2 * COCKING_MARGIN * max(mu, 1e-3)) - lever


def least_drop(locks: Locks) -> Array:
    """Return how far [mm] the shackle's end has to come down for a lip as thick as the bolt, shape (n,)."""
    return (
        locks.at("bolt.nose_height") + locks.at("fit.slide_clearance") + locks.at("bolt.thickness")
    )


def nose_in_guide(locks: Locks) -> Array:
    """Return how much [mm] of the nose is still in its guide at the unlocked seat, shape (n,)."""
    return locks.face - locks.at("shackle.gap") - locks.at("front_guide.from_centreline")


def _of_plate(locks: Locks) -> Iterator[Limit]:
    cut, line, away = locks.teeth, locks.line, locks.wall_distance
    left, right = locks.body
    yield Limit(pivot.PIVOT_OUTSIDE, "the pivot at the wall", away)
    yield Limit(key.KEY_HITS_WALL, "the key at the wall", away - locks.relief)
    bridge = line - locks.relief - locks.at("fit.bridge_min")
    yield Limit(bolt_line.BRIDGE_THIN, "the least bridge", bridge)
    above = locks.walls.up(left, right + locks.throw, line)
    room = above - line - locks.at("bolt_line.spring_room")
    yield Limit(bolt_line.SPRING_ROOM, "the spring room", room)
    lower, slack = cut.lower_edge, -SLACK
    body = np.minimum(
        locks.walls.left(lower, line, left) + left,
        locks.walls.right(lower, line, right) - right - locks.throw,
    )
    nose = locks.walls.left(line - locks.at("bolt.nose_height"), line, left) + locks.legs[0]
    yield Limit(BOLT_OUTSIDE_WALL, "the bolt at the wall", np.minimum(body, nose) + slack)


def _of_tooth(locks: Locks) -> Iterator[Limit]:
    cut, radius = locks.teeth, locks.at("key.radius")
    half, throw = locks.at("key.bit_thickness") / 2, locks.throw
    shank = locks.at("key.shank") / 2 + locks.at("fit.key_clearance")
    wide = throw * np.cos(cut.pickup_angle) + half
    without = np.minimum(locks.relief - wide, -10 * SLACK)
    fits = np.where(cut.fits, np.minimum(locks.relief - cut.flank, cut.gap_width), without)
    yield Limit(tooth_limits.NO_TOOTH, "a tooth for the throw", fits)
    past = np.sqrt(np.maximum(radius**2 - cut.flank_foot**2, 0.0)) - cut.pickup_offset
    drives = np.where(cut.drives, cut.driven_travel, np.minimum(past, -10 * SLACK))
    yield Limit(tooth_limits.NO_DRIVE, "the key's drive", np.where(cut.fits, drives, np.inf))
    driven = cut.fits & cut.drives
    yield Limit(
        tooth_limits.FOOT_AT_SHANK, "the flanks' foot at the shank",
        np.where(cut.fits, cut.relief_foot - shank, np.inf),
    )  # fmt: skip
    home = np.where(driven, locks.capture - cut.home_travel, np.inf)
    yield Limit(tooth_limits.HOME_TRAVEL, "what the detent draws home", home)
    early = bool((cut.pickup_angle > 0).any())
    # with a pick-up at top dead centre the bit stands nowhere wider in the gap than it is thick
    needed = gap_needed(locks.lobes) if early else 2 * cut.half_bit
    turns = np.where(driven, cut.gap_width - needed, np.inf)
    yield Limit(tooth_limits.KEY_FOULS_BOLT, "the bit in its gap", turns)
    yield Limit(tooth_limits.BIT_TOO_THICK, "the bit's thickness", 2 * (radius - half) - 10 * SLACK)
    deep = locks.line - shank - locks.at("bolt.depth")
    yield Limit(bolt.BOLT_AT_SHANK, "the bolt at the shank", deep)
    reach = locks.face + locks.at("shackle.engagement") + locks.body[0]
    yield Limit(bolt.NOSE_TOO_SHORT, "a nose to reach out", reach)


def of_guides(locks: Locks) -> Iterator[Limit]:
    """Yield what limits the guides of the locks; each code names its guide as the step."""
    line, slide, throw = locks.line, locks.at("fit.slide_clearance"), locks.throw
    left, right = locks.body
    for name, leg, reach, wall in (
        ("front guide", "nose", -left, locks.walls.left),
        ("rear guide", "tail", right + throw, locks.walls.right),
    ):
        table = name.replace(" ", "_")
        near, width = locks.at(f"{table}.from_centreline"), locks.at(f"{table}.width")
        high, top = locks.at(f"bolt.{leg}_height"), line + slide
        bottom = line - high - slide - locks.at(f"{table}.floor")
        yield Limit(guides.AT_BODY.of(name), f"the bolt at the {name}", near - reach - slide)
        beside = np.maximum(np.maximum(bottom, -top), 0.0)
        circle = np.sqrt(np.maximum(locks.relief**2 - beside**2, 0.0))
        yield Limit(guides.IN_KEY_CIRCLE.of(name), f"the key at the {name}", near - circle)
        room = wall(bottom, top, near) - width - near
        yield Limit(guides.OUTSIDE_WALL.of(name), f"the {name} at the wall", room)
        if name == "rear guide":
            behind = wall(line - high, line, near) - slide - throw - width - near
            yield Limit(guides.TAIL_HITS_WALL, "the tail at the wall", behind)
        else:
            beyond = locks.face - slide - width - near
            yield Limit(guides.FRONT_GUIDE_AT_SHACKLE, "the front guide at the shackle", beyond)
            yield Limit(
                guides.NOSE_LEAVES_GUIDE, "the nose in its guide", nose_in_guide(locks) - 2 * SLACK
            )


def _of_shackle(locks: Locks) -> Iterator[Limit]:
    face, line, drop = locks.face, locks.line, locks.at("shackle.drop")
    wide = locks.at("shackle.diameter")
    yield Limit(shackle.WRONG_SIDE, "the centreline at the shackle", face - 10 * SLACK)
    there = face > 0
    meets = line - np.sqrt(np.maximum(locks.relief**2 - np.maximum(face, 0.0) ** 2, 0.0))
    circle = np.where(there & (face < locks.relief), meets - drop, np.inf)
    yield Limit(shackle.IN_KEY_CIRCLE, "the key at the shackle", circle)
    foot = locks.walls.down(-face - wide, -face, line)
    stands = line <= locks.walls.up(-face - wide, -face, line)
    below = np.where(stands, np.maximum(line - foot, 0.0), 0.0) - drop
    yield Limit(shackle.OUTSIDE_WALL, "the shackle at the wall", np.where(there, below, np.inf))
    if locks.lock.shackle.catch == "notch":
        deep = _notch(locks)
        yield Limit(
            shackle.NOTCH_CUTS_THROUGH, "the notch through the shackle", wide - deep - 10 * SLACK
        )


def _notch(locks: Locks) -> Array:
    """Return how deep [mm] the notch in the shackle is cut, shape (n,), as `core.parts.bolt_contour` has it."""
    deep, stops = locks.at("shackle.engagement"), locks.lock.stops
    if stops.locked == "shackle":
        return deep + locks.at("stops.locked_over")
    if stops.locked in ("guide face", "pin"):
        over = np.maximum(locks.at("stops.locked_over"), 0.0)
        return deep + over + locks.at("fit.slide_clearance")
    return deep
