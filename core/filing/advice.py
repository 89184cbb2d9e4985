"""One sentence after each measure: what to take off, how much, what the key then carries, and when to stop."""

from collections.abc import Mapping
from dataclasses import replace

from core.errors import BadEntryError
from core.filing.as_filed import NAMES, AsFiled, as_filed, flanks_full, measure_called, metal
from core.filing.strokes_left import LEAST, Removal, needed, removal, when_done
from core.geometry.halving import edge_of
from core.layout.layout import Layout
from core.mechanism.law import STROKES
from core.parts.tooth import tooth
from core.text import capital, shown

STUCK = " So long a key does not go round yet: roof and relief come first."
SHARE, MORE = 0.5, 2.0
"""Share of a finished size, and length [mm] besides, by which a reading may differ from it and still be one of it."""


def checked_reading(layout: Layout, name: str, reading: float) -> float:
    """Return a reading [mm] that a part of this lock can give.

    Raises
    ------
    BadEntryError
        For a measure that there is none of, and a reading too far from its finished size.
    """
    if name not in NAMES:
        raise BadEntryError(
            f"There is no measure called {shown(name)}: it takes {', '.join(NAMES)}"
        )
    measure = measure_called(name)
    finished = measure.finished(layout)
    if not abs(reading - finished) <= SHARE * abs(finished) + MORE or reading <= 0:
        raise BadEntryError(
            f"The {measure.label} cannot measure {layout.show(reading)}: finished it is {layout.show(finished)}. "
            "Measure again"
        )
    return reading


def advice(layout: Layout, readings: Mapping[str, float], name: str) -> str:
    """Return what to do about one measure, by all readings [mm] so far, in a sentence or two."""
    state, reading = as_filed(layout, readings), readings[name]
    measure = measure_called(name)
    said = f"{capital(measure.label)} {layout.show(reading)}"
    left = removal(layout, state, name, reading)
    if left is not None:
        return f"{said}: {_take_off(layout, left)}{_presumed(layout, readings, name)}"
    over = metal(name, reading) - metal(name, measure.finished(layout))
    carries = _carries(layout, state)
    if abs(over) < max(LEAST, layout.lock.fit.made_tolerance / 4):
        return f"{said}: as wanted, leave it. The key carries {carries}."
    if over > 0:
        return f"{said}: {_leave_full(layout, state, name)} The key carries {carries}."
    return f"{said}: {layout.show(-over)} too much is off, and no file puts it back. {_remedy(layout, state, name)}"


def _presumed(layout: Layout, readings: Mapping[str, float], name: str) -> str:
    """Say what a foot's sentence takes for granted of flanks that were not measured."""
    if not name.endswith("-foot") or not flanks_full(readings):
        return ""
    full = layout.show(layout.lock.filing.flanks)
    return f" That is for flanks still {full} full; measure the gap if they are filed."


def _take_off(layout: Layout, left: Removal) -> str:
    show = layout.show
    off = f"{show(left.amount / 2)} off each flank" if left.both else f"{show(left.amount)} off"
    stuck = left.after.radius > left.after.room - LEAST
    more = {
        "plan": "",
        "key": " That is not the plan's size, but what the key that you have wants.",
        "travel": (
            f" Not farther: the key must carry the bolt {show(needed(layout))} for the detent to draw it home, and no "
            f"file puts metal back.{STUCK if stuck else ''}"
        ),
    }[left.bound]
    then = f"the key then carries {_carries(layout, left.after)}"
    return f"take {off}; {then}. Stop when it measures {show(left.reading)}.{more}"


def _carries(layout: Layout, state: AsFiled) -> str:
    """Say how far the key carries the bolt, and what is left of the way."""
    show, cut = layout.show, tooth(layout)
    unlocking, locking = (state.carries(stroke).driven_travel for stroke in STROKES)
    if abs(unlocking - locking) >= 0.02:
        return f"the bolt {show(unlocking)} to unlock and {show(locking)} to lock, of {show(cut.throw)}"
    short = cut.throw - unlocking
    if short < -LEAST:
        return f"the bolt {show(unlocking)}, {show(-short)} past its seat"
    return f"the bolt {show(unlocking)}, {show(max(short, 0.0))} short of its seat"


def _leave_full(layout: Layout, state: AsFiled, name: str) -> str:
    """Say why metal that is beyond the plan stays on."""
    if name == "radius":
        spare = layout.show(state.room - state.radius)
        return f"longer than planned, and it passes with {spare} to spare: leave it so."
    if name == "bridge" or name.endswith("-foot"):
        return "fuller than planned, and wide enough for the key that you have: leave it so."
    if state.driven < needed(layout) - LEAST:
        return "leave it full: the key carries the bolt too short a way already, and no file puts metal back."
    return f"leave it full: filed farther, the key would carry the bolt less than {layout.show(needed(layout))}."


def _remedy(layout: Layout, state: AsFiled, name: str) -> str:
    show, cut = layout.show, tooth(layout)
    done = when_done(layout, state)
    if name == "nose":
        lock = layout.lock
        return f"The nose stands that much less in the shackle, of {show(lock.shackle.engagement)} planned."
    if done.driven >= needed(layout) - LEAST:
        return (
            f"It works still: with all else filed to plan the key carries {_carries(layout, done)}."
        )
    longest = done.room
    wanted = _least_radius(layout, done)
    if wanted is not None and wanted <= longest - LEAST:
        upto = max(longest - cut.clearance, wanted)
        sizes = show(wanted) if show(wanted) == show(upto) else f"{show(wanted)} to {show(upto)}"
        return (
            f"A key of {sizes} would carry the bolt far enough: leave the bit as long as that, or "
            "make a new one; take nothing more off relief and foot."
        )
    return (
        f"The key carries {_carries(layout, done)}, and no key that passes carries it farther: the detent would have "
        f"to draw {show(cut.throw - done.driven)}, or the bolt is made anew."
    )


def _least_radius(layout: Layout, state: AsFiled) -> float | None:
    """Return the shortest key [mm] that carries the bolt as far as is needed, None where none that turns does."""

    def far_enough(radius: float) -> bool:
        return replace(state, radius=radius).driven >= needed(layout)

    return edge_of(far_enough, state.roof, state.radius) if far_enough(state.roof) else None
