"""Locks for the tests: random ones, made from what `specs` says of every value, and a file by hand."""

from collections.abc import Mapping

from hypothesis import strategies as st

from core.lock.lock import Lock, specs
from core.lock.numbers import LARGEST, settled
from core.lock.row_changes import free_name, made_row, with_row
from core.lock.row_kinds import row_kinds
from core.lock.spec import Spec

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
"""Any text that can be written as UTF-8, control characters and all."""
_SIZES = st.floats(-LARGEST, LARGEST, allow_nan=False).map(settled)


def values(spec: Spec) -> st.SearchStrategy[object]:
    """Return a strategy of everything that may stand where `spec` does."""
    match spec.kind.name:
        case "text":
            return TEXTS
        case "choice":
            return st.sampled_from(spec.choices)
        case "points":
            point = st.tuples(_SIZES, _SIZES) | st.tuples(_SIZES, _SIZES, _SIZES)
            return st.lists(point, max_size=5).map(tuple)
        case "count":
            return st.integers(int(spec.low), int(spec.high))
        case _:
            near = st.sampled_from([spec.low, spec.high])
            return st.floats(spec.low, spec.high, allow_nan=False).map(settled) | near


@st.composite
def changes(draw: st.DrawFn) -> dict[str, object]:
    """Draw a few values of a lock, by path."""
    paths = draw(st.lists(st.sampled_from(list(specs())), max_size=6, unique=True))
    return {path: draw(values(specs()[path])) for path in paths}


@st.composite
def locks(draw: st.DrawFn) -> Lock:
    """Draw a lock in which any value may be anything that is allowed."""
    return changed(Lock(), {path: draw(values(spec)) for path, spec in specs().items()})


def changed(lock: Lock, new: Mapping[str, object]) -> Lock:
    """Return `lock` with the values at these paths."""
    for path, value in new.items():
        lock = lock.with_value(path, value)
    return lock


BY_HAND = """\
# Gate by the pond
title   =   "Pond gate"      # the old one
units = "in"
maker = "unsigned"

key.radius = "13/16 in"      # compass
key.bit_thickness = 3

[plate]
outline = 'traced'
points = [                   # from squared paper
    ["-1 in", 0, 0.5], ["1 in", 0.0],
    [0, -80],                # foot
]

[diary]                      # measured afterwards
radius = 20.4
on = 2024-05-01
[[diary.days]]
name = "filed"

[fit]
bridge_min = 3
metal_min = 0.8
"""

NAMES = st.sampled_from(["a", "b", "c", "upper-left", "7", "across", "X_1"]) | st.text(
    "abzAZ019_-", min_size=1, max_size=30
)
"""Names that a row may have."""


@st.composite
def rows(draw: st.DrawFn, table: str = "posts", most: int = 4) -> dict[str, dict[str, object]]:
    """Draw rows of a table, each with all its values, by name."""
    names = draw(st.lists(NAMES, max_size=most, unique=True))
    specs_of_row = row_kinds()[table].specs
    return {name: {k: draw(values(s)) for k, s in specs_of_row.items()} for name in names}


def with_rows(lock: Lock, drawn: dict[str, dict[str, object]], table: str = "posts") -> Lock:
    """Return `lock` with these rows, after those that it has."""
    for name, values_of_row in drawn.items():
        lock = with_row(lock, table, name, made_row(table, name, values_of_row))
    return lock


def posted(*places: tuple[float, ...], lock: Lock | None = None) -> Lock:
    """Return a lock with posts a, b, c ... at these places: across, above and perhaps diameter [mm]."""
    lock = Lock() if lock is None else lock
    for place in places:
        values_of_row = dict(zip(("across", "above", "diameter"), place, strict=False))
        name = free_name(lock, "posts")
        lock = with_row(lock, "posts", name, made_row("posts", name, values_of_row))
    return lock
