"""The lock: one frozen value that holds everything a project file says of it.

A lock is never changed: `with_value` returns a new one. Values are named by their path in the
project file, such as `key.radius` or `posts.a.across` (see `core.lock.paths`); `specs()` lists every path that all
locks have with its kind, limits and help, `paths(lock)` all that one lock has.
"""

import dataclasses
from collections.abc import Iterable, Mapping
from functools import cache
from types import MappingProxyType
from typing import Any, TypeVar

from core.errors import BadValueError
from core.lock.as_cut import AsCut
from core.lock.as_fixed import AsFixed
from core.lock.bit import Bit
from core.lock.closeness import Spread
from core.lock.detent import Detent
from core.lock.done import Tick, read_work, write_work
from core.lock.fields import Tables, choice, tables, words
from core.lock.filed import Reading, read_filed, write_filed
from core.lock.filing import Filing
from core.lock.friction import Friction
from core.lock.made import Made, read_made, write_made
from core.lock.paths import place_at, row_paths, sections_in, spec_in, specs_in
from core.lock.row import Rows
from core.lock.row_kinds import row_kinds
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
from core.lock.spec import Spec
from core.lock.spring import Spring
from core.lock.stops import Stops
from core.lock.walk import Mark, read_walk, write_walk

_T = TypeVar("_T")
FORMAT = 1
"""Version of the project file that this program writes, and the newest that it reads."""


