"""The turn view's state: which stroke, which key angle, which friction; every move makes a new one.

Angles in radians as in `core.turning.follow`: from top dead centre, positive the way this lock unlocks. *Along* is
the same angle seen in the direction of the stroke, so that it always grows from key-in to key-out.
"""

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from core.layout.layout import Layout
from core.lock.friction import CONDITIONS
from core.mechanism.law import STROKES, Stroke, side
from core.parts.tooth import course, tooth, tooth_seen
from core.turning.effort import STEP
from core.turning.troubles import Trouble, troubles

Place = Literal["key-in", "pick-up", "release", "key-out"]
"""Where the maker may want to jump to."""
_BEFORE = math.radians(6)
"""How long before the pick-up, and after the release, playing goes slowly [rad]."""
_SLOW, _FAST = 1, 4
"""Whole degrees that one frame goes on while the key drives, and elsewhere."""
_SAME = 1e-9
_DEGREE = float(STEP)


@dataclass(frozen=True)
class Turn:
    """One key angle [rad] of one stroke of a lock, seen with one friction condition."""

    layout: Layout
    kept: str
    stroke: Stroke = "unlocking"
    angle: float = -math.pi
    playing: bool = False
    met: tuple[Trouble, ...] = ()
    """What playing was stopped by just now."""

    @property
    def along(self) -> float:
        """The angle [rad] in the direction of the stroke."""
        return side(self.stroke) * self.angle

    @cached_property
    def troubles(self) -> tuple[Trouble, ...]:
        """All that stops the key, in either stroke."""
        return troubles(self.layout, self.kept)

    @property
    def drives(self) -> bool:
        """Whether the key drives the bolt at all."""
        return tooth(self.layout).drives

    def _at(self, along: float) -> "Turn":
        along = min(max(along, -math.pi), math.pi)
        return replace(self, angle=side(self.stroke) * along + 0.0, playing=False, met=())

    # by hand

    def stepped(self, degrees: int) -> "Turn":
        """Return the turn so many whole degrees farther on in its stroke, to stop on a whole degree."""
        here = math.degrees(self.along)
        # from between two whole degrees, the first step goes to the next one
        whole = round(here)
        if abs(here - whole) > 1e-6:
            whole = math.floor(here) if degrees > 0 else math.ceil(here)
        return self._at(math.radians(min(max(whole + degrees, -180), 180)))

    def jumped(self, place: Place) -> "Turn":
        """Return the turn at a place of its stroke; unmoved where the key drives nothing."""
        cut = tooth_seen(self.layout, self.stroke)
        if place in ("pick-up", "release") and not cut.drives:
            return replace(self, playing=False)
        return self._at(
            {
                "key-in": -math.pi,
                "pick-up": -cut.pickup_angle,
                "release": cut.release_angle,
                "key-out": math.pi,
            }[place]
        )

    def at_angle(self, angle: float) -> "Turn":
        """Return the turn at the whole degree nearest to an angle [rad]."""
        return self._at(side(self.stroke) * math.radians(round(math.degrees(angle))))

    def at_trouble(self) -> "Turn":
        """Return the turn at what stops the key next, going on to the other stroke and round."""
        found = self.troubles
        if not found:
            return replace(self, playing=False)
        here = (STROKES.index(self.stroke), self.along + _SAME)
        later = [t for t in found if (STROKES.index(t.stroke), side(t.stroke) * t.angle) > here]
        trouble = (later or found)[0]
        return replace(
            self, stroke=trouble.stroke, angle=trouble.angle, playing=False, met=(trouble,)
        )

    def other_way(self) -> "Turn":
        """Return the other stroke, at the same key angle."""
        stroke: Stroke = "locking" if self.stroke == "unlocking" else "unlocking"
        return replace(self, stroke=stroke, playing=False, met=())

    def kept_next(self) -> "Turn":
        """Return the turn with the next friction condition."""
        after = CONDITIONS[(CONDITIONS.index(self.kept) + 1) % len(CONDITIONS)]
        return replace(self, kept=after, met=())

    # playing

    def played(self) -> "Turn":
        """Return the turn playing, or paused if it was; from key-out it begins anew."""
        if self.playing:
            return self.paused()
        start = self.jumped("key-in") if self.along >= math.pi - _SAME else self
        return replace(start, playing=True, met=())

    def paused(self) -> "Turn":
        """Return the turn standing still."""
        return replace(self, playing=False)

    def frame(self, frames: int = 1) -> "Turn":
        """Return the turn so many frames later; it stops at key-out, and where something stops the key."""
        turn = self
        for _ in range(frames):
            if not turn.playing:
                break
            turn = turn._next()
        return turn

    def _next(self) -> "Turn":
        here = self.along
        degrees = math.floor(math.degrees(here) + 1e-6)
        aim = math.radians(min(degrees + (_SLOW if self._slow(here) else _FAST), 180))
        # what begins on the way is not to be jumped over, and is where the key stops
        ahead = [
            t
            for t in self.troubles
            if t.stroke == self.stroke and here + _SAME < side(t.stroke) * t.angle <= aim + _SAME
        ]
        if ahead:
            first = min(side(t.stroke) * t.angle for t in ahead)
            met = tuple(t for t in ahead if side(t.stroke) * t.angle <= first + _SAME)
            return replace(self, angle=met[0].angle, playing=False, met=met)
        return replace(self, angle=side(self.stroke) * aim, playing=aim < math.pi - _SAME, met=())

    def _slow(self, along: float) -> bool:
        """Say whether something happens to the bolt about here."""
        corners = course(self.layout).seen(self.stroke).corners
        soon = _BEFORE + _FAST * _DEGREE
        return len(corners) > 0 and corners[0] - soon <= along <= corners[-1] + _BEFORE
