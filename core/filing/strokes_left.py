"""What is still to take off, edge by edge, and never more than what leaves the key its work.

Each removal goes as far as the plan, or less far where that would cost travel that the detent cannot make up: a file
puts nothing back. Relief and roof follow the key that there is, the bit's tip what roof and relief leave it, the
flanks the bit and the travel.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

from core.filing.as_filed import NAMES, AsFiled, foot_at, measure_called, metal
from core.geometry.halving import edge_of
from core.layout.layout import Layout
from core.mechanism.law import STROKES, Stroke
from core.parts.notches import reach
from core.parts.tooth import tooth

ROUNDS = 60
"""Rounds in which a flank and its foot settle."""
LEAST = 0.005
"""Metal [mm] less than which nobody takes off: half of what is written."""
Bound = Literal["plan", "travel", "key"]


@dataclass(frozen=True)
class Removal:
    """Metal to take off: at which measure, how much [mm], what that is to read then, and what limits it.

    `after` is how the parts stand then. `each` is what comes off either flank where the gap was measured.
    """

    name: str
    amount: float
    reading: float
    bound: Bound
    after: AsFiled
    both: bool = False


def needed(layout: Layout) -> float:
    """Return the travel [mm] that the key must give, for the detent to draw the bolt the rest of the way."""
    return tooth(layout).throw - reach(layout)


def when_done(layout: Layout, state: AsFiled) -> AsFiled:
    """Return the parts with all else filed that is still full: what they come to if nothing more goes wrong."""
    cut, (relief, _) = tooth(layout), relief_wanted(layout, state)
    done = _with_relief(state, relief)
    done = replace(
        done,
        radius=min(done.radius, max(done.room - cut.clearance, 0.0)),
        bit=min(done.bit, layout.lock.key.bit_thickness),
        lift=min(done.lift, 0.0),
    )
    for stroke in STROKES:
        done = done.with_flank(stroke, max(flank_wanted(layout, done, stroke), done.offset(stroke)))
    return done


def safe(layout: Layout, before: AsFiled, after: AsFiled) -> bool:
    """Say whether a removal leaves the key its work: the travel needed, or what could be had where that is less.

    Both as the parts stand, and with everything else done that is still full.
    """
    for made in (lambda state: state, lambda state: when_done(layout, state)):
        for stroke in STROKES:
            now, then = (made(state).carries(stroke).driven_travel for state in (before, after))
            if then < min(needed(layout), now) - 1e-9:
                return False
    return True


def removal(layout: Layout, state: AsFiled, name: str, reading: float) -> Removal | None:
    """Return what to take off at a measure that reads so [mm], None where there is nothing to take off."""
    rule = _RULES[name]
    wanted, made, bound = rule(layout, state, reading)
    amount = abs(wanted - reading)
    if amount < LEAST or metal(name, reading) < metal(name, wanted):
        return None
    share = _farthest(layout, state, lambda part: made(reading + part * (wanted - reading)))
    if share * amount < LEAST:
        return None
    stop = reading + share * (wanted - reading)
    return Removal(
        name, share * amount, stop, bound if share == 1.0 else "travel", made(stop), name == "gap"
    )


def _farthest(layout: Layout, state: AsFiled, made: Callable[[float], AsFiled]) -> float:
    """Return the share of a removal up to which it is safe all the way."""
    if safe(layout, state, made(1.0)):
        return 1.0
    return edge_of(lambda share: safe(layout, state, made(share)), 0.0, 1.0)


Rule = Callable[[Layout, AsFiled, float], tuple[float, Callable[[float], AsFiled], Bound]]
"""Takes a reading; returns the reading wanted, what the parts become at any reading between, and what bounds it."""


def _plainly(name: str) -> Rule:
    """Return the rule of what is filed to plan and leaves the tooth as it is."""
    return lambda layout, state, _: (
        measure_called(name).finished(layout),
        lambda _at: state,
        "plan",
    )


def _lowers(name: str) -> Rule:
    """Return the rule of what lets the bolt down on its line as it is filed."""

    def rule(
        layout: Layout, state: AsFiled, reading: float
    ) -> tuple[float, Callable[[float], AsFiled], Bound]:
        return (
            measure_called(name).finished(layout),
            lambda at: replace(state, lift=state.lift - (reading - at) / 2),
            "plan",
        )

    return rule


def _depth(
    layout: Layout, state: AsFiled, _: float
) -> tuple[float, Callable[[float], AsFiled], Bound]:
    line = tooth(layout).bolt_line
    return layout.lock.bolt.depth, lambda at: state.with_lower_edge(line - at), "plan"


def relief_wanted(layout: Layout, state: AsFiled) -> tuple[float, Bound]:
    """Return the radius [mm] to file roof and relief to: as planned, or less for a key that is shorter already."""
    planned = tooth(layout).relief_radius
    own = state.radius + tooth(layout).clearance
    return (planned, "plan") if own >= planned else (own, "key")


def _bridge(
    layout: Layout, state: AsFiled, _: float
) -> tuple[float, Callable[[float], AsFiled], Bound]:
    line, (wanted, bound) = tooth(layout).bolt_line, relief_wanted(layout, state)
    return line - wanted, lambda at: replace(state, roof=line - at), bound


def _foot(stroke: Stroke) -> Rule:
    def rule(
        layout: Layout, state: AsFiled, reading: float
    ) -> tuple[float, Callable[[float], AsFiled], Bound]:
        cut, (wanted, bound) = tooth(layout), relief_wanted(layout, state)
        away = state.offset(stroke) + cut.throw
        height = math.sqrt(max(wanted**2 - away**2, 0.0))
        if (
            height <= state.lower_edge
        ):  # the foot is where the lower edge is, and the relief needs nothing here
            return reading, lambda _at: state, bound
        return (
            cut.bolt_line - height,
            lambda at: state.with_relief(stroke, math.hypot(away, cut.bolt_line - at)),
            bound,
        )

    return rule


def _radius(
    layout: Layout, state: AsFiled, reading: float
) -> tuple[float, Callable[[float], AsFiled], Bound]:
    cut = tooth(layout)
    # as long as roof and relief let it be: a key that is longer than planned drives farther
    room = _with_relief(state, cut.relief_radius).room - cut.clearance
    wanted = min(max(room, 0.0), reading)
    return (
        wanted,
        lambda at: replace(state, radius=at),
        "plan" if abs(wanted - cut.radius) < LEAST else "key",
    )


def _with_relief(state: AsFiled, radius: float) -> AsFiled:
    """Return the parts with roof and relief cut to a radius [mm] where they are not wider already."""
    made = replace(state, roof=max(state.roof, radius))
    for stroke in STROKES:
        if made.relief(stroke) < radius:
            made = made.with_relief(stroke, radius)
    return made


def _bit(
    layout: Layout, state: AsFiled, _: float
) -> tuple[float, Callable[[float], AsFiled], Bound]:
    return layout.lock.key.bit_thickness, lambda at: replace(state, bit=at), "plan"


def flank_wanted(layout: Layout, state: AsFiled, stroke: Stroke) -> float:
    """Return the offset [mm] at which the bit, once it is no thicker than planned, meets a flank as early as planned.

    The face lies on the foot when the offset is `(b/2) / cos p - y tan p`, which the foot's own way down the relief
    changes: a few rounds settle it.
    """
    p, half = tooth(layout).pickup_angle, min(state.bit, layout.lock.key.bit_thickness) / 2
    relief, offset = state.relief(stroke), state.offset(stroke)
    for _ in range(ROUNDS):
        foot = foot_at(relief, offset + state.throw, state.lower_edge)
        before, offset = offset, half / math.cos(p) - foot * math.tan(p)
        if offset == before:
            break
    return offset


def _lobe(stroke: Stroke) -> Rule:
    def rule(
        layout: Layout, state: AsFiled, reading: float
    ) -> tuple[float, Callable[[float], AsFiled], Bound]:
        offset = state.offset(stroke)
        wanted = flank_wanted(layout, state, stroke)
        # the body's side stands still: what the lobe loses, the flank's offset gains
        return (
            reading - (wanted - offset),
            lambda at: state.with_flank(stroke, offset + reading - at),
            "plan",
        )

    return rule


def _gap(
    layout: Layout, state: AsFiled, reading: float
) -> tuple[float, Callable[[float], AsFiled], Bound]:
    spare = {s: max(flank_wanted(layout, state, s) - state.offset(s), 0.0) for s in STROKES}
    whole = sum(spare.values())

    def made(at: float) -> AsFiled:
        part = (at - reading) / whole if whole > 0 else 0.0
        done = state
        for stroke, more in spare.items():
            done = done.with_flank(stroke, state.offset(stroke) + part * more) if more > 0 else done
        return done

    return reading + whole, made, "plan"


_RULES: dict[str, Rule] = {
    "nose-height": _lowers("nose-height"),
    "tail-height": _lowers("tail-height"),
    "depth": _depth,
    "front-floor": _lowers("front-floor"),
    "rear-floor": _lowers("rear-floor"),
    "bridge": _bridge,
    "unlocking-foot": _foot("unlocking"),
    "locking-foot": _foot("locking"),
    "radius": _radius,
    "bit": _bit,
    "gap": _gap,
    "unlocking-lobe": _lobe("unlocking"),
    "locking-lobe": _lobe("locking"),
    "nose": _plainly("nose"),
}


def readings_in(layout: Layout) -> dict[str, float]:
    """Return what the lock holds of readings while filing [mm], by the name of the measure, in the order of filing."""
    held = {reading.name: reading.value for reading in layout.plan.filed}
    return {name: held[name] for name in NAMES if name in held}
