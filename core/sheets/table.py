"""A table as every writer prints it."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Table:
    """A table of texts: `widths` are shares of the width, `ticks` puts a box to tick before each row."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()
    widths: tuple[float, ...] = ()
    ticks: bool = False
