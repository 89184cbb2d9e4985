"""What is made already: for each workpiece the dimensions it was made to, and what was measured on it.

In the project file each workpiece has its own tables, `[made.bolt.planned]` and, where something came out
otherwise, `[made.bolt.measured]`; their keys are the paths of a lock, `key.radius = 20.0`. Lengths
in mm, angles in degrees. `[made.bolt.dated]` and `[made.bolt.noted]` have the day and a line of notes of a measurement.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from core.lock.fields import FromFile, ToFile, flat, inner_table
from core.text import plain

Values = tuple[tuple[str, Any], ...]
_PLANNED, _MEASURED, _DATED, _NOTED = "planned", "measured", "dated", "noted"
LONGEST_NOTE = 200
"""Characters that a line of notes has at most."""


@dataclass(frozen=True)
class Made:
    """One workpiece that is made: `planned` is what it was made to, `measured` what it came to.

    Both hold pairs of a path and its value, in the order of the paths; `part` is the workpiece's key. `dated` are the
    days on which what is measured was, as `2026-05-31`, and `noted` a line of notes beside it.
    """

    part: str
    planned: Values = ()
    measured: Values = ()
    dated: Values = ()
    noted: Values = ()

    def with_measured(self, path: str, value: object, day: str = "") -> "Made":
        """Return the workpiece with one more measured value [mm or degrees], of a `day`; None takes it away.

        A note stays as long as there is a value.
        """
        return replace(
            self,
            measured=_with(self.measured, path, value),
            dated=_with(self.dated, path, day if value is not None and day else None),
            noted=self.noted if value is not None else _with(self.noted, path, None),
        )

    def with_note(self, path: str, note: str) -> "Made":
        """Return the workpiece with a line of notes beside what is measured at a path; an empty one takes it away."""
        line = plain(note).strip()[:LONGEST_NOTE]
        known = path in dict(self.measured)
        return replace(self, noted=_with(self.noted, path, line if line and known else None))

    def told(self, path: str) -> str:
        """Return the day and the note of what is measured at a path, e.g. `2026-05-31: cold`; nothing without any."""
        known = (dict(self.dated).get(path, ""), dict(self.noted).get(path, ""))
        return ": ".join(str(one) for one in known if one)


def _with(values: Values, path: str, value: object) -> Values:
    """Return pairs with another value at a path; None takes it away."""
    kept = {p: v for p, v in values if p != path}
    return ordered(kept if value is None else {**kept, path: value})


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
        For a value that may not stand at its path, or for `planned`, `measured`, `dated` or `noted` that is no table.
    """
    found = []
    for part, table in tree.items():
        if isinstance(table, Mapping):
            sides = [_read_side(table, part, side, from_file) for side in (_PLANNED, _MEASURED)]
            known = dict(sides[1])
            dated, noted = (
                ordered({p: v for p, v in _read_words(table, part, side, take) if p in known and v})
                for side, take in ((_DATED, _day), (_NOTED, _line))
            )
            found.append(Made(part, sides[0], sides[1], dated, noted))
    return tuple(sorted(found, key=lambda made: made.part))


def write_made(made: tuple[Made, ...], to_file: ToFile) -> dict[str, Any]:
    """Return the tables of a project file for what is made, by workpiece; `to_file` writes a value of a path."""
    return {
        record.part: {
            side: {path: to_file(path, value) for path, value in values}
            for side, values in ((_PLANNED, record.planned), (_MEASURED, record.measured))
            if values
        }
        | {
            side: dict(values)
            for side, values in ((_DATED, record.dated), (_NOTED, record.noted))
            if values
        }
        for record in made
    }


def _read_words(
    table: Mapping[str, Any], part: str, side: str, take: Callable[[object], str]
) -> Iterator[tuple[str, str]]:
    """Yield the words of a side by path; what is none is left out: the file keeps it."""
    for path, value in flat(inner_table(table, side, f"made.{part}.{side}")):
        yield path, take(value)


def _day(value: object) -> str:
    """Return a day of a file, written as a date or as text, as `2026-05-31`; nothing for none."""
    if isinstance(value, date) and not isinstance(value, datetime):
        return value.isoformat()
    try:
        return date.fromisoformat(value.strip()).isoformat() if isinstance(value, str) else ""
    except ValueError:
        return ""


def _line(value: object) -> str:
    return plain(value).strip()[:LONGEST_NOTE] if isinstance(value, str) else ""


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
