"""A spring and notches for the lock at hand: from stock, drawing home at the worst friction, easy on the hand.

Tried in the order in which a maker would take them: a firm spring before a weak one, a ramp that a file has before one
that has to be measured, strip of the middle thicknesses first. What is proposed passes every check of spring and
detent, and the key's torque with it; the first that does so is taken.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from core.layout.frames import hand
from core.layout.layout import Layout
from core.layout.proposal import Proposal
from core.lock.lock import Lock
from core.mechanism.flat_spring import FlatSpring
from core.mechanism.notch import Notch
from core.mechanism.strip_shape import lowest
from core.mechanism.takeover import takeover
from core.parts import detent_limits, spring_limits
from core.parts.bolt_contour import nose_face
from core.parts.friction import own_friction
from core.parts.guide_places import front_guide, rear_guide
from core.parts.notches import detent, reach
from core.parts.spring import BENT_FAR
from core.parts.strip import notch_of, spring_metals, strip
from core.parts.strip_place import at_guides, on_bolt, wall_beside
from core.parts.tooth import tooth
from core.systems import show_pressure
from core.tables.stock import all_stock
from core.turning.binding import binding
from core.turning.hands import hands
from core.turning.release import BROKEN_EDGE
from core.units import INCH, show_angle

FORCES = (3.0, 2.5, 2.0, 1.5, 1.0, 0.75, 0.5)
"""What the spring may press with at rest [N], the first that fits being taken; common practice, no source."""
FILES = (45.0, 60.0)
"""Ramps [degrees] that a square and a three-square file cut by themselves."""
SPARE_RAMP = 3.0
"""How far [degrees] a ramp stays from either end of what works; common practice, no source."""
SPARE_HOME = 0.15
"""How much farther [mm] than the key leaves it the bolt is to be drawn; common practice, no source."""
SPARE_END = 0.5
"""Room [mm] left beyond the strip's ends, to wall and shackle; common practice, no source."""
FARTHEST_HOME = 0.5
"""How much farther [mm] it may be drawn so that the key leaves a sound edge; common practice, no source."""
SPARE_DEPTH = 0.1
"""How much deeper [mm] than the tip comes a notch is filed; common practice, no source."""
SPARE_STRESS = 0.8
"""Share of its yield that a strip is bent to at the most; common practice, no source."""
Values = tuple[tuple[str, Any], ...]
PRELOADS = (0.8, 3.5)
"""Preload [mm] that can be bent and felt; common practice, no source."""
THICKNESS = 0.4
"""Strip thickness [mm] that is tried first, then its neighbours."""
SHORTEST, LONGEST = 12.0, 40.0
"""Free length [mm] of a strip that can be bent and fitted; common practice, no source."""
SPARE_TORQUE = 0.8
"""Share of the torque that is easy for a hand which the key may take; common practice, no source."""
CLEAR = 1.0
"""Room [mm] below a strip at its lowest; common practice, no source."""
WHAT = "spring and notches as proposed"
_BEST = 4
"""So many of the places with the most room are tried."""


def detent_proposal(layout: Layout) -> Proposal:
    """Return spring and notches for a lock, or what stands in the way."""
    own, cut, show = own_friction(layout), tooth(layout), layout.show
    if not cut.drives:
        return _none("The key drives nothing yet, so there is nothing to draw home.")
    least, most = detent_limits.steepness(layout)
    ramps = _ramps(least, most)
    if not ramps:
        return _none(
            f"Kept {own.condition}, a friction of up to {own.high:g} leaves no ramp: it would have to be steeper than "
            f"{show_angle(least)} to draw home, and flatter than {show_angle(most)} to let go. Grease helps."
        )
    if cut.home_travel + SPARE_HOME > cut.throw / 2:
        return _none(
            f"The key leaves {show(cut.home_travel)} of a throw of {show(cut.throw)} to the detent: too much for two "
            "notches. A larger key leaves less."
        )
    most_torque, lightest, placed = SPARE_TORQUE * hands().easy, math.inf, False
    for spare in _spares(layout):
        places = {ramp: list(_places(layout, ramp, spare)) for ramp in ramps}
        placed = placed or any(places.values())
        for force in FORCES:
            for ramp in ramps:
                trial = next(_fitting(layout, force, places[ramp]), None)
                if trial is None:
                    continue
                kept = binding(trial[1]).conditions[own.condition].peak_high
                takes = math.inf if kept is None else kept.value
                lightest = min(lightest, takes)
                if takes <= most_torque:
                    return Proposal(WHAT, trial[0], _reasons(trial[1], takes))
    if not placed:
        return _none(
            "Between the guides there is no place for the spring's tip where both notches leave "
            f"{show(layout.lock.fit.bridge_min)} of metal below them. A key that leaves less to the detent needs "
            "shallower ones."
        )
    if math.isfinite(lightest):
        return _none(
            f"The weakest spring that draws home still asks for {layout.show_torque(lightest)} on the key; "
            f"{layout.show_torque(hands().easy)} is easy for a hand. Grease, or less left to the detent, helps."
        )
    drag = layout.lock.friction.drag
    if drag > 0:
        return _none(
            f"No spring of the usual thicknesses draws the bolt home against a drag of {layout.show_force(drag)}: free "
            "the bolt in its guides first."
        )
    return _none("No strip of the usual thicknesses finds room above the bolt, inside the wall.")


