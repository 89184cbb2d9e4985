"""The parts of the lock, found in the package `core.parts`.

A module of that package that has a `PART` takes part in findings, windows, the turn check, the
drawing, the marking-out tables and the report. Nothing else lists the parts.
"""

import importlib
import pkgutil
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from types import MappingProxyType
from typing import Any

from shapely.geometry.base import BaseGeometry

from core import parts
from core.drawing import Mark
from core.findings import Finding, worst_first
from core.layout import Layout, derived
from core.motion.loads import Load
from core.windows import Bound, Window, merged
from core.workpiece import Feature, Workpiece


@dataclass(frozen=True)
class Spot:
    """A place to mark out, in the plate frame [mm], seen from inside the back plate."""

    what: str
    across: float
    below: float


@dataclass(frozen=True)
class BenchTable:
    """A table of the bench report: a heading, and rows of what it is and its value, as texts."""

    heading: str
    rows: tuple[tuple[str, str], ...]


def _nothing(_: Layout) -> tuple[Any, ...]:
    return ()


def _empty(_: Layout) -> Mapping[str, Any]:
    return {}


@dataclass(frozen=True)
class Part:
    """What one part adds to the whole; every hook is a function of the layout.

    `order` is its place in the mock-up order, by which findings, marks and tables are sorted.
    `fixed` gives what stands still while the key turns, as areas in the drive frame, by name.
    `marks` draws in the mechanism frame. `loads` are what it puts on the bolt while the key drives it.
    `workpieces` are what lies on the bench by itself and can be marked as made; `features` is what the part
    cuts into other parts' workpieces. `report` adds to the report's top level, `bench` tables to the bench
    report.
    """

    name: str
    order: int
    findings: Callable[[Layout], Iterable[Finding]] = field(default=_nothing)
    bounds: Callable[[Layout], Iterable[Bound]] = field(default=_nothing)
    fixed: Callable[[Layout], Mapping[str, BaseGeometry]] = field(default=_empty)
    marks: Callable[[Layout], Iterable[Mark]] = field(default=_nothing)
    spots: Callable[[Layout], Iterable[Spot]] = field(default=_nothing)
    loads: Callable[[Layout], Iterable[Load]] = field(default=_nothing)
    workpieces: tuple[Workpiece, ...] = ()
    features: tuple[Feature, ...] = ()
    report: Callable[[Layout], Mapping[str, Any]] = field(default=_empty)
    bench: Callable[[Layout], Iterable[BenchTable]] = field(default=_nothing)


@cache
def all_parts() -> tuple[Part, ...]:
    """Return every part, in the mock-up order."""
    found = []
    for module in pkgutil.iter_modules(parts.__path__):
        part = getattr(importlib.import_module(f"{parts.__name__}.{module.name}"), "PART", None)
        if part is not None:
            found.append(part)
    return tuple(sorted(found, key=lambda part: (part.order, part.name)))


@derived
def findings(layout: Layout) -> tuple[Finding, ...]:
    """Return the findings of all parts, worst first."""
    return worst_first(finding for part in all_parts() for finding in part.findings(layout))


@derived
def windows(layout: Layout) -> Mapping[str, Window]:
    """Return the windows of all dimensions that have one, by path."""
    return merged(bound for part in all_parts() for bound in part.bounds(layout))


@derived
def marks(layout: Layout) -> tuple[Mark, ...]:
    """Return the drawing of the whole lock, in the mechanism frame, in the mock-up order."""
    return tuple(mark for part in all_parts() for mark in part.marks(layout))


@derived
def fixed(layout: Layout) -> Mapping[str, BaseGeometry]:
    """Return what stands still while the key turns, as areas in the drive frame, by name."""
    return {name: area for part in all_parts() for name, area in part.fixed(layout).items()}


@derived
def loads(layout: Layout) -> tuple[Load, ...]:
    """Return what holds the bolt back or presses on it, from all parts."""
    return tuple(load for part in all_parts() for load in part.loads(layout))


@cache
def workpieces() -> Mapping[str, Workpiece]:
    """Return every workpiece by its key in the project file, with the features that parts cut into it."""
    own = sorted((w for part in all_parts() for w in part.workpieces), key=lambda w: w.order)
    features = [feature for part in all_parts() for feature in part.features]
    return MappingProxyType({w.key: w.with_features(features) for w in own})
