"""What was read off with the parts put together, and what follows from it; nothing here knows of a screen.

Readings are kept while they are looked at, and are no part of the lock.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache

from core.change.causes import Cause, Diagnosis, diagnose
from core.change.causes_text import MOST
from core.change.readings import READ_OFF
from core.lock.lock import Lock
from core.lock.spec import Spec
from tui.desk.at_prompt import AtPrompt, Notice
from tui.made import state as made_state


@lru_cache(maxsize=8)
def _diagnosed(lock: Lock, read: tuple[tuple[str, float], ...]) -> Diagnosis:
    return diagnose(lock, dict(read))


@dataclass(frozen=True)
class Bench(AtPrompt):
    """The readings `read` [mm or degrees] at the bench, by name, of a lock; one row of them is at hand."""

    lock: Lock
    read: Mapping[str, float] = field(default_factory=dict)
    row: int = 0
    notice: Notice | None = None
    MAY_BE_EMPTY = True

    @property
    def name(self) -> str:
        """The name of the reading at hand."""
        return tuple(READ_OFF)[self.row]

    @property
    def spec(self) -> Spec:
        """What the reading at hand may be."""
        return made_state.read_spec(self.name)

    @property
    def units(self) -> str:
        """The units of the lock."""
        return self.lock.units

    @property
    def value(self) -> object:
        """What was read off [mm or degrees]; None where nothing was."""
        return self.read.get(self.name)

    @property
    def usual(self) -> object:
        """What the plan gives [mm or degrees]."""
        return made_state.planned(self.lock, self.name)

    def with_value(self, value: float | None, *, small: bool = False) -> "Bench":
        """Return the state with another reading, None for none."""
        del small
        found = {name: known for name, known in self.read.items() if name != self.name}
        if value is not None:
            found[self.name] = value
        return replace(self, read={name: found[name] for name in READ_OFF if name in found})

    def noticed(self, notice: Notice | None) -> "Bench":
        """Return the state with another notice."""
        return replace(self, notice=notice)

    def at(self, row: int) -> "Bench":
        """Return the state at a row, counted round from the ends."""
        return replace(self, row=row % len(READ_OFF)).silent()

    def at_name(self, name: str) -> "Bench":
        """Return the state at the row of a reading."""
        return self.at(tuple(READ_OFF).index(name))

    @property
    def diagnosis(self) -> Diagnosis | None:
        """What follows from the readings; None where there are none."""
        return _diagnosed(self.lock, tuple(self.read.items())) if self.read else None

    @property
    def causes(self) -> tuple[Cause, ...]:
        """The causes that are offered."""
        found = self.diagnosis
        if found is None or found.fine:
            return ()
        return (found.likely or found.causes[:1])[:MOST]