def _spares(layout: Layout) -> Iterator[float]:
    """Yield by how much farther [mm] than the key leaves it the bolt may be drawn, the best first.

    So far that the key hands over with as much flank left as a filed edge loses; if need be, only a little farther.
    """
    cut, spare = tooth(layout), SPARE_HOME
    while spare < FARTHEST_HOME:
        if takeover(cut, cut.home_travel + spare).flank_left >= BROKEN_EDGE:
            yield spare
            break
        spare += SPARE_HOME / 3
    yield SPARE_HOME


def _none(why: str) -> Proposal:
    return Proposal(WHAT, (), (why,))


def _with(lock: Lock, values: Values) -> Lock:
    return Proposal(WHAT, values, ()).taken(lock)


def _ramps(least: float, most: float) -> list[float]:
    low, high = least + SPARE_RAMP, most - SPARE_RAMP
    between = float(round((low + high) / 2))
    return [r for r in dict.fromkeys((*FILES, between)) if low <= r <= high]


def _thicknesses(units: str) -> list[float]:
    rows = [s for s in all_stock() if s.stock == "spring strip" and s.unit == units]
    found = {thick for row in rows for thick in row.thicknesses}
    usual = [t for t in found if THICKNESS / 2 <= t <= THICKNESS * 2]
    return sorted(usual, key=lambda t: (abs(t - THICKNESS), t))[:4]


def _step(units: str, mm: float, inch: float) -> float:
    """Return the step [mm] of what is proposed, in a lock's own units: so many `mm`, or `inch` [in]."""
    return mm if units == "mm" else inch * float(INCH)


def _up(value: float, step: float) -> float:
    return round(math.ceil(value / step - 1e-9) * step, 9)


@dataclass(frozen=True)
class _Place:
    """Where a strip may stand: the values of notches and tip, its foot's side, and how long [mm] it may be.

    The tip drops into a notch by `drop` [mm].
    """

    values: Values
    thick: float
    drop: float
    longest: float


def _places(layout: Layout, ramp: float, spare: float) -> Iterator[_Place]:
    foot = layout.lock.spring.foot_length
    for thick in _thicknesses(layout.lock.units):
        shape = _notch_values(layout, ramp, thick, spare)
        cut = notch_of(_with(layout.lock, shape))
        drop = cut.seat_drop if cut is not None else 0.0
        for across in _tips(layout, shape):
            tip = hand(layout).point((across, 0.0))[0]
            walls = wall_beside(layout, tip)
            # with its foot on the locking side it has to keep clear of the shackle's end too
            rooms = {-1: min(walls[0], nose_face(layout)) + tip - foot, 1: walls[1] - tip - foot}
            for way, room in rooms.items():
                side = "right" if (way > 0) != hand(layout).mirrors else "left"
                values = (*shape, ("spring.tip_across", across), ("spring.foot_side", side))
                if room - SPARE_END >= SHORTEST:
                    yield _Place(values, thick, drop, min(room - SPARE_END, LONGEST))


