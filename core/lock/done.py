"""What of the order of work is done: ticks, kept with the lock.

In the project file each stage of the work has a table of its own, `[work.drilling.done]`; its keys are tasks, and the
value of each is the mark of the state in which the task was when it was ticked, a few letters.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from core.errors import BadValueError
from core.lock.fields import FromFile, ToFile, inner_leaves, inner_tables
from core.text import shown

LONGEST = 40
"""Letters of the longest mark that is read."""
_DONE = "done"


@dataclass(frozen=True, order=True)
class Tick:
    """One task that is done: its stage, its key there, and the mark of its state."""

    stage: str
    task: str
    mark: str


def read_work(tree: Mapping[str, Any], _: FromFile) -> tuple[Tick, ...]:
    """Return the ticks from the tables of a project file, sorted; what is no such table is left out.

    Raises
    ------
    BadValueError
        For a `done` that is no table, or a mark that is no short text.
    """
    found = []
    for stage, task, mark, name in inner_leaves(tree, "work", _DONE):
        if not isinstance(mark, str) or not 0 < len(mark) <= LONGEST:
            raise BadValueError(
                f"{name} = {shown(mark)} is not allowed: it takes 1 to {LONGEST} letters in quotes"
            )
        found.append(Tick(stage, task, mark))
    return tuple(sorted(found))


def write_work(work: tuple[Tick, ...], _: ToFile) -> dict[str, Any]:
    """Return the tables of a project file for what is done, by stage."""
    return inner_tables(_DONE, ((tick.stage, tick.task, tick.mark) for tick in work))