@dataclasses.dataclass(frozen=True)
class Lock:
    """One lock. Each field below `notes` is a table of the project file, under the same name.

    `rows` alone stands for several tables: one for each kind of part that there can be several of.
    """

    title: str = words("Untitled padlock", "title", "What you call the lock.")
    units: str = choice(
        "mm",
        ("mm", "in"),
        "units",
        "Units that prompts, sheets and drawings show.",
        "Those on your rule.",
    )
    unlocks: str = choice(
        "right", ("right", "left"), "unlocks to the",
        "The way the bolt moves to unlock, seen from inside the back plate.",
        "Away from the shackle's end.",
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
    stops: Stops = Stops()
    friction: Friction = Friction()
    spread: Spread = Spread()
    filing: Filing = Filing()
    as_cut: AsCut = AsCut()
    bit: Bit = Bit()
    as_fixed: AsFixed = AsFixed()
    rows: Rows = dataclasses.field(default=Rows(), metadata={"rows": True})
    made: tuple[Made, ...] = tables(read_made, write_made, "What is made already")
    filed: tuple[Reading, ...] = tables(read_filed, write_filed, "Measured while it is being filed")
    work: tuple[Tick, ...] = tables(read_work, write_work, "What of the order of work is done")
    # no more than a remark of the maker's: whoever has seen what, it is the same lock
    walk: tuple[Mark, ...] = tables(
        read_walk, write_walk, "How far its maker has got", compare=False
    )

    def has(self, path: str) -> bool:
        """Say whether the lock has a value at `path`, or the row that it names."""
        place = place_at(path)
        if place.kind is None:
            return path in specs_in(Lock)
        here = any(named.name == place.row for named in self.rows.of(place.table))
        return here and (not place.key or place.key in place.kind.specs)

    def value(self, path: str) -> Any:
        """Return the value at `path` [mm, degrees or N]; KeyError for a path that this lock has not."""
        spec_of(path)
        place = place_at(path)
        if place.kind is None:
            return getattr(getattr(self, place.table) if place.table else self, place.key)
        for named in self.rows.of(place.table):
            if named.name == place.row:
                return getattr(named.row, place.key)
        raise KeyError(path)

    def with_value(self, path: str, value: object) -> "Lock":
        """Return a lock that differs in the value at `path` [mm, degrees or N] only.

        Raises
        ------
        KeyError
            For a path that this lock has not.
        BadValueError
            For a value that may not stand there.
        """
        good, place = spec_of(path).check(value, path), place_at(path)
        new = {place.key: good}
        if not place.table:
            return _copied(self, new)
        if place.kind is None:
            section = _copied(getattr(self, place.table), new)
            return _copied(self, {place.table: section})
        if not self.has(path):
            raise KeyError(path)
        rows = tuple(
            dataclasses.replace(named, row=dataclasses.replace(named.row, **new))
            if named.name == place.row
            else named
            for named in self.rows.of(place.table)
        )
        return dataclasses.replace(self, rows=self.rows.with_table(place.table, rows))


def _copied(value: _T, new: Mapping[str, Any]) -> _T:
    """Return a copy of a frozen value, which is nothing but its fields, with `new` ones.

    What `dataclasses.replace` does, but that one asks for every field in turn, twice: half of what it takes to look at
    another lock, and windows look at a thousand.
    """
    copy = object.__new__(type(value))
    vars(copy).update(vars(value), **new)
    return copy


def sections() -> Mapping[str, Any]:
    """Return the sections that every lock has, by name, each with its default value."""
    whole = sections_in(Lock).items()
    return {name: usual for name, usual in whole if not getattr(usual, "metal_alone", False)}


@cache
def specs() -> Mapping[str, Spec]:
    """Return every path that all locks have with its `Spec`, in the order of the project file."""
    found = {p: s for p, s in specs_in(Lock).items() if p not in of_metal_alone()}
    return MappingProxyType(found)


@cache
def of_metal_alone() -> frozenset[str]:
    """Return the paths in which a plan has no say: they are measured on parts that are made, and those parts' own."""
    return _in_sections_marked("metal_alone")


@cache
def of_paper_alone() -> frozenset[str]:
    """Return the paths that are asked of the parts and are no part: no metal follows one that is set otherwise."""
    return _in_sections_marked("on_paper")


def _in_sections_marked(mark: str) -> frozenset[str]:
    marked = {name for name, usual in sections_in(Lock).items() if getattr(usual, mark, False)}
    return frozenset(path for path in specs_in(Lock) if place_at(path).table in marked)


def paths(lock: Lock) -> tuple[str, ...]:
    """Return every path that a lock has, in the order of its file: what all locks have, then its rows."""
    return (*specs(), *expanded(lock, row_kinds()))


def expanded(lock: Lock, names: Iterable[str]) -> tuple[str, ...]:
    """Return the paths that `names` stand for in a lock: a path for itself, a table for all of its rows."""
    found: list[str] = []
    for name in names:
        if name in row_kinds():
            found += row_paths(name, (named.name for named in lock.rows.of(name)))
        else:
            found.append(name)
    return tuple(found)


@cache
def table_fields() -> Mapping[str, Tables]:
    """Return the fields of a lock that are tables with keys of their own, by name."""
    fields = dataclasses.fields(Lock)
    return MappingProxyType(
        {f.name: f.metadata["tables"] for f in fields if "tables" in f.metadata}
    )


def to_file_at(path: str, value: Any) -> Any:
    """Return the value that a lock has at `path` [mm, degrees or N] as a project file has it."""
    return spec_of(path).to_file(value)


def from_file_at(path: str, value: object, name: str) -> Any:
    """Return a file's `value` [mm, degrees or N] as a lock may have it at `path`; `name` stands in a refusal.

    Raises
    ------
    KeyError
        For a path that no lock has.
    BadValueError
        For a value that may not stand there.
    """
    return spec_of(path).from_file(value, name)


def spec_of(path: str) -> Spec:
    """Return the `Spec` of one path; KeyError for a path that no lock has."""
    return spec_in(Lock, path)


def checked(lock: Lock) -> Lock:
    """Return `lock` with every value checked against its limits; for locks built in code.

    Raises
    ------
    BadValueError
        Names the first value that may not stand.
    """
    if not isinstance(lock, Lock):
        raise BadValueError(f"{lock!r} is no lock")
    for table, rows in lock.rows.tables:
        if table not in row_kinds() or not rows:
            raise BadValueError(f"{table} is no table of rows, or has none")
        names = [row_kinds()[table].check_name(named.name) for named in rows]
        if len(set(names)) < len(names):
            raise BadValueError(f"two of the {row_kinds()[table].plural} have one name")
        if not all(type(named.row) is row_kinds()[table].row for named in rows):
            raise BadValueError(f"{table} holds what is no {row_kinds()[table].singular}")
    for path in paths(lock):
        lock = lock.with_value(path, lock.value(path))
    for name, field in table_fields().items():
        now = getattr(lock, name)
        try:
            back = field.read(field.write(now, to_file_at), from_file_at)
        except KeyError:  # it names a path that no lock has
            back = None
        if back != now:
            raise BadValueError(f"{name} does not hold what a file could give back")
    return lock
