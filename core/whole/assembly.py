"""The parts of the lock, found in the package `core.parts`, and what needs every one of them."""

import importlib
import pkgutil
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any

from shapely.geometry.base import BaseGeometry

from core import parts
from core.layout.drawing import Mark, Stroke
from core.layout.extents import Extents
from core.layout.layout import Layout, derived
from core.layout.loads import Load
from core.layout.part import Drawn, Fixed, Part
from core.layout.workpiece import Workpiece
from core.lock.row_kinds import kind_called


def _offered(name: str) -> list[Any]:
    """Return what modules of `core.parts` offer by a name, in the order of the modules."""
    found = (
        getattr(importlib.import_module(f"{parts.__name__}.{module.name}"), name, None)
        for module in pkgutil.iter_modules(parts.__path__)
    )
    return [offer for offer in found if offer is not None]


@cache
def all_parts() -> tuple[Part, ...]:
    """Return every part, in the mock-up order."""
    return tuple(sorted(_offered("PART"), key=lambda part: (part.order, part.name)))


@cache
def extents() -> Extents:
    """Return where all dimensions lie that no part draws with its own marks."""
    found: list[Extents] = _offered("EXTENTS")
    lock, plate, on_edge = (
        {path: ends for own in found for path, ends in getattr(own, frame).items()}
        for frame in ("lock", "plate", "on_edge")
    )
    return Extents(lock, plate, on_edge)


@cache
def drawn() -> Mapping[str, Drawn]:
    """Return everything that parts draw, by the name that its marks bear."""
    return MappingProxyType({thing.name: thing for part in all_parts() for thing in part.drawn})


def drawn_as(name: str) -> Drawn | None:
    """Return what bears a name in the drawing, one of several among it; None for what is no part's."""
    found = drawn().get(name)
    if found is None:
        kind = kind_called(name)
        several = drawn().get(kind.singular) if kind is not None else None
        found = several if several is not None and several.each else None
    return found


@derived
def marks(layout: Layout) -> tuple[Mark, ...]:
    """Return the drawing of the whole lock, in the mechanism frame, in the mock-up order."""
    return tuple(mark for part in all_parts() for mark in part.marks(layout))


def moving(layout: Layout, angle: float, travel: float) -> tuple[Stroke, ...]:
    """Return what moves, at a key angle [rad] and a travel of the bolt [mm], in the mechanism frame.

    The key's stroke comes after the bolt's, as what was settled first: it lies over the others.
    """
    parts = reversed(all_parts())
    return tuple(stroke for part in parts for stroke in part.moving(layout, angle, travel))


@cache
def fixed() -> tuple[Fixed, ...]:
    """Return everything that stands still while the key turns, by kind and in its order."""
    return tuple(sorted((f for part in all_parts() for f in part.fixed), key=lambda f: f.order))


@derived
def standing(layout: Layout) -> Mapping[str, BaseGeometry]:
    """Return what stands still while the key turns, as areas in the drive frame, each by its name."""
    return {name: area for kind in fixed() for name, area in kind.areas(layout).items()}


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
