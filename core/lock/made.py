"""What is made already: for each workpiece the dimensions it was made to, and what was measured on it.

In the project file each workpiece has its own tables, `[made.bolt.planned]` and, where something came out
otherwise, `[made.bolt.measured]`; their keys are the paths of a lock, `key.radius = 20.0`. Lengths
in mm, angles in degrees.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from core.lock.fields import FromFile, ToFile, flat, inner_table

Values = tuple[tuple[str, Any], ...]
_PLANNED, _MEASURED = "planned", "measured"


@dataclass(frozen=True)
class Made:
    """One workpiece that is made: `planned` is what it was made to, `measured` what it came to.

    Both hold pairs of a path and its value, in the order of the paths; `part` is the workpiece's key.
    """

    part: str
    planned: Values = ()
    measured: Values = ()

    def with_measured(self, path: str, value: object) -> "Made":
        """Return the workpiece with one more measured value [mm or degrees]; None takes it away."""
        kept = {p: v for p, v in self.measured if p != path}
        if value is not None:
            kept[path] = value
        return Made(self.part, self.planned, ordered(kept))


def ordered(values: Mapping[str, Any]) -> Values:
    """Return values by path as sorted pairs, the form in which they are kept."""
    return tuple(sorted(values.items(), key=lambda pair: pair[0]))


def read_made(tree: Mapping[str, Any], from_file: FromFile) -> tuple[Made, ...]:
    """Return what is made from the tables of a project file, sorted by workpiece.

    `from_file` returns a value as a lock may have it at a path; a path that it does not know (KeyError), and
    whatever else is no such table, is left out.

    Raises
    ------
    BadValueError
        For a value that may not stand at its path, or for `planned` or `measured` that is no table.
    """
    found = []
    for part, table in tree.items():
        if isinstance(table, Mapping):
            sides = [_read_side(table, part, side, from_file) for side in (_PLANNED, _MEASURED)]
            found.append(Made(part, *sides))
    return tuple(sorted(found, key=lambda made: made.part))


def write_made(made: tuple[Made, ...], to_file: ToFile) -> dict[str, Any]:
    """Return the tables of a project file for what is made, by workpiece; `to_file` writes a value of a path."""
    return {
        record.part: {
            side: {path: to_file(path, value) for path, value in values}
            for side, values in ((_PLANNED, record.planned), (_MEASURED, record.measured))
            if values
        }
        for record in made
    }


def _read_side(table: Mapping[str, Any], part: str, side: str, from_file: FromFile) -> Values:
    name = f"made.{part}.{side}"
    inside = inner_table(table, side, name)
    good: dict[str, Any] = {}
    for path, value in flat(inside):
        try:
            good[path] = from_file(path, value, f"{name}.{path}")
        except KeyError:
            continue  # a dimension of a newer program: the file keeps it
    return ordered(good)
