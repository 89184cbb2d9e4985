"""The sizes that may be off, each with its plan and how near to it it comes out; and the limits that they must keep."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from core.layout.layout import Layout, derived
from core.lock.closeness import CLASSES
from core.lock.facts import facts, made_to
from core.mechanism.filed_parts import Drawn, FiledParts, Outcomes, as_drawn, drawn
from core.mechanism.tooth_numbers import SLACK
from core.parts.notches import reach
from core.parts.tooth import lobe, tooth
from core.tables.general_tolerances import tolerance_classes


@dataclass(frozen=True)
class Size:
    """One size of `FiledParts`, by its name there: its `plan` [mm] and what it may be off either way [mm].

    `free` is False for what no file holds closer: play, and what was measured on a part that is made.
    """

    name: str
    label: str
    plan: float
    plus_minus: float
    free: bool = True


@dataclass(frozen=True)
class Limit:
    """What an outcome has to keep: at most `value` [mm] where `way` is -1, at least where it is 1."""

    outcome: str
    label: str
    way: int
    value: float

    def spare(self, found: Outcomes[Any]) -> Any:
        """Return what is left [mm] to the limit, of the outcome's shape; below 0 it is passed."""
        return self.way * (getattr(found, self.outcome) - self.value)


@dataclass(frozen=True)
class Plan:
    """What is studied: the drawing, the sizes in the order of `FiledParts`, and the limits."""

    drawn: Drawn
    sizes: tuple[Size, ...]
    limits: tuple[Limit, ...]


@dataclass(frozen=True)
class _Kind:
    """One size: its label, its key in `[spread]`, and the workpiece and path by which it can be measured."""

    name: str
    label: str
    key: str
    part: str = ""
    path: str = ""


_KINDS = (
    _Kind("radius", "key radius", "circle", "key", "key.radius"),
    _Kind("bit", "bit thickness", "bit", "key", "key.bit_thickness"),
    _Kind("shank", "shank", "shank", "key", "key.shank"),
    _Kind("hole", "pivot hole", "hole", "back_plate", "pivot.hole"),
    _Kind("pivot_along", "pivot, along the bolt line", "pivot"),
    _Kind("pivot_up", "pivot, towards the bolt line", "pivot"),
    _Kind("unlocking_flank", "unlocking flank", "flank"),
    _Kind("locking_flank", "locking flank", "flank"),
    _Kind("unlocking_relief", "relief at the unlocking flank", "relief"),
    _Kind("locking_relief", "relief at the locking flank", "relief"),
    _Kind("lower_edge", "bolt's lower edge", "depth", "bolt", "bolt.depth"),
    _Kind("roof", "roof of the gap", "roof"),
    _Kind("seats", "seat to seat", "seats"),
    _Kind("nose", "length of the nose", "nose"),
    _Kind("shackle", "shackle's near face", "shackle"),
)
PLAY = "play of the bolt in its guides"


@derived
def plan_of(layout: Layout) -> Plan | None:
    """Return what is studied of a lock; None where the key drives nothing."""
    lock, bolt = layout.lock, Layout(made_to(layout.plan, "bolt"))
    if not (tooth(layout).drives and tooth(bolt).drives):
        return None
    made = drawn(lobe(bolt))
    parts = as_drawn(made, lock.key.shank, lock.pivot.hole, lock.shackle.engagement)
    # the key is itself; the bolt may have been filed for another
    parts = replace(parts, radius=lock.key.radius, bit=lock.key.bit_thickness)
    return Plan(made, tuple(_sizes(layout, parts)), tuple(_limits(layout)))


def _sizes(layout: Layout, parts: FiledParts[float]) -> Iterator[Size]:
    measured, spread = facts(layout.plan), layout.lock.spread
    for kind in _KINDS:
        value = float(getattr(parts, kind.name))
        if kind.path in measured:
            yield Size(kind.name, kind.label, value, 0.0, free=False)
        else:
            own = float(getattr(spread, kind.key)) if spread.figures == "some" else 0.0
            yield Size(kind.name, kind.label, value, own or _by_rule(layout, _reach(kind, parts)))
    yield Size("lift", PLAY, 0.0, layout.lock.fit.slide_clearance, free=False)


def _reach(kind: _Kind, parts: FiledParts[float]) -> float:
    """Return the length [mm] by which a class of the standard judges a size: a place by how far it is measured over."""
    over = {
        "pivot_along": parts.roof, "pivot_up": parts.roof, "shackle": -parts.locking_flank,
        "unlocking_flank": parts.unlocking_flank - parts.locking_flank,
        "locking_flank": parts.unlocking_flank - parts.locking_flank,
    }  # fmt: skip
    return float(over.get(kind.name, getattr(parts, kind.name)))


def _by_rule(layout: Layout, size: float) -> float:
    """Return what a size [mm] is held to [mm], either way; as filed where the class gives nothing for it."""
    spread = layout.lock.spread
    letter = CLASSES.get(spread.rule)
    given = tolerance_classes()[letter].of(abs(size)) if letter else None
    return spread.filed if given is None else given


def _limits(layout: Layout) -> Iterator[Limit]:
    lock = layout.lock
    strokes, seats = ("unlocking", "locking"), ("unlocked", "locked")
    for stroke in strokes:
        yield Limit(f"{stroke}_driven", f"driven, {stroke}", 1, SLACK)
    for stroke in strokes:
        yield Limit(f"{stroke}_home", f"left to the detent, {stroke}", -1, reach(layout))
    for seat in seats:
        yield Limit(f"{seat}_shut_out", f"bit let in, bolt off, {seat}", 1, 0.0)
    yield Limit("engagement", "nose in the shackle, locked", 1, 0.0)
    yield Limit("gap", "nose to the shackle, unlocked", 1, 0.0)
    yield Limit("clearance", "clearance about the key", 1, 0.0)
    yield Limit("bridge", "bridge above the gap", 1, lock.fit.bridge_min)
    for stroke in strokes:
        yield Limit(f"{stroke}_room", f"room in the gap, {stroke}", 1, 0.0)
