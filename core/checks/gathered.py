"""All that there is to say of a lock: by every part, by the turn of the key, and of the parts that are made.

A module of `core.turning` or `core.made` that has a `CHECK` is heard beside the parts. Nothing else lists them.
"""

import importlib
import pkgutil
from collections.abc import Mapping
from functools import cache

from core import made, turning
from core.layout.findings import Finding, worst_first
from core.layout.layout import Layout, derived
from core.layout.outcomes import Outcome
from core.layout.part import Check
from core.layout.windows import Window, merged
from core.whole.as_built import as_built
from core.whole.assembly import all_parts


@cache
def all_checks() -> tuple[Check, ...]:
    """Return every part and every other check, in the mock-up order."""
    found: list[Check] = [*all_parts()]
    for room in (turning, made):
        for module in pkgutil.iter_modules(room.__path__):
            loaded = importlib.import_module(f"{room.__name__}.{module.name}")
            check = getattr(loaded, "CHECK", None)
            if check is not None:
                found.append(check)
    return tuple(sorted(found, key=lambda check: (check.order, check.name)))


def seen_by(check: Check, layout: Layout) -> Layout:
    """Return the layout that a check is asked about: with the parts that are made as they are, or as it is wanted."""
    return layout if check.of_plan else as_built(layout)


@derived
def findings(layout: Layout) -> tuple[Finding, ...]:
    """Return the findings of all checks, worst first: of the metal, where there is some already."""
    checks = all_checks()
    return worst_first(
        found for check in checks for found in check.findings(seen_by(check, layout))
    )


@derived
def wanted_findings(layout: Layout) -> tuple[Finding, ...]:
    """Return the findings on the lock as it is wanted, as if none of its parts were made, worst first."""
    checks = (check for check in all_checks() if not check.of_plan)
    return worst_first(found for check in checks for found in check.findings(layout))


@derived
def windows(layout: Layout) -> Mapping[str, Window]:
    """Return the windows of all dimensions that have one, by path."""
    return merged(bound for check in all_checks() for bound in check.bounds(layout))


@cache
def outcomes() -> tuple[Outcome, ...]:
    """Return all outcomes, in the order in which they are shown."""
    found = [outcome for check in all_checks() for outcome in check.outcomes]
    return tuple(sorted(found, key=lambda outcome: outcome.order))


@cache
def quick_outcomes() -> tuple[Outcome, ...]:
    """Return those that take well under a millisecond each, and for whose sake a change may be made."""
    return tuple(outcome for outcome in outcomes() if outcome.aim and not outcome.slow)


@derived
def outcome_values(layout: Layout) -> Mapping[str, float | None]:
    """Return all outcomes of a layout by name: of the metal, where there is some already."""
    return {outcome.name: outcome.of(as_built(layout)) for outcome in outcomes()}


@derived
def quick_values(layout: Layout) -> Mapping[str, float | None]:
    """Return the quick outcomes of a layout by name, as it is wanted."""
    return {outcome.name: outcome.of(layout) for outcome in quick_outcomes()}
