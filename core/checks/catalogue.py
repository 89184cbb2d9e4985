"""The catalogue: every code that a finding can bear, whatever finds it."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from core.checks.gathered import all_checks
from core.files.notes import CODES as ON_FILES
from core.layout.codes import Code, general

FAULT = Code(
    "fault", "stop", "",
    "This program failed at these very values: nothing is lost, but what this check looks at is not known.",
)  # fmt: skip
"""Found by whoever hears the checks, at the step of the one that failed."""


@cache
def catalogue() -> Mapping[str, Code]:
    """Return every code by its name, in the mock-up order.

    Raises
    ------
    ValueError
        Where two checks declare one name: a fault in this program.
    """
    every = [code for check in all_checks() for code in (*check.codes, *check.family())]
    found: dict[str, Code] = {}
    for code in (*every, *ON_FILES, FAULT):
        if code.name in found:
            raise ValueError(f"the code {code.name} is declared twice")
        found[code.name] = code
    return MappingProxyType(found)


def declared(name: str) -> Code:
    """Return the code that a finding bears by its name, whatever rows it is about; KeyError for none."""
    return catalogue()[general(name)]
