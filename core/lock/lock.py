"""The lock: one frozen value that holds everything a project file says of it.

A lock is never changed: `with_value` returns a new one. Values are named by their path in the
project file, such as `key.radius`; `specs()` lists every path with its kind, limits and help.
"""

import dataclasses
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any

from core.errors import BadValueError
from core.lock.detent import Detent
from core.lock.fields import Spec, Tables, check, choice, tables, words
from core.lock.friction import Friction
from core.lock.made import Made, read_made, write_made
from core.lock.sections import (
    Bolt,
    BoltLine,
    Fit,
    FrontGuide,
    Key,
    Pivot,
    Plate,
    RearGuide,
    Shackle,
    ToothValues,
)
from core.lock.spring import Spring

FORMAT = 1
"""Version of the project file that this program writes, and the newest that it reads."""


@dataclasses.dataclass(frozen=True)
class Lock:
    """One lock. Each field below `notes` is a table of the project file, under the same name."""

    title: str = words("Untitled padlock", "title", "What you call the lock.")
    units: str = choice(
        "mm", ("mm", "in"), "units", "Units that prompts, sheets and drawings show."
    )
    unlocks: str = choice(
        "right", ("right", "left"), "unlocks to the",
        "The way the bolt moves to unlock, seen from inside the back plate.",
    )  # fmt: skip
    notes: str = words("", "notes", "Anything worth keeping with the lock.")
    plate: Plate = Plate()
    pivot: Pivot = Pivot()
    bolt_line: BoltLine = BoltLine()
    key: Key = Key()
    bolt: Bolt = Bolt()
    tooth: ToothValues = ToothValues()
    shackle: Shackle = Shackle()
    front_guide: FrontGuide = FrontGuide()
    rear_guide: RearGuide = RearGuide()
    fit: Fit = Fit()
    spring: Spring = Spring()
    detent: Detent = Detent()
    friction: Friction = Friction()
    made: tuple[Made, ...] = tables(read_made, write_made, "What is made already")

    def value(self, path: str) -> Any:
        """Return the value at `path` [mm, degrees or N]; KeyError for a path that no lock has."""
        spec_of(path)
        found: Any = self
        for name in path.split("."):
            found = getattr(found, name)
        return found

    def with_value(self, path: str, value: object) -> "Lock":
        """Return a lock that differs in the value at `path` [mm, degrees or N] only.

        Raises
        ------
        KeyError
            For a path that no lock has.
        BadValueError
            For a value that may not stand there.
        """
        good = check(spec_of(path), value, path)
        table, _, name = path.rpartition(".")
        if not table:
            return dataclasses.replace(self, **{name: good})
        section = dataclasses.replace(getattr(self, table), **{name: good})
        return dataclasses.replace(self, **{table: section})


@cache
def specs() -> Mapping[str, Spec]:
    """Return every path of a lock with its `Spec`, in the order of the project file."""
    found: dict[str, Spec] = {}
    for field in dataclasses.fields(Lock):
        if "spec" in field.metadata:
            found[field.name] = field.metadata["spec"]
        elif "tables" not in field.metadata:
            for inner in dataclasses.fields(field.default):  # type: ignore[arg-type]
                found[f"{field.name}.{inner.name}"] = inner.metadata["spec"]
    return MappingProxyType(found)


@cache
def table_fields() -> Mapping[str, Tables]:
    """Return the fields of a lock that are tables with keys of their own, by name."""
    fields = dataclasses.fields(Lock)
    return MappingProxyType(
        {f.name: f.metadata["tables"] for f in fields if "tables" in f.metadata}
    )


def check_at(path: str, value: object, name: str) -> Any:
    """Return `value` [mm, degrees or N] as a lock may have it at `path`; `name` stands in a refusal.

    Raises
    ------
    KeyError
        For a path that no lock has.
    BadValueError
        For a value that may not stand there.
    """
    return check(spec_of(path), value, name)


def spec_of(path: str) -> Spec:
    """Return the `Spec` of one path; KeyError for a path that no lock has."""
    return specs()[path]


def checked(lock: Lock) -> Lock:
    """Return `lock` with every value checked against its limits; for locks built in code.

    Raises
    ------
    BadValueError
        Names the first value that may not stand.
    """
    if not isinstance(lock, Lock):
        raise BadValueError(f"{lock!r} is no lock")
    for path in specs():
        lock = lock.with_value(path, lock.value(path))
    for name, field in table_fields().items():
        if field.read(field.write(getattr(lock, name)), check_at) != getattr(lock, name):
            raise BadValueError(f"{name} does not hold what a file could give back")
    return lock
