"""Locks for the tests: random ones, made from what `specs` says of every value, and a file by hand."""

from hypothesis import strategies as st

from core.lock.fields import LARGEST, Spec, settled
from core.lock.lock import Lock, specs

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
"""Any text that can be written as UTF-8, control characters and all."""
_SIZES = st.floats(-LARGEST, LARGEST, allow_nan=False).map(settled)


def values(spec: Spec) -> st.SearchStrategy[object]:
    """Return a strategy of everything that may stand where `spec` does."""
    match spec.kind:
        case "text":
            return TEXTS
        case "choice":
            return st.sampled_from(spec.choices)
        case "points":
            point = st.tuples(_SIZES, _SIZES) | st.tuples(_SIZES, _SIZES, _SIZES)
            return st.lists(point, max_size=5).map(tuple)
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


def changed(lock: Lock, new: dict[str, object]) -> Lock:
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
"""
