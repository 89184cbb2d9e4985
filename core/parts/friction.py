"""Friction: ranges of its coefficient from the shared table, never one number."""

from functools import cache

from core.errors import BadTableError
from core.layout.layout import Layout, derived
from core.lock.friction import CONDITIONS, METALS
from core.tables.coefficients import FrictionRange, friction_in


@cache
def friction_table() -> dict[tuple[str, str], FrictionRange]:
    """Return the range of every pair of metals in every condition, by both.

    Raises
    ------
    BadTableError
        For a table that lacks a row, has one that a lock cannot name, or one that is not to be relied on.
    """
    found = {(row.metals, row.condition): row for row in friction_in()}
    wanted = {(metals, condition) for metals in METALS for condition in CONDITIONS}
    if found.keys() != wanted:
        odd = sorted(", ".join(names) for names in found.keys() ^ wanted)
        raise BadTableError(
            f"The shipped table friction.toml differs from what a lock names: {'; '.join(odd)}."
        )
    return found


@derived
def friction_ranges(layout: Layout) -> dict[str, FrictionRange]:
    """Return the ranges for the metals of a lock, by condition, from slippery to rough."""
    metals = layout.lock.friction.metals
    return {condition: friction_table()[metals, condition] for condition in CONDITIONS}


def own_friction(layout: Layout) -> FrictionRange:
    """Return the range for a lock as it is kept."""
    return friction_ranges(layout)[layout.lock.friction.condition]
