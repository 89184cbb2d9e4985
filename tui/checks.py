"""Working out windows and findings bit by bit: keys pressed meanwhile need not wait."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from core.findings import Finding, Level, worst, worst_first
from core.layout import Layout
from core.registry import all_parts
from core.windows import Bound, Window, merged


@dataclass(frozen=True)
class Checked:
    """What the checks have to say of one lock; `complete` once every part has been heard."""

    windows: Mapping[str, Window]
    findings: tuple[Finding, ...]
    complete: bool

    def level(self, step: str) -> Level | None:
        """Return the worst level found in a step, by its name."""
        return worst(finding for finding in self.findings if finding.step == step)


def checking(layout: Layout) -> Iterator[Checked | None]:
    """Work out one part's share at a time: yields None between, then the windows, then all."""
    bounds: list[Bound] = []
    for part in all_parts():
        bounds += part.bounds(layout)
        yield None
    windows = merged(bounds)
    yield Checked(windows, (), complete=False)
    findings: list[Finding] = []
    for part in all_parts():
        findings += part.findings(layout)
        yield None
    yield Checked(windows, worst_first(findings), complete=True)


def checked(layout: Layout) -> Checked:
    """Return everything that the checks have to say, in one go."""
    *_, last = checking(layout)
    if last is None:
        raise AssertionError("the checks ended without a result")
    return last
