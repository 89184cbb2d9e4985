"""Findings: what the checks have to say of a lock, collected and never raised."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from core.layout.remedies import Remedy

Level = Literal["stop", "look", "note"]
LEVELS: tuple[Level, ...] = ("stop", "look", "note")
"""Worst first."""
LEVEL_MEANS: Mapping[Level, str] = {
    "stop": "the lock cannot work so", "look": "it may be meant so: have a look", "note": "good to know",
}  # fmt: skip


@dataclass(frozen=True)
class Finding:
    """One result of a check.

    `code` names the check for scripts, `step` the step of the layout that mends it, `value` and
    `limit` are the number found and the one it is held against [mm, or degrees where the text says so]. `remedies`
    are what the text names to be rid of it, each enough by itself.
    """

    code: str
    level: Level
    step: str
    text: str
    value: float | None = None
    limit: float | None = None
    remedies: tuple[Remedy, ...] = ()

    def as_data(self) -> dict[str, Any]:
        """Return the finding with the keys of the report contract; `remedies` have `words` and `changes` by path."""
        remedies = [{"words": each.words, "changes": dict(each.changes)} for each in self.remedies]
        return {**self.__dict__, "remedies": remedies}


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Sort by level, keeping the order of the steps within a level; one finding per code and text."""
    unique = list(dict.fromkeys(findings))
    return tuple(sorted(unique, key=lambda f: LEVELS.index(f.level)))


def worst(findings: Iterable[Finding]) -> Level | None:
    """Return the worst level among the findings, None where there are none."""
    found = {f.level for f in findings}
    return next((level for level in LEVELS if level in found), None)
