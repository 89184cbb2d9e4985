"""The tables `[rivets.NAME]`, and a kind of value that only they have: a thread, kept as its two numbers."""

import re
from dataclasses import dataclass
from typing import Any

from core.lock.fields import NEEDED, choice, count, declared, length, position
from core.lock.row import RowKind
from core.lock.spec import Kind, Spec

SERIES = ((3.0, 0.5), (4.0, 0.7), (5.0, 0.8))


class Thread(Kind):
    """A screw thread, diameter and pitch [mm]; written M4x0.7."""

    name = "thread"

    def allowed(self, spec: Spec) -> str:
        return "a thread such as M4x0.7"

    def check(self, spec: Spec, value: object, name: str) -> Any:
        if value not in SERIES:
            raise self.refused(spec, value, name)
        return value

    def from_file(self, spec: Spec, value: object, name: str) -> Any:
        return self.check(spec, _parsed(value) or value, name)

    def to_file(self, value: Any) -> Any:
        return self.shown(value, "mm")

    def shown(self, value: Any, units: str) -> str:
        return "M{:g}x{:g}".format(*value)

    def read(self, spec: Spec, text: str, units: str) -> object:
        found = _parsed(text.strip())
        if found is None:
            raise self.refused_entry(spec, text)
        return found

    def nudged(self, spec: Spec, value: object, units: str, steps: int) -> Any:
        return SERIES[min(max(SERIES.index(value) + steps, 0), len(SERIES) - 1)]

    def hint(self, spec: Spec, units: str) -> str:
        return "M, the diameter, x, the pitch."

    def blank(self, spec: Spec) -> Any:
        return SERIES[1]


def _parsed(text: object) -> object:
    found = re.fullmatch(r"[Mm]([0-9.]+)[xX]([0-9.]+)", text) if isinstance(text, str) else None
    return tuple(float(part) for part in found.groups()) if found else None


@dataclass(frozen=True)
class Rivet:
    """A rivet through both plates."""

    across: float = position(NEEDED, "across", "To the right of the centreline.")
    above: float = position(NEEDED, "above", "Above the pivot.")
    diameter: float = length(3.0, "diameter", "Of the shank and its hole.")
    head: str = choice("round", ("round", "countersunk", "flat"), "head", "The form of its head.")
    blows: int = count(6, "blows", "Of the hammer.", least=1)
    screw: tuple[float, float] = declared(SERIES[1], Spec(Thread(), "screw", "Of its screw."))


ROWS = RowKind(
    table="rivets", singular="rivet", row=Rivet, about="Through both plates", place=("across", "above"),
    hole="diameter",
)  # fmt: skip
