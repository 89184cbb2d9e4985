"""The order of work, from sheets to closed lock: tasks that the parts bring, and the ticks that the lock holds.

A tick remembers the numbers of its task, so that one that was done for other numbers is told from one that still holds.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from core.layout.layout import Layout, derived
from core.lock.done import Tick
from core.sheets.drills import PILOTS, pilot
from core.sheets.gathering import all_holes, all_pieces
from core.sheets.record import BOTH, CUTTING, DRILLING, Hole, Stage, Task
from core.sheets.sizes import size
from core.sheets.stamp import mark_of
from core.sheets.table import Table

State = Literal["open", "done", "changed"]
RIVETING = (
    "Riveting and springs: eye protection, a solid anvil, fingers clear of hammer and spring; files, punches and "
    "hammers with sound handles and no burred heads."
)
HEAT = (
    "Brazing or annealing: away from anything that burns, with air, gloves and eye protection; no coated metal in the "
    "flame."
)
STAGES: dict[Stage, tuple[str, tuple[str, ...]]] = {
    "sheets": ("Sheets on the metal", ()),
    "drilling": ("Both plates drilled as one", (DRILLING,)),
    "plates": ("Plates, to their outline", (CUTTING,)),
    "guides": ("Guides", (CUTTING,)),
    "bolt": ("Bolt, outside", (CUTTING,)),
    "key": ("Gauge and key", (CUTTING, HEAT)),
    "tooth": ("Tooth, at both seats", (CUTTING,)),
    "trial": ("Bench test, front plate off", ()),
    "assembly": ("Assembly", (RIVETING,)),
}
"""The stages in their order, each with its title and the cautions that go with it."""
CHANGED = "(Done before its numbers changed.)"
_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")
_KEY = re.compile(r"[^a-z0-9]+")


@dataclass(frozen=True)
class Entry:
    """A task with its number in the whole order, its state, and the mark that ticking it now would leave."""

    number: int
    task: Task
    state: State
    mark: str

    @property
    def said(self) -> str:
        """What to do, and that it was done for other numbers where it was."""
        return f"{CHANGED} {self.task.text}" if self.state == "changed" else self.task.text

    @property
    def tick(self) -> Tick:
        """The tick that says that it is done as it stands."""
        return Tick(self.task.stage, self.task.key, self.mark)


@derived
def order_of_work(layout: Layout) -> tuple[Entry, ...]:
    """Return every task of a lock in order, with what the lock says of it."""
    ticks = {(tick.stage, tick.task): tick.mark for tick in layout.plan.work}
    entries = []
    for number, (task, mark) in enumerate(zip(tasks(layout), _marks(layout), strict=True), start=1):
        held = ticks.get((task.stage, task.key))
        state: State = "open" if held is None else "done" if held == mark else "changed"
        entries.append(Entry(number, task, state, mark))
    return tuple(entries)


@derived
def tasks(layout: Layout) -> tuple[Task, ...]:
    """Return the tasks in order: those of the sheets and holes first, then what each part brings, stage by stage."""
    places = {stage: number for number, stage in enumerate(STAGES)}
    brought = (task for piece in all_pieces() for task in piece.work(layout))
    found = [*_sheets(layout), *_drilling(layout), *brought]
    return tuple(sorted(found, key=lambda task: places[task.stage]))


def _marks(layout: Layout) -> Iterable[str]:
    """Yield the mark of each task: of its numbers in mm, whatever units and words they are told in."""
    in_mm = layout
    if layout.plan.units != "mm":
        in_mm = Layout(replace(layout.plan, units="mm"))
    for task in tasks(in_mm):
        numbers = _NUMBER.findall(task.text)
        yield mark_of(task.key, [task.stage, layout.lock.unlocks, *numbers])


def _sheets(layout: Layout) -> Iterable[Task]:
    drilled = [hole for hole in all_holes(layout) if not hole.chained]
    yield Task(
        "sheets", "print",
        "Print the sheets at 100 % and measure the bars both ways on every page; a page that is out goes into the bin.",
    )  # fmt: skip
    yield Task(
        "sheets", "glue",
        'Glue "Back plate, inside" on the inside of the back plate\'s blank, and the sheets of bolt, guides and gauge '
        "on theirs: clean metal, thin paste, no folds. Let them dry before you punch.",
    )  # fmt: skip
    names = ", ".join(f"{hole.what} ({size(layout, hole.diameter)})" for hole in drilled)
    yield Task(
        "sheets", "punch",
        f"Punch through the paper: {names}. Prove the pivot by its check distances before you drill.",
    )  # fmt: skip


def _drilling(layout: Layout) -> Iterable[Task]:
    both = [
        hole for hole in all_holes(layout) if not hole.chained and set(hole.plates) == set(BOTH)
    ]
    yield Task(
        "drilling", "clamp",
        "Lay the blank of the front plate under that of the back plate, sheet up, edges level, and clamp both together "
        "and to the table, on a piece of wood.",
    )  # fmt: skip
    for number, hole in enumerate(both):
        pinned = (
            f" Put a pin of {size(layout, hole.diameter)} through both plates before you drill anything else."
            if number == 0
            else " The pin stays in the first hole."
        )
        yield Task(
            "drilling", _KEY.sub("-", hole.what.lower()).strip("-") or "hole",
            f"Drill through both plates as one: {hole.what}, {_drill(layout, hole)}.{pinned}",
        )  # fmt: skip


def _drill(layout: Layout, hole: Hole) -> str:
    first = pilot(hole.diameter, PILOTS[layout.lock.units])
    finish = size(layout, hole.diameter)
    return f"first {first.name}, then {finish}" if first else finish


@dataclass(frozen=True)
class Part:
    """One stage that a lock has: its title, the cautions that were not given before it, and its tasks."""

    title: str
    cautions: tuple[str, ...]
    entries: tuple[Entry, ...]


def parts_of_work(layout: Layout) -> tuple[Part, ...]:
    """Return the order of work stage by stage."""
    found, given, entries = [], set[str](), order_of_work(layout)
    for stage, (title, cautions) in STAGES.items():
        here = tuple(entry for entry in entries if entry.task.stage == stage)
        if here:
            found.append(Part(title, tuple(c for c in cautions if c not in given), here))
            given |= set(cautions)
    return tuple(found)


def work_tables(layout: Layout) -> tuple[Table, ...]:
    """Return the order of work as tables, one for each stage, numbered through, ticks as the lock has them."""
    return tuple(
        Table(
            f"Order of work: {part.title.lower()}", ("step",),
            tuple((entry.said,) for entry in part.entries), part.cautions,
            ticks=True, first=part.entries[0].number,
            done=frozenset(i for i, entry in enumerate(part.entries) if entry.state == "done"),
        )
        for part in parts_of_work(layout)
    )  # fmt: skip


def counts(entries: Iterable[Entry]) -> tuple[int, int]:
    """Return how many tasks are done, and how many there are."""
    states = [entry.state for entry in entries]
    return states.count("done"), len(states)
