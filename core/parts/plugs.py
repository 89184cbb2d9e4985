"""The plugs: stray holes that are counterbored on both faces, filled by riveting and dressed flush."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from core.geometry.path import Point, circle
from core.layout.codes import Code
from core.layout.drawing import Mark, Stroke
from core.layout.findings import Finding
from core.layout.frames import hand, to_mechanism, to_plate
from core.layout.layout import Layout, derived
from core.layout.part import BenchTable, Drawn, Part, Spot
from core.lock.fields import SOURCE_NONE
from core.lock.row_changes import rows_of
from core.lock.rows.plugs import BOTH, ROWS, Plug
from core.mechanism.rivet_volume import plug_length
from core.mechanism.tooth_numbers import SLACK
from core.parts.discs import discs
from core.parts.plate import plate_outline

PLUG_HOLLOW = Code(
    "plug-hollow", "stop", ROWS.plural,
    "The two counterbores of a plug meet, so nothing is left of the hole to hold it.",
)  # fmt: skip
PLUG_LOOSE = Code(
    "plug-loose", "stop", ROWS.plural,
    "The rod for a plug does not go into its hole, or the counterbore is no wider than the hole.",
)  # fmt: skip
PLUG_CUT = Code(
    "plug-cut", "look", ROWS.plural,
    "A hole is drilled into a plug's head, which is then held by less metal and may turn with the drill.",
)  # fmt: skip
PLUG_AT_EDGE = Code(
    "plug-at-edge", "look", ROWS.plural,
    "So little metal stands between a plug and the plate's edge that riveting may burst it.",
)  # fmt: skip


@dataclass(frozen=True)
class Placed:
    """A plug in its plate: `at` its middle in the plate frame [mm], `plate` the plate's thickness [mm]."""

    name: str
    row: Plug
    plate: float

    @property
    def title(self) -> str:
        """What it is called in texts and drawings."""
        return ROWS.title(self.name)

    @property
    def at(self) -> Point:
        """Its middle in the plate frame [mm]."""
        return (self.row.across, -self.row.below)

    @property
    def plates(self) -> tuple[str, ...]:
        """The plates that have it."""
        return ("back plate", "front plate") if self.row.plate == BOTH else (self.row.plate,)

    @property
    def hollow(self) -> bool:
        """Whether the counterbores meet."""
        return 2 * self.row.depth >= self.plate - SLACK

    @cached_property
    def length(self) -> float | None:
        """Length to cut the rod to [mm], by equal volume; None where the counterbores meet."""
        row = self.row
        if self.hollow:
            return None
        return plug_length(
            row.diameter, row.hole, self.plate, row.counterbore, row.depth, row.proud
        )


@derived
def plugs(layout: Layout) -> tuple[Placed, ...]:
    """Return the plugs, in the order of the file."""
    plate = layout.lock.plate.thickness
    return tuple(Placed(name, row, plate) for name, row in rows_of(layout.lock, Plug).items())


def holes_beside(layout: Layout) -> Iterable[tuple[str, Point, float]]:
    """Yield every drilled hole in the plates with its middle in the plate frame and its diameter [mm]."""
    pivot, move = layout.lock.pivot, hand(layout).then(to_plate(layout))
    yield "the pivot hole", (pivot.across, -pivot.below), pivot.hole
    for disc in discs(layout):
        yield f"the hole of {disc.title}", move.point(disc.at), 2 * disc.radius


def web(layout: Layout, plug: Placed) -> tuple[float, str]:
    """Return the metal [mm] between a plug's counterbore and the nearest hole, and which that is."""
    return min(
        (math.dist(plug.at, at) - (plug.row.counterbore + wide) / 2, what)
        for what, at, wide in holes_beside(layout)
    )


def to_edge(layout: Layout, plug: Placed) -> float:
    """Return the metal [mm] between a plug's counterbore and the plate's edge."""
    away = float(plate_outline(layout).path.distance(np.array([plug.at]))[0])
    return away - plug.row.counterbore / 2


def _findings(layout: Layout) -> Iterable[Finding]:
    show = layout.show
    for plug in plugs(layout):
        row, name = plug.row, plug.title[0].upper() + plug.title[1:]
        if plug.hollow:
            yield PLUG_HOLLOW.about(plug.name).found(
                f"{name}: two counterbores {show(row.depth)} deep meet in a plate {show(plug.plate)} thick.",
                2 * row.depth, plug.plate,
            )  # fmt: skip
        if row.diameter > row.hole + SLACK or row.counterbore <= row.hole + SLACK:
            yield PLUG_LOOSE.about(plug.name).found(
                f"{name}: a rod of {show(row.diameter)} is to go into a hole of {show(row.hole)}, and its head into a "
                f"counterbore of {show(row.counterbore)}.",
                row.diameter, row.hole,
            )  # fmt: skip
        left, what = web(layout, plug)
        if left < -SLACK:
            yield PLUG_CUT.about(plug.name).found(
                f"{name}: {what} cuts {show(-left)} into its head. Drill it with the plug riveted tight, from a small "
                "hole upwards.",
                left, 0.0,
            )  # fmt: skip
        edge = to_edge(layout, plug)
        if edge < plug.plate - SLACK:
            yield PLUG_AT_EDGE.about(plug.name).found(
                f"{name}: {show(edge)} of metal is left to the plate's edge; as much as the plate is thick, "
                f"{show(plug.plate)}, is wanted ({SOURCE_NONE}).",
                edge, plug.plate,
            )  # fmt: skip


def _marks(layout: Layout) -> Iterable[Mark]:
    move = to_mechanism(layout)
    for plug in plugs(layout):
        at = move.point(plug.at)
        yield Stroke(circle(at, plug.row.hole / 2), "note", plug.title)
        yield Stroke(circle(at, plug.row.counterbore / 2), "note", plug.title)


def _spots(layout: Layout) -> Iterable[Spot]:
    return (Spot(plug.title, plug.row.across, plug.row.below) for plug in plugs(layout))


def _report(layout: Layout) -> Mapping[str, Any]:
    """Return the report's `plugs`, for a lock that has any."""
    rows = [
        {
            "name": plug.name, "plates": list(plug.plates), "across": plug.row.across, "below": plug.row.below,
            "hole": plug.row.hole, "counterbore": plug.row.counterbore, "depth": plug.row.depth,
            "diameter": plug.row.diameter, "length": plug.length, "web": web(layout, plug)[0],
            "nearest": web(layout, plug)[1], "to_edge": to_edge(layout, plug),
        }
        for plug in plugs(layout)
    ]  # fmt: skip
    return {"plugs": rows} if rows else {}


def _bench(layout: Layout) -> Iterable[BenchTable]:
    show = layout.show
    rows: list[tuple[str, str]] = []
    for plug in plugs(layout):
        left, what = web(layout, plug)
        rod = (
            "counterbores meet"
            if plug.length is None
            else f"{show(plug.row.diameter)} by {show(plug.length)}"
        )
        rows.append((f"{plug.title}, {plug.row.plate}", rod))
        rows.append((f"  to {what}", show(left)))
        rows.append(("  to the plate's edge", show(to_edge(layout, plug))))
    if rows:
        yield BenchTable("plugs", 36, tuple(rows))


PART = Part(
    "plugs",
    89,
    drawn=(Drawn(ROWS.singular, "scribe", every_face=True, each=True),),
    codes=(PLUG_HOLLOW, PLUG_LOOSE, PLUG_CUT, PLUG_AT_EDGE),
    findings=_findings,
    marks=_marks,
    spots=_spots,
    report=_report,
    bench=_bench,
)
