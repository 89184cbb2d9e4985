"""Field declarations: a dataclass field that knows its unit, its limits and its help.

Everything that reads, writes, prompts for or prints a value of the lock is driven by the
`Spec` that hangs on its field, so that a new value is declared once, in its dataclass.
"""

import dataclasses
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from core.errors import BadValueError
from core.lock.kinds import CHOICE, POINTS, TEXT
from core.lock.numbers import ACROSS, ANGLE, COUNT, FORCE, LARGEST, LENGTH, POSITION
from core.lock.spec import Spec
from core.text import shown

SMALLEST = 0.01
"""Smallest size [mm] of anything that is cut."""
STRONGEST = 1000.0
"""Largest force [N] that the program takes: more than a hand pushes with."""
MOST = 1000
"""Largest count of anything."""
SOURCE_NONE = "common practice, no source"


class Needed:
    """Stands in the place of a default for what every row must have in the file."""


NEEDED = Needed()

FromFile = Callable[[str, object, str], Any]
"""Takes a path, a value of a file and its name in a message; returns it as a lock may have it at that path.

Raises KeyError for a path that no lock has, and BadValueError for a value that may not stand there.
"""
ToFile = Callable[[str, Any], Any]
"""Takes a path and a value that a lock has there; returns it as a file has it."""


@dataclasses.dataclass(frozen=True)
class Tables:
    """A field of a lock that is no single value but tables with keys of their own, empty by default.

    `read` makes the frozen value from the tables of a file and leaves out what it does not know; `write`
    turns the value back into nested tables; `about` heads them in the file. Such a field has no
    path and no prompt.
    """

    read: Callable[[Mapping[str, Any], FromFile], Any]
    write: Callable[[Any, ToFile], Mapping[str, Any]]
    about: str


def tables(
    read: Callable[[Mapping[str, Any], FromFile], Any],
    write: Callable[[Any, ToFile], Mapping[str, Any]],
    about: str,
    *,
    compare: bool = True,
) -> Any:
    """Declare a field of the lock that stands in the file as tables of its own, `()` where none do.

    Without `compare` two locks that differ in it alone are one lock.
    """
    kept = {"tables": Tables(read, write, about)}
    return dataclasses.field(default=(), compare=compare, metadata=kept)


def flat(tree: Mapping[str, Any], above: str = "") -> Iterator[tuple[str, Any]]:
    """Yield every leaf of nested tables with its whole name."""
    for key, value in tree.items():
        name = f"{above}.{key}" if above else key
        if isinstance(value, Mapping):
            yield from flat(value, name)
        else:
            yield name, value


def inner_table(table: object, key: str, name: str) -> Mapping[str, Any]:
    """Return the table at `key` of a table of a file, an empty one where there is none; `name` is its whole name.

    Raises
    ------
    BadValueError
        For something else than a table there.
    """
    inside = table.get(key, {}) if isinstance(table, Mapping) else {}
    if isinstance(inside, Mapping):
        return inside
    raise BadValueError(
        f"{name} = {shown(inside)} is not allowed: it takes a table, written [{name}]"
    )


def inner_leaves(
    tree: Mapping[str, Any], field: str, key: str
) -> Iterator[tuple[str, str, Any, str]]:
    """Yield part, name and value of every leaf under `key` of each part's table of a `field`, and its whole name.

    What a newer program nests deeper is left out: the file keeps it. Raises as `inner_table` does.
    """
    for part, table in tree.items():
        whole = f"{field}.{part}.{key}"
        for leaf, value in inner_table(table, key, whole).items():
            if not isinstance(value, Mapping) and "." not in leaf:
                yield part, leaf, value, f"{whole}.{leaf}"


def inner_tables(key: str, leaves: Iterable[tuple[str, str, Any]]) -> dict[str, Any]:
    """Return the tables of a field from part, name and value of its leaves, all of them under `key`."""
    tables: dict[str, Any] = {}
    for part, leaf, value in leaves:
        tables.setdefault(part, {key: {}})[key][leaf] = value
    return tables


def leaf_keys(name: str) -> list[str]:
    """Return the keys that the whole name of a leaf was put together from, as far as they hold no dot."""
    return name.split(".")


def declared(default: Any, spec: Spec) -> Any:  # Any: dataclasses.field is typed by its default
    """Declare a value of any kind; `NEEDED` for no default, in a row only."""
    if default is NEEDED:
        return dataclasses.field(metadata={"spec": spec})
    return dataclasses.field(default=default, metadata={"spec": spec})


def length(
    default: float | Needed,
    label: str,
    what: str,
    measure: str = "",
    usual: str = "",
    *,
    zero: bool = False,
) -> Any:
    """Declare a size [mm]: at least `SMALLEST`, or with `zero` also nothing at all."""
    low = 0.0 if zero else SMALLEST
    return declared(default, Spec(LENGTH, label, what, measure, usual, low, LARGEST))


def position(
    default: float | Needed, label: str, what: str, measure: str = "", usual: str = ""
) -> Any:
    """Declare a signed distance [mm]: right or up is positive."""
    return declared(default, Spec(POSITION, label, what, measure, usual, -LARGEST, LARGEST))


def sideways(
    default: float | Needed, label: str, what: str, measure: str = "", usual: str = ""
) -> Any:
    """Declare a distance [mm] to the right, negative to the left, seen from inside the back plate."""
    return declared(default, Spec(ACROSS, label, what, measure, usual, -LARGEST, LARGEST))


def angle(
    default: float | Needed, label: str, what: str, high: float, measure: str = "", usual: str = ""
) -> Any:
    """Declare an angle [degrees] from 0 up to `high`."""
    return declared(default, Spec(ANGLE, label, what, measure, usual, 0.0, high))


def force(default: float, label: str, what: str, measure: str = "", usual: str = "") -> Any:
    """Declare a force [N] from nothing up to `STRONGEST`."""
    return declared(default, Spec(FORCE, label, what, measure, usual, 0.0, STRONGEST))


def count(
    default: int, label: str, what: str, measure: str = "", usual: str = "", *, least: int = 0
) -> Any:
    """Declare a whole number from `least` up to `MOST`."""
    return declared(default, Spec(COUNT, label, what, measure, usual, float(least), float(MOST)))


def choice(default: str, choices: tuple[str, ...], label: str, what: str, usual: str = "") -> Any:
    """Declare a choice between words."""
    return declared(default, Spec(CHOICE, label, what, "", usual, choices=choices))


def words(default: str, label: str, what: str) -> Any:
    """Declare free text, kept as it was typed and shown as plain text."""
    return declared(default, Spec(TEXT, label, what))


def points(label: str, what: str, measure: str = "", usual: str = "") -> Any:
    """Declare a list of points `[x, y]` or `[x, y, bulge]` [mm, mm, tan(angle / 4)]."""
    return declared((), Spec(POINTS, label, what, measure, usual))
