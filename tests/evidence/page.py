"""The page of evidence: two tables for DEVELOPERS.md, and what is measured for them."""

import fnmatch
import math
import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from tests.evidence import (
    by_detent,
    by_forces,
    by_guides,
    by_iteration,
    by_made,
    by_places,
    by_play,
    by_shapes,
    by_stops,
)
from tests.evidence.by_guides import astray, is_astray
from tests.evidence.cases import Case, Judge, leaves, locks, notched
from tests.stopped_locks import chosen

PAGE = Path(__file__).parents[2] / "DEVELOPERS.md"
BEGIN = "<!-- evidence: written by the slow tests, with BOLTWRIGHT_APPROVE=1 -->"
END = "<!-- end of evidence -->"
LOCKS = 24
NOTCHED = 8
STOPPED = 6
ASTRAY = 6
SEEN = 1e-9
"""Deviations below this are of the last digits, and differ from one processor to another: told as below it."""
JUDGES: tuple[Judge, ...] = tuple(
    judge
    for module in (
        by_iteration,
        by_shapes,
        by_forces,
        by_detent,
        by_stops,
        by_places,
        by_play,
        by_made,
        by_guides,
    )
    for judge in module.JUDGES
)
BY_CONTRACT = ("format",)
"""Numbers that nothing measures: the version of the report."""
UNITS = (
    ("mm2", ("*area", "turn.overlap*", "stops.*.sheared")),
    ("degrees", (
        "*angle*", "*_at", "statics.drive_arc", "centreline.lean", "felt.*.snaps", "spring.bend", "detent.ramp*",
        "*detent.ramp.*", "held.backs_out*", "*play.tilt",
    )),
    ("N mm", ("*torque*", "felt.*.at")),
    ("N/mm", ("spring.rate",)),
    ("g", ("held.mass",)),
    ("N", (
        "*force*", "*reaction*", "statics.drag", "detent.pull_home*", "detent.leaves*", "detent.holds*", "held.push*",
        "held.pulled_by", "held.front", "held.rear", "held.holds*", "*detent.push.*",
    )),
    ("MPa", ("*pressure", "spring.stress", "spring.yield")),
    ("", ("*friction*", "*ratio", "*margin", "findings*", "held.shake*")),
)  # fmt: skip
"""The unit of a deviation by key, the first that fits; mm for all others."""
OF_WHAT_STANDS_THERE = {
    "statics.peak_torque_at": "N mm",
    "turn.least_gap_at": "mm",
    "turn.overlap_at": "mm2",
    "windows.tooth.pickup_angle.*": "mm",
}
"""Keys where not the place but what stands there is held."""


@dataclass(frozen=True)
class Seen:
    """What was seen of one pattern of keys: the largest deviation, and of how many cases."""

    largest: float
    cases: int


def judge_of(key: str) -> Judge | None:
    """Return the judge of a key of the report."""
    return next((j for j in JUDGES if pattern_of(key, j) is not None), None)


def pattern_of(key: str, judge: Judge) -> str | None:
    """Return the pattern by which a judge has a key."""
    plain = key.replace("[]", "()")
    return next((p for p in judge.keys if fnmatch.fnmatchcase(plain, p.replace("[]", "()"))), None)


def measured(cases: Iterable[Case]) -> dict[str, Seen]:
    """Return by key what all judges find; a key that differs in names of rows alone is one."""
    found: dict[str, list[float]] = {}
    for case in cases:
        for judge in JUDGES:
            if judge not in judges_for(case):
                continue
            for key, said, wanted in judge.found(case):
                found.setdefault(plain(key), []).append(abs(float(said) - float(wanted)))
    return {key: Seen(max(all_), len(all_)) for key, all_ in sorted(found.items())}


