"""Codes: what the checks can find, each declared once, in the module that finds it.

A part or a check that declares its codes makes its findings by them, so that level and step are said in one place;
`core.checks.catalogue` lists them all.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from core.layout.findings import Finding, Level
from core.layout.remedies import Remedy


@dataclass(frozen=True)
class Code:
    """One thing that can be found.

    `name` is for scripts and is never changed; `step` is the step of the layout that mends it, empty where each
    finding brings its own. `meaning` says in one sentence what it means for the lock.
    """

    name: str
    level: Level
    step: str
    meaning: str

    def found(
        self, text: str, value: float | None = None, limit: float | None = None,
        remedies: Iterable[Remedy] = (),
    ) -> Finding:  # fmt: skip
        """Return the finding: its `text`, the number found, and the one it is held against [mm, or as told].

        `remedies` are those that its text names.
        """
        return Finding(self.name, self.level, self.step, text, value, limit, tuple(remedies))

    def about(self, *rows: str) -> "Code":
        """Return the code as it is found of some rows, which stand in its name behind a colon, such as `:a`.

        So a finding of one post is never taken for that of another; it means what the code itself means.
        """
        return replace(self, name=f"{self.name}:{','.join(rows)}")

    def at(self, step: str) -> "Code":
        """Return the code as it is found at a step."""
        return replace(self, step=step)


def general(name: str) -> str:
    """Return the name of a code without the rows that it is about."""
    return name.partition(":")[0]


def rows_in(name: str) -> tuple[str, ...]:
    """Return the rows that a code is about, by its name; none for most."""
    return tuple(name.partition(":")[2].split(",")) if ":" in name else ()


@dataclass(frozen=True)
class Family:
    """Codes that differ only in the thing they are about: {} stands for its name, in every text."""

    name: str
    level: Level
    step: str
    meaning: str

    def of(self, thing: str) -> Code:
        """Return the code about one thing."""
        name = self.name.replace("{}", thing.replace(" ", "-"))
        return Code(
            name, self.level, self.step.replace("{}", thing), self.meaning.replace("{}", thing)
        )
