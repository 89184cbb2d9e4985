"""The command: draw mutants, run them, print the table by room and the survivors."""

import argparse
import hashlib
import json
import os
import sys
import time
import tomllib
from collections import Counter, defaultdict
from collections.abc import Collection
from functools import cache
from pathlib import Path
from typing import Any

from tests.mutation.changes import Mutant, mutants
from tests.mutation.covering import KEPT, TOP, covering
from tests.mutation.running import Outcome, fails_untouched, run_all

EQUIVALENT = Path(__file__).with_name("equivalent.toml")
CAUGHT = ("caught", "hangs")

Key = tuple[str, str, str, str]


def main() -> int:
    """Run the command; 1 where fewer are caught than `--at-least`."""
    options = _options()
    everything = all_mutants(options.only)
    before = rows_of(options.again) if options.again else {}
    if before:
        drawn = once_more(everything, before)
        print(f"{len(drawn)} of {len(before)} mutants of {options.again} can still be made.")
    else:
        drawn = sample(everything, options.count, options.seed)
        print(
            f"{len(everything)} mutants can be made, {len(drawn)} drawn with seed {options.seed}."
        )
    alike = equivalents()
    known = [mutant for mutant in drawn if key(mutant) in alike]
    outcomes = [
        Outcome(mutant, row["fate"], row["by"], row["tests"])
        for mutant in drawn
        if key(mutant) not in alike and (row := before.get(key(mutant), {})).get("fate") in CAUGHT
    ]
    told = {outcome.mutant for outcome in outcomes}.union(known)
    todo = [mutant for mutant in drawn if mutant not in told]
    covers = covering(options.jobs, options.tests, fresh=options.fresh)
    begun = time.monotonic()
    for outcome in run_all(todo, covers, options.jobs):
        outcomes.append(outcome)
        print(
            f"{len(outcomes):4d} {outcome.fate:11s} {outcome.mutant.told}  {outcome.by}", flush=True
        )
    shaky = fails_untouched(sorted({o.by for o in outcomes if "::" in o.by}))
    outcomes = [
        o if o.by not in shaky else Outcome(o.mutant, "unsure", o.by, o.tests) for o in outcomes
    ]
    outcomes += [Outcome(mutant, "equivalent", alike[key(mutant)]) for mutant in known]
    print(f"\nIn {time.monotonic() - begun:.0f} s:\n\n{table(outcomes)}\n")
    for outcome in outcomes:
        if outcome.fate not in CAUGHT:
            print(f"{outcome.fate}: {outcome.mutant.told} {outcome.by}".rstrip())
    report = [
        {
            "mutant": o.mutant.told,
            "key": key(o.mutant),
            "fate": o.fate,
            "by": o.by,
            "tests": o.tests,
        }
        for o in outcomes
    ]
    (KEPT / "results.json").write_text(json.dumps(report, indent=1), "utf-8")
    return int(share(outcomes) < options.at_least)


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("--count", type=int, default=300, help="how many mutants to draw (300)")
    parser.add_argument("--seed", type=int, default=1, help="seed of the draw (1)")
    parser.add_argument(
        "--again",
        metavar="RESULTS",
        help="in place of a draw, those of a results.json: what was caught stands, the rest is run",
    )
    parser.add_argument(
        "--only", default="core", help="folder or file to change, such as core/parts (core)"
    )
    parser.add_argument(
        "--jobs", type=int, default=os.cpu_count() or 2, help="how many at a time (all cores)"
    )
    parser.add_argument(
        "--at-least", type=float, default=0.0, help="fail below this share caught [%%] (0)"
    )
    parser.add_argument(
        "--tests",
        nargs="+",
        default=["tests", "core/mechanism", "core/geometry"],
        help="folders and files of tests and examples (all)",
    )
    parser.add_argument(
        "--fresh", action="store_true", help="run the suite under coverage again in any case"
    )
    return parser.parse_args()


def all_mutants(only: str) -> list[Mutant]:
    """Return every mutant of a folder or file, in the order of files and places."""
    place = TOP / only
    files = sorted(place.rglob("*.py")) if place.is_dir() else [place]
    return [
        m for file in files for m in mutants(file.relative_to(TOP).as_posix(), file.read_bytes())
    ]