def judges_for(case: Case) -> tuple[Judge, ...]:
    """Return who judges a lock: made ones by metal or guides, those with notches or stops by these, others by all."""
    if is_astray(case.lock):
        return by_guides.JUDGES
    if case.lock.made:
        return by_made.JUDGES
    if case.lock.stops.locked != "as found":
        return by_stops.JUDGES
    if case.lock.detent.kind == "notches":
        return by_detent.JUDGES
    others = (*by_made.JUDGES, *by_guides.JUDGES, *by_detent.JUDGES, *by_stops.JUDGES)
    return tuple(judge for judge in JUDGES if judge not in others)


def plain(key: str) -> str:
    """Return a key with the names of rows, strokes, conditions and ends left open."""
    parts = key.split(".")
    if parts[:2] == ["windows", "posts"]:
        parts[2] = "*"
    for k, part in enumerate(parts):
        if part in ("unlocking", "locking", "locked", "unlocked", "greased", "clean", "dry"):
            parts[k] = "*"
    if parts[0] in ("motion", "statics") and parts[-1] in ("low", "high", "low[]", "high[]"):
        parts[-1] = "*"
    whole = ".".join(parts)
    if parts[0] in ("detent", "held") and parts[-1] in ("low", "high"):
        return ".".join((*parts[:-1], "*"))
    for name in ("torque", "flank_force", "front_reaction", "rear_reaction"):
        if whole.startswith(f"motion.*.{name}"):
            return f"motion.*.{name}.*"
    if whole.startswith("bolt.contour[].line"):
        return "bolt.contour[].line"
    return whole


def numbers_of(cases: Iterable[Case]) -> set[str]:
    """Return the keys of all numbers that these reports have."""
    return {plain(key) for case in cases for key, _ in leaves(case.said)} - set(BY_CONTRACT)


def shown(value: float) -> str:
    """Return a deviation rounded up to 1, 2 or 5 and noughts."""
    if value < SEEN:
        return f"below {SEEN:.0e}"
    power = 10.0 ** math.floor(math.log10(value))
    return f"{next(m for m in (1, 2, 5, 10) if m * power >= value * (1 - 1e-12)) * power:.0e}"


def unit(key: str) -> str:
    """Return the unit of a key's deviation."""
    for pattern, name in OF_WHAT_STANDS_THERE.items():
        if fnmatch.fnmatchcase(key, pattern):
            return name
    fits = (name for name, patterns in UNITS if any(fnmatch.fnmatchcase(key, p) for p in patterns))
    return next(fits, "mm")


def checks() -> list[str]:
    """Return the table of the checks."""
    rows = ["| check | what is done | source |", "|---|---|---|"]
    return rows + [f"| {judge.name} | {judge.check} | {judge.source} |" for judge in JUDGES]


def rows(seen: Mapping[str, Seen]) -> list[str]:
    """Return the table of the numbers."""
    lines = ["| number of the report | check | largest deviation | cases |", "|---|---|---|---|"]
    for key, found in seen.items():
        judge = judge_of(key)
        assert judge is not None, key
        told = f"{shown(found.largest)} {unit(key)}".strip()
        lines.append(f"| `{key}` | {judge.name} | {told} | {found.cases} |")
    return lines


def pasted() -> list[str]:
    """Return the lines of the page as DEVELOPERS.md has it."""
    return PAGE.read_text("utf-8").partition(BEGIN)[2].partition(END)[0].strip().splitlines()


def as_pasted(lines: list[str]) -> list[str]:
    """Return the page as DEVELOPERS.md has it, or, where changes are to be approved, once `lines` stand there."""
    if os.environ.get("BOLTWRIGHT_APPROVE"):
        head, _, rest = PAGE.read_text("utf-8").partition(BEGIN)
        new = "\n".join([head + BEGIN, *lines, END + rest.partition(END)[2]])
        PAGE.write_text(new, "utf-8", newline="\n")
    return pasted()


def whole() -> list[str]:
    """Return the page, measured anew on all its locks."""
    return [
        *checks(),
        "",
        *rows(
            measured(
                Case(lock)
                for lock in (
                    *locks(LOCKS),
                    *notched(NOTCHED),
                    *chosen(STOPPED),
                    *astray(ASTRAY),
                )
            )
        ),
    ]
