"""The steps that there are, in the mock-up order: found by themselves, as modules of `tui.steps`."""

import importlib
import pkgutil
from functools import cache

from core.lock.paths import Place, place_at
from tui import steps
from tui.steps.step import Step


@cache
def all_steps() -> tuple[Step, ...]:
    """Return every step, in the mock-up order."""
    found = []
    for module in pkgutil.iter_modules(steps.__path__):
        step = getattr(importlib.import_module(f"{steps.__name__}.{module.name}"), "STEP", None)
        if step is not None:
            found.append(step)
    return tuple(sorted(found, key=lambda step: (step.order, step.name)))


def place_of(path: str) -> tuple[int, str] | None:
    """Return the number of the step that asks for `path`, and the path; None if none does.

    A path of a row, or of a value in it, belongs to the step of its table, whether there is such a row or not.
    """
    place = place_at(path) if path else Place()
    for number, step in enumerate(all_steps()):
        of_rows = place.row != "" and step.rows == place.table
        if of_rows or any(prompt.path == path for prompt in step.prompts):
            return number, path
    return None
