"""True printing: what a printer makes of a bar of known length, and the correction that follows from it.

Most printers are out by some tenths of a percent, and not by as much across the paper as along it, the way that it is
fed. What was measured on printed bars is kept for each printer in a file of the maker's own, apart from any lock, for
it belongs to the printer.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from core.errors import BadEntryError, SaveError
from core.files.safe_save import replace_file
from core.lock.numbers import is_number
from core.text import plain, shown
from core.units import INCH, parse_length, show_length, unit_typed

BARS_MM = (50.0, 150.0)
"""Lengths [mm] of the bars on every sheet, and on the test page."""
BARS_INCH = (2 * float(INCH), 6 * float(INCH))
"""The same in inch sizes [mm]."""
FARTHEST = 0.03
"""Share by which a printed bar may be out; more is a page that was fitted to the paper."""
LONGEST_NAME = 30
FILE = "printers.toml"
LARGEST_FILE = 100_000
"""Bytes of the longest file that is read."""


@dataclass(frozen=True)
class Printer:
    """A printer: its name, and what it makes of a length of 1 across the paper and along it."""

    name: str
    across: float = 1.0
    along: float = 1.0

    @property
    def true(self) -> bool:
        """Whether nothing has to be put right."""
        return self.across == self.along == 1.0

    @property
    def words(self) -> str:
        """What was done to a sheet that is printed with it, for the sheet itself."""
        return (
            f"Corrected for the printer {self.name}: drawn {_percent(self.across)} across the paper and "
            f"{_percent(self.along)} along it."
        )


def _percent(measured: float) -> str:
    more = 100 / measured - 100
    return (
        f"{abs(more):.2f} % {'longer' if more > 0 else 'shorter'}"
        if abs(more) >= 0.005
        else "as it is"
    )


def measured(name: str, across: str, along: str, units: str = "mm") -> Printer:
    """Return the printer whose bars measure so, as typed; without a unit in `units`, "mm" or "in".

    Raises
    ------
    BadEntryError
        For a name that is none, and a bar that none of ours can be.
    """
    return Printer(_named(name), _share(across, units), _share(along, units))


def _named(name: str) -> str:
    shown_name = plain(name).strip()
    if not 0 < len(shown_name) <= LONGEST_NAME:
        raise BadEntryError(f"A printer needs a name of 1 to {LONGEST_NAME} letters")
    return shown_name


def _share(text: str, units: str) -> float:
    length, unit = parse_length(text, units), unit_typed(text, units)
    bars = BARS_INCH if unit == "in" else BARS_MM
    length_shown = show_length(length, unit)
    ours = [bar for bar in bars if abs(length / bar - 1) < 0.5]
    if not ours:
        names = [" and ".join(show_length(bar, of) for bar in all_bars)
                 for of, all_bars in (("mm", BARS_MM), ("in", BARS_INCH))]  # fmt: skip
        raise BadEntryError(
            f"No bar of ours can measure {length_shown}: those printed are {names[0]} long, or {names[1]}"
        )
    (bar,) = ours
    share = length / bar
    if abs(share - 1) > FARTHEST + 1e-9:
        raise BadEntryError(
            f"A bar of {show_length(bar, unit)} that measures {length_shown} is out by "
            f"{100 * abs(share - 1):.1f} %, more than the {100 * FARTHEST:.0f} % that can be put right: the page was "
            "fitted to the paper; print it at 100 % and measure again"
        )
    return share


class Printers:
    """The printers that were measured, in a file of the maker's own."""

    def __init__(self, path: Path | None = None) -> None:
        """Read the file, by default the maker's; one that is not there holds no printer.

        `note` tells of a file that cannot be understood: it is left alone, and nothing is kept in it.
        """
        self.path = path if path is not None else own_file()
        self.note = ""
        self._kept: dict[str, dict[str, Any]] = self._read()

    def _read(self) -> dict[str, dict[str, Any]]:
        try:
            text = self.path.read_bytes()[:LARGEST_FILE].decode()
            rows = tomllib.loads(text).get("printer", {})
            return {_named(name): _sound(row) for name, row in rows.items()}
        except (FileNotFoundError, NotADirectoryError):
            return {}
        except (OSError, ValueError, AttributeError, RecursionError) as error:
            why = error.strerror if isinstance(error, OSError) else "it is not as it was written"
            self.note = (
                f"{plain(str(self.path))}, what was measured of printers, is of no use: {why}"
            )
            return {}

    @property
    def names(self) -> tuple[str, ...]:
        """The printers' names."""
        return tuple(sorted(self._kept))

    def printer(self, name: str) -> Printer:
        """Return a printer by its name.

        Raises
        ------
        BadEntryError
            For one that was not measured; says which were.
        """
        if self.note:
            raise BadEntryError(self.note)
        if name not in self._kept:
            known = ", ".join(self.names) or "none so far"
            raise BadEntryError(
                f"No printer called {shown(plain(name))} was measured; measured are: {known}"
            )
        row = self._kept[name]
        return Printer(name, row["across"], row["along"])

    def keep(self, printer: Printer, day: date) -> None:
        """Write what was measured of a printer, in place of what was before.

        Raises
        ------
        SaveError
            Where it cannot be written, or holds what cannot be understood.
        """
        import tomlkit

        if self.note:
            raise SaveError(f"{self.note}; mend it or take it away, then measure again")

        row = {"across": printer.across, "along": printer.along, "measured": day}
        kept = {**self._kept, printer.name: row}
        document = tomlkit.document()
        document.add(
            tomlkit.comment("What printers make of a length of 1, as boltwright was told.")
        )
        document["printer"] = dict(sorted(kept.items()))
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            replace_file(self.path, tomlkit.dumps(document).encode(), None)
        except OSError as error:
            raise SaveError(
                f"The printer was not kept in {plain(str(self.path))}: {error.strerror or error}"
            ) from error
        self._kept = kept


def own_file() -> Path:
    """Return the maker's file of printers, where the system keeps the settings of programs."""
    import platformdirs

    return platformdirs.user_config_path("boltwright") / FILE


def _sound(row: Mapping[str, Any]) -> dict[str, Any]:
    shares = {way: row[way] for way in ("across", "along") if way in row}
    if len(shares) < 2 or not all(
        is_number(s) and abs(s - 1) <= FARTHEST + 1e-9 for s in shares.values()
    ):
        raise ValueError("no share")
    return {**shares, "measured": row.get("measured")} if "measured" in row else dict(shares)