def sample(everything: list[Mutant], count: int, seed: int) -> list[Mutant]:
    """Draw `count` mutants: one from each room and the rest in proportion to the rooms' sizes; one to a line.

    Every mutant has its lot by itself, from the seed and what it is known by: a line that is written anew changes what
    is drawn in its place, and nothing else.
    """
    rooms: dict[str, list[Mutant]] = defaultdict(list)
    for mutant in everything:
        rooms[mutant.room].append(mutant)
    lots = {mutant: _lot(mutant, seed) for mutant in everything}
    drawn: list[Mutant] = []
    for room, share in shares({room: len(there) for room, there in rooms.items()}, count).items():
        lines: dict[tuple[str, int], Mutant] = {}
        for mutant in sorted(rooms[room], key=lots.__getitem__):
            if len(lines) < share and mutant.compiles((TOP / mutant.path).read_bytes()):
                lines.setdefault((mutant.path, mutant.line), mutant)
        drawn += lines.values()
    return sorted(drawn, key=lots.__getitem__)


def _lot(mutant: Mutant, seed: int) -> tuple[str, int]:
    told = json.dumps([seed, *key(mutant)])
    # of two that are alike to the letter, on lines alike, the upper one comes first
    return hashlib.sha256(told.encode()).hexdigest(), mutant.start


def shares(sizes: dict[str, int], count: int) -> dict[str, int]:
    """Share `count` among rooms: one for each, the largest first, the rest by size (largest remainder)."""
    largest = sorted(sizes, key=lambda room: (-sizes[room], room))[:count]
    rest, whole = count - len(largest), sum(sizes[room] for room in largest)
    exact = {room: rest * sizes[room] / whole for room in largest}
    given = {room: int(exact[room]) for room in largest}
    by_remainder = sorted(largest, key=lambda room: (given[room] - exact[room], room))
    for room in by_remainder[: rest - sum(given.values())]:
        given[room] += 1
    return {room: 1 + given[room] for room in sorted(largest)}


def key(mutant: Mutant) -> Key:
    """Return what a mutant is known by wherever its line stands: file, line's text, and the change."""
    return mutant.path, _lines(mutant.path)[mutant.line - 1].strip(), mutant.old, mutant.new


@cache
def _lines(path: str) -> list[str]:
    # as the parser counts lines: at their ends, and at no other sign that ends one in a text
    return (TOP / path).read_text("utf-8").split("\n")


def once_more(everything: list[Mutant], before: Collection[Key]) -> list[Mutant]:
    """Return the mutants of an earlier run that can still be made; of some that are alike to the letter, one."""
    alike = {key(mutant): mutant for mutant in reversed(everything)}
    return [alike[each] for each in before if each in alike]


def rows_of(path: str) -> dict[Key, dict[str, Any]]:
    """Return the rows of an earlier run by what their mutants are known by."""
    return {tuple(row["key"]): row for row in json.loads(Path(path).read_text("utf-8"))}


def equivalents() -> dict[Key, str]:
    """Return the mutants that change nothing anybody could see, with the reason."""
    if not EQUIVALENT.exists():
        return {}
    listed = tomllib.loads(EQUIVALENT.read_text("utf-8")).get("mutant", [])
    return {(row["path"], row["line"], row["old"], row["new"]): row["reason"] for row in listed}


def share(outcomes: list[Outcome]) -> float:
    """Return how many of the mutants that matter are caught [%]."""
    fates = Counter(outcome.fate for outcome in outcomes)
    caught = sum(fates[fate] for fate in CAUGHT)
    matter = len(outcomes) - fates["equivalent"]
    return 100 * caught / matter if matter else 100.0


def table(outcomes: list[Outcome]) -> str:
    """Return the table by room: caught (with those that the clock caught), survived, not covered, equivalent, share."""
    rooms: dict[str, list[Outcome]] = defaultdict(list)
    for outcome in outcomes:
        rooms[outcome.mutant.room].append(outcome)
    heads = [
        "room",
        "mutants",
        "caught",
        "survived",
        "not covered",
        "unsure",
        "equivalent",
        "share",
    ]
    rows = [f"| {' | '.join(heads)} |", "|---" * len(heads) + "|"]
    for room, there in [*sorted(rooms.items()), ("all", outcomes)]:
        fates = Counter(outcome.fate for outcome in there)
        numbers = (
            len(there), fates["caught"] + fates["hangs"], fates["survived"], fates["not covered"], fates["unsure"],
            fates["equivalent"],
        )  # fmt: skip
        rows.append(f"| {room} | {' | '.join(map(str, numbers))} | {int(share(there))} % |")
    return "\n".join(rows)


if __name__ == "__main__":
    sys.exit(main())
