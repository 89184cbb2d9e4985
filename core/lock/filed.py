"""What was measured while a part is being filed: readings, kept with the lock until the part is done.

In the project file each part has a table, `[filed.bolt.measured]`; its keys are the measures of the filing plan, such
as `gap`, and its values lengths in mm.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from core.errors import BadValueError
from core.lock.fields import FromFile, ToFile, inner_leaves, inner_tables
from core.lock.numbers import LARGEST, is_number
from core.text import shown

_MEASURED = "measured"


@dataclass(frozen=True, order=True)
class Reading:
    """One reading at the bench: the part, what was measured on it, and the length [mm]."""

    part: str
    name: str
    value: float


def read_filed(tree: Mapping[str, Any], _: FromFile) -> tuple[Reading, ...]:
    """Return the readings from the tables of a project file, sorted; what is no such table is left out.

    Raises
    ------
    BadValueError
        For a `measured` that is no table, or a reading that no part can have.
    """
    found = []
    for part, key, value, name in inner_leaves(tree, "filed", _MEASURED):
        if not is_number(value) or not 0 < value <= LARGEST:
            raise BadValueError(
                f"{name} = {shown(value)} is not allowed: it takes a length above 0 and up to {LARGEST:g} mm"
            )
        found.append(Reading(part, key, float(value)))
    return tuple(sorted(found))


def write_filed(filed: tuple[Reading, ...], _: ToFile) -> dict[str, Any]:
    """Return the tables of a project file for readings, by part."""
    return inner_tables(_MEASURED, ((each.part, each.name, each.value) for each in filed))
