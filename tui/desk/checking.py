"""Working out windows and findings bit by bit: keys pressed meanwhile need not wait."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from shapely.errors import ShapelyError

from core.checks.catalogue import FAULT
from core.checks.gathered import all_checks, seen_by
from core.layout.findings import Finding, Level, worst, worst_first
from core.layout.layout import Layout
from core.layout.part import Check
from core.layout.windows import Bound, Window, merged


@dataclass(frozen=True)
class Checked:
    """What the checks have to say of one lock; `complete` once every part has been heard.

    `heard` once all is found that there is to find; windows of prompts that are not in view may be to come still.
    """

    windows: Mapping[str, Window]
    findings: tuple[Finding, ...]
    complete: bool
    heard: bool = True

    def level(self, step: str) -> Level | None:
        """Return the worst level found in a step, by its name."""
        return worst(finding for finding in self.findings if finding.step == step)


_FAULTS = (ArithmeticError, ValueError, LookupError, ShapelyError)
"""What a sum or a shape that nobody thought of may raise: told, so that no work at hand is lost."""


def _told(check: Check, fault: Exception) -> Finding:
    """Return the finding that tells the maker of a fault in one part's checks."""
    text = (
        f"The {check.name} could not be checked ({type(fault).__name__}: {fault}). That is a fault in "
        "this program; your values are kept, and the other checks hold."
    )
    return FAULT.at(check.step).found(text)


def checking(
    layout: Layout, notes: Iterable[Finding] = (), asked: Iterable[str] = ()
) -> Iterator[Checked | None]:
    """Work out a little at a time: yields None between, then windows that are in view, then what is found, then all.

    `notes` are findings on the lock's file, which join those on the lock; `asked` are the paths of what is in view.
    The windows of all others take most of the time, and nobody looks at them.
    """
    faults: dict[str, Finding] = {}
    bounds: list[Bound] = []
    in_view = tuple(asked)
    if in_view:
        yield from _bounds(bounds, faults, lambda check: check.bounds_on(layout, *in_view))
        yield Checked(merged(bounds), (), complete=False, heard=False)
    findings: list[Finding] = []
    for check in all_checks():
        findings += _found(check, layout)
        yield None
    findings += notes
    if in_view:
        told = worst_first([*faults.values(), *findings])
        yield Checked(merged(bounds), told, complete=False)
        bounds = []
    yield from _bounds(bounds, faults, lambda check: check.bounds(layout))
    yield Checked(merged(bounds), worst_first([*faults.values(), *findings]), complete=True)


def _bounds(
    bounds: list[Bound], faults: dict[str, Finding], of: Callable[[Check], Iterable[Bound]]
) -> Iterator[None]:
    """Add what every check bounds, one bound at a time, and what stopped a check by its name."""
    for check in all_checks():
        try:
            for bound in of(check):
                bounds.append(bound)
                yield None
        except _FAULTS as fault:
            faults.setdefault(check.name, _told(check, fault))
        yield None


def hearing(layout: Layout) -> Iterator[Checked | None]:
    """Work out what the checks find, one at a time, without what fits: yields None between, then all."""
    found: list[Finding] = []
    for check in all_checks():
        found += _found(check, layout)
        yield None
    yield Checked({}, worst_first(found), complete=True)


def verdict(layout: Layout) -> Checked:
    """Return what the checks find, without what fits: for a list, in which no value is asked for."""
    *_, last = hearing(layout)
    if last is None:
        raise AssertionError("the checks ended without a result")
    return last


def _found(check: Check, layout: Layout) -> list[Finding]:
    try:
        return list(check.findings(seen_by(check, layout)))
    except _FAULTS as fault:
        return [_told(check, fault)]


def checked(layout: Layout) -> Checked:
    """Return everything that the checks have to say, in one go."""
    *_, last = checking(layout)
    if last is None:
        raise AssertionError("the checks ended without a result")
    return last
