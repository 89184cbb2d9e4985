"""A table as every writer prints it."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Table:
    """A table of texts: `widths` are shares of the width, `ticks` puts a box to tick before each row.

    The boxes are numbered from `first` on; those of the rows `done`, counted from 0, are ticked.
    """

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()
    widths: tuple[float, ...] = ()
    ticks: bool = False
    first: int = 1
    done: frozenset[int] = frozenset()
