"""Does the key foul the bolt? The program's verdict against simulators that share no formula with it.

`python -m tests.confusion` prints the table over 260 locks, late and early pick-ups, flat and scribed roofs, both
strokes; `--locks N` takes fewer, `--engine N` gives the rigid-body engine every Nth. The table stands in DEVELOPERS.md:
the slow test writes it there with BOLTWRIGHT_APPROVE=1, and without holds it against a table made anew.
"""

import argparse
import os
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from core.checks import gathered
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.parts.bolt_contour import bolt
from tests.config_space import follow, outline, rig_of
from tests.designs import turned
from tests.rigid_body import pieces, turn_key

PAGE = Path(__file__).parents[1] / "DEVELOPERS.md"
BEGIN = "<!-- confusion: written by the slow tests, with BOLTWRIGHT_APPROVE=1 -->"
END = "<!-- end of confusion -->"
LOCKS = 260
EVERY = 3
"""Of so many locks the engine turns one: it is slower."""
Stroke = Literal["unlocking", "locking"]
STROKES: tuple[Stroke, ...] = ("unlocking", "locking")
Judge = Literal["sweep", "engine"]


@dataclass(frozen=True)
class Case:
    """One lock as it was judged: whether its key fouls the bolt by the program, and by a simulator."""

    lock: Lock
    judge: Judge
    said: bool
    true: bool

    @property
    def kind(self) -> str:
        early = "early" if self.lock.tooth.pickup_angle > 0 else "at the top"
        return f"{early}, {bolt(Layout(self.lock)).roof} roof"

    @property
    def missed(self) -> bool:
        return self.true and not self.said

    @property
    def false(self) -> bool:
        return self.said and not self.true


def said_to_foul(layout: Layout) -> bool:
    """Return the program's verdict."""
    return any(finding.code == "key-fouls-bolt" for finding in gathered.findings(layout))


def swept(layout: Layout) -> bool:
    """Return whether the sweep finds the key blocked, in either stroke, with the lock's detent or a bolt left free."""
    rig = rig_of(layout)
    reach = layout.lock.fit.detent_capture
    return any(
        follow(rig, stroke, capture=capture).blocked is not None
        for stroke in STROKES
        for capture in (None, reach)
    )


def driven(layout: Layout) -> bool:
    """Return whether the rigid-body engine's key is stopped, in either stroke, with the lock's detent."""
    rig = rig_of(layout)
    slider = pieces(outline(layout, 1e-3))
    reach = layout.lock.fit.detent_capture
    return any(
        turn_key(rig.bit, slider, throw=rig.throw, stroke=stroke, capture=reach).stopped is not None
        for stroke in STROKES
    )


def cases(seeds: Iterable[int], every: int = EVERY) -> Iterator[Case]:
    """Judge the locks of `seeds`: all of them by the sweep, each `every`th by the engine too."""
    for seed in seeds:
        lock = turned(seed)
        layout = Layout(lock)
        said = said_to_foul(layout)
        yield Case(lock, "sweep", said, swept(layout))
        if seed % every == 0:
            yield Case(lock, "engine", said, driven(layout))


def table(found: Iterable[Case]) -> list[str]:
    """Return the confusion table, one row for each judge and kind of lock."""
    counts: Counter[tuple[str, str, bool, bool]] = Counter()
    for case in found:
        for kind in (case.kind, "all"):
            counts[case.judge, kind, case.said, case.true] += 1
    rows = [
        "| judge | locks | in all | fouls, said so | turns, said so | missed | false |",
        "|---|---|---|---|---|---|---|",
    ]
    for judge, kind in sorted(
        {key[:2] for key in counts}, key=lambda key: (key[0] != "sweep", key[1] == "all", key[1])
    ):
        each = {key[2:]: n for key, n in counts.items() if key[:2] == (judge, kind)}
        numbers = [
            sum(each.values()),
            *(each.get(key, 0) for key in ((True, True), (False, False), (False, True), (True, False))),
        ]  # fmt: skip
        rows.append(f"| {judge} | {kind} | " + " | ".join(map(str, numbers)) + " |")
    return rows


def pasted() -> list[str]:
    """Return the lines of the table as the page has it."""
    return PAGE.read_text("utf-8").partition(BEGIN)[2].partition(END)[0].strip().splitlines()


def as_pasted(lines: list[str]) -> list[str]:
    """Return the table as the page has it, or, where changes are to be approved, once `lines` stand there."""
    if os.environ.get("BOLTWRIGHT_APPROVE"):
        head, _, rest = PAGE.read_text("utf-8").partition(BEGIN)
        new = "\n".join([head + BEGIN, *lines, END + rest.partition(END)[2]])
        PAGE.write_text(new, "utf-8", newline="\n")
    return pasted()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--locks", type=int, default=LOCKS)
    parser.add_argument("--engine", type=int, default=EVERY)
    asked = parser.parse_args()
    found = list(cases(range(asked.locks), asked.engine))
    print("\n".join(table(found)))  # noqa: T201 - this is what the script is for
    for case in found:
        if case.missed or case.false:
            print(f"{case.lock.title}: {'missed' if case.missed else 'false'} by the {case.judge}")  # noqa: T201


if __name__ == "__main__":
    main()
