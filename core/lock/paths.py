"""The one grammar of paths, by which every value of a lock is named.

`title` is a value of the lock itself, `key.radius` one of a section, and `posts.a.across` one of a row, with
the row's name in the middle. `posts.a` names the whole row. Nobody else takes a path apart.
"""

import dataclasses
from collections.abc import Collection, Iterable, Iterator, Mapping
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Any

from core.lock.row import RowKind, is_bare
from core.lock.row_kinds import row_kinds
from core.lock.spec import Spec


@dataclasses.dataclass(frozen=True)
class Place:
    """A path taken apart: `table` of the file, empty at the top; `row`, empty in a section; `key`, empty for a row."""

    table: str = ""
    row: str = ""
    key: str = ""

    @property
    def path(self) -> str:
        """The path."""
        return ".".join(part for part in (self.table, self.row, self.key) if part)

    @property
    def names(self) -> tuple[str, ...]:
        """The names under which it stands in the file, from the outermost table inwards."""
        return tuple(part for part in (self.table, self.row, self.key) if part)

    @property
    def kind(self) -> RowKind | None:
        """The kind of its row; None for a value that every lock has."""
        return row_kinds()[self.table] if self.row else None

    @property
    def holder(self) -> str:
        """The path of the row or section that it is in, or that it names; empty at the top."""
        return Place(self.table, self.row).path

    def at(self, key: str) -> str:
        """Return the path of another value beside this one."""
        return Place(self.table, self.row, key).path


@lru_cache(maxsize=4096)
def place_at(path: str) -> Place:
    """Take a path apart; KeyError for one that is no path. Whether a lock has it is not asked."""
    first, *rest = path.split(".")
    if first in row_kinds():
        if not (1 <= len(rest) <= 2 and is_bare(rest[0])):
            raise KeyError(path)
        return Place(first, rest[0], rest[1] if len(rest) == 2 else "")
    if len(rest) > 1 or not all((first, *rest)):
        raise KeyError(path)
    return Place(first, "", rest[0]) if rest else Place(key=first)


def row_path(table: str, name: str, key: str = "") -> str:
    """Return the path of a row, or of its value under `key`."""
    return Place(table, name, key).path


@cache
def sections_in(whole: type) -> Mapping[str, Any]:
    """Return the sections of a dataclass by name, each with its default value."""
    fields = dataclasses.fields(whole)
    return MappingProxyType({f.name: f.default for f in fields if not f.metadata})


@cache
def specs_in(whole: type) -> Mapping[str, Spec]:
    """Return every path that all values of a dataclass have, in the order of the project file."""
    found: dict[str, Spec] = {}
    for field in dataclasses.fields(whole):
        if "spec" in field.metadata:
            found[field.name] = field.metadata["spec"]
        elif field.name in sections_in(whole):
            for inner in dataclasses.fields(field.default):  # type: ignore[arg-type]
                found[Place(field.name, "", inner.name).path] = inner.metadata["spec"]
    return MappingProxyType(found)


def spec_in(whole: type, path: str) -> Spec:
    """Return what may stand at a path; in a row the label names the row. KeyError for no path."""
    found = specs_in(whole).get(path)
    if found is not None:
        return found
    place = place_at(path)
    if place.kind is None:
        raise KeyError(path)
    spec = place.kind.specs[place.key]
    return dataclasses.replace(spec, label=f"{place.kind.title(place.row)} {spec.label}")


def short_label(spec: Spec, path: str, width: int) -> str:
    """Return the label at a path in `width` columns: its last words give way, but of a row's long name the end."""
    place = place_at(path)
    over = len(spec.label) - width
    if over <= 0:
        return spec.label
    if place.kind is None:
        return spec.label[: width + 1].rpartition(" ")[0] or spec.label[:width]
    name = place.row[: max(len(place.row) - over - 1, 1)]
    return spec.label.replace(f" {place.row} ", f" {name}… ", 1)[:width]


def row_title(path: str) -> str:
    """Return what the row of a path is called, such as `post a`; empty where it is in none."""
    place = place_at(path)
    return "" if place.kind is None else place.kind.title(place.row)


def label_in_row(path: str) -> str:
    """Return the label of a row's value by itself, where what stands above it names the row already."""
    place = place_at(path)
    if place.kind is None:
        raise KeyError(path)
    return place.kind.specs[place.key].label


def row_paths(table: str, names: Iterable[str]) -> Iterator[str]:
    """Yield the paths of all values of the rows called `names`, in order."""
    for name in names:
        for key in row_kinds()[table].specs:
            yield row_path(table, name, key)


def covers(names: Collection[str], path: str) -> bool:
    """Say whether a path is among `names`, or in a row of a table that is among them."""
    place = place_at(path)
    return path in names or (place.row != "" and place.table in names)
