"""What a step is.

A step is data: a module of `tui.steps` that has a `STEP`. Nothing else lists them, so a new one is
a new file.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from core.layout.layout import Layout
from core.layout.proposal import Proposal
from core.lock.lock import Lock, expanded
from core.lock.row import RowKind
from core.lock.row_kinds import row_kinds
from tui.plot.views import View


@dataclass(frozen=True)
class Prompt:
    """One value that a step asks for; with `only`, where a choice is one of some words, and `when` that is so too."""

    path: str
    only: tuple[str, tuple[str, ...]] | None = None
    when: Callable[[Lock], bool] | None = None

    def applies(self, lock: Lock) -> bool:
        """Say whether the lock at hand has a use for the value."""
        chosen = self.only is None or lock.value(self.only[0]) in self.only[1]
        return chosen and (self.when is None or self.when(lock))


@dataclass(frozen=True)
class ReadOff:
    """A result to read off: its name, and what works it out [by `kind` mm, degrees, mm2, N, MPa or N mm].

    None is not shown: there is no such thing in the lock at hand. What is no number is told as a jam.
    """

    label: str
    of: Callable[[Layout], float | None]
    kind: Literal["length", "angle", "area", "force", "stress", "torque"] = "length"


@dataclass(frozen=True)
class Guide:
    """What a first lock is told of a step: what is `decided` there, `why` it matters, and what to `look` at.

    Each begins with a small letter and ends with its full stop.
    """

    decided: str
    why: str
    look: str


def _nothing(_: Layout) -> Mapping[str, float]:
    return {}


@dataclass(frozen=True)
class Step:
    """One step. `name` is what findings call it; `parts` stand out in the drawing; it may `propose` all its values.

    With `rows`, the name of a table, it asks for every value of every row of it besides, and rows can be added;
    `begin` gives the values that a new one begins with, by key [mm, degrees or N]. A step of the guided first lock has
    a `guide`.
    """

    name: str
    order: int
    title: str
    intro: str
    prompts: tuple[Prompt, ...]
    parts: tuple[str, ...]
    view: View = "whole"
    read_off: tuple[ReadOff, ...] = ()
    caution: str = ""
    propose: Callable[[Layout], Proposal] | None = None
    rows: str = ""
    begin: Callable[[Layout], Mapping[str, float]] = _nothing
    guide: Guide | None = None

    @property
    def kind(self) -> RowKind | None:
        """What it asks for several of; None for a step that asks for one of each."""
        return row_kinds()[self.rows] if self.rows else None

    def asked(self, lock: Lock) -> tuple[str, ...]:
        """Return the paths that the step asks for in this lock, in order; there may be none yet."""
        own = [prompt.path for prompt in self.prompts if prompt.applies(lock)]
        return (*own, *(expanded(lock, (self.rows,)) if self.rows else ()))


def prompts(*paths: str) -> tuple[Prompt, ...]:
    """Return prompts that always apply."""
    return tuple(Prompt(path) for path in paths)