def _notch_values(layout: Layout, ramp: float, thick: float, spare: float) -> Values:
    """Return the values of notches that draw a tip of half a thickness over the home travel and `spare` [mm] more."""
    lock, mu = layout.lock, own_friction(layout).high
    fine = _step(lock.units, 0.05, 0.002)
    need, radius = max(tooth(layout).home_travel, 0.0) + spare, thick / 2
    # a rounded tip draws inside half the width less r sin(2 rho)
    half = _up(need + radius * math.sin(2 * math.atan(mu)), fine)
    slope = math.radians(ramp)
    whole = Notch(half, slope, half * math.tan(slope), radius)
    depth = min(whole.seat_drop + SPARE_DEPTH, whole.foot)
    return (
        ("detent.kind", "notches"), ("detent.ramp", ramp), ("detent.half_width", half),
        ("detent.depth", _up(depth, fine)), ("detent.reach", "worked out"), ("spring.kind", "flat strip"),
        ("spring.anchor", "riveted foot"), ("spring.tip", "bent down"), ("spring.thickness", thick),
        ("spring.width", lock.bolt.thickness),
    )  # fmt: skip


def _tips(layout: Layout, shape: Values) -> list[float]:
    """Return the places of the tip with the most room to every side, best first."""
    step, found = _step(layout.lock.units, 0.5, 1 / 32), []
    near = max(front_guide(layout).near, rear_guide(layout).near)
    notched = _with(layout.lock, shape)
    for k in range(-int(near / step), int(near / step) + 1):
        trial = Layout(notched.with_value("spring.tip_across", round(k * step, 9)))
        left = detent_limits.metal_left(trial)
        if left is None:
            continue
        deep = left - trial.lock.fit.bridge_min
        spare = min(at_guides(trial).least, on_bolt(trial).least - trial.lock.detent.half_width)
        if deep >= 0 and spare >= SPARE_HOME:
            found.append((min(spare, 1.0), deep, -abs(k), k))
    return [round(k * step, 9) for *_, k in sorted(found, reverse=True)[:_BEST]]


def _fitting(
    layout: Layout, force: float, places: Iterable[_Place]
) -> Iterator[tuple[Values, Layout]]:
    """Yield values with which nothing stops spring and detent, and what follows from them."""
    lock, metal = layout.lock, spring_metals()[layout.lock.spring.metal]
    long, fine = _step(lock.units, 1.0, 1 / 16), _step(lock.units, 0.1, 0.005)
    for place in places:
        for k in range(int(place.longest / long), math.ceil(SHORTEST / long) - 1, -2):
            beam = FlatSpring(lock.bolt.thickness, place.thick, k * long, metal.modulus_low)
            preload = _up(force / beam.rate, fine)
            whole = preload + place.drop
            bent = beam.stress(whole) > SPARE_STRESS * metal.yield_low
            if bent or not PRELOADS[0] <= preload <= PRELOADS[1]:
                continue
            sags = -min(lowest(whole, whole), lowest(whole, preload))
            stands = _up(max(sags + CLEAR, CLEAR), _step(lock.units, 0.5, 1 / 64))
            values = (
                *place.values, ("spring.free_length", round(k * long, 9)), ("spring.preload", preload),
                ("spring.tip_height", stands),
            )  # fmt: skip
            trial = Layout(_with(lock, values))
            if _passes(trial):
                yield values, trial


def _passes(layout: Layout) -> bool:
    made, held, cut = strip(layout), detent(layout), tooth(layout)
    if made is None or held is None:
        return False
    if (
        made.stress > SPARE_STRESS * made.metal.yield_low
        or made.bent_share > BENT_FAR
        or reach(layout) < cut.home_travel + SPARE_HOME / 2
    ):
        return False
    every = (*spring_limits.MARGINS, *detent_limits.MARGINS)
    return not any(margin.stops(margin.spare(layout)) for margin in every)


def _reasons(layout: Layout, takes: float) -> tuple[str, ...]:
    made, own, show, lock = strip(layout), own_friction(layout), layout.show, layout.lock
    if made is None:
        raise AssertionError("what is proposed has a strip")
    least, most = detent_limits.steepness(layout)
    notches = (
        f"Notches of {show_angle(lock.detent.ramp)}, between {show_angle(least)} and {show_angle(most)}, draw home "
        f"over {show(reach(layout))}; the key leaves {show(max(tooth(layout).home_travel, 0.0))}."
    )
    units = lock.units
    stands = f"{show_pressure(made.stress, units)} of {show_pressure(made.metal.yield_low, units)}"
    sizes = (
        f"A strip {show(lock.spring.thickness)} thick and {show(lock.spring.free_length)} long presses with "
        f"{layout.show_force(made.rest)} and stands {stands}."
    )
    easy = layout.show_torque(hands().easy)
    torque = (
        f"The key takes {layout.show_torque(takes)} at most, kept {own.condition}; {easy} is easy."
    )
    return notches, sizes, torque
