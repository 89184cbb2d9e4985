"""How many cases a test takes: some by default, all under another profile of hypothesis, such as `full` of .ci/run."""

from collections.abc import Iterable
from typing import TypeVar

from hypothesis import settings

T = TypeVar("T")

FULL = settings.get_current_profile_name() != "default"


def tries(some: int, full: int) -> int:
    """Return how many cases to take, so many by default and so many in full."""
    return full if FULL else some


def of_all(values: Iterable[T], some: int) -> list[T]:
    """Return the values of a parameter that are taken, the first of them by default and all in full."""
    every = list(values)
    return every[: tries(some, len(every))]


def seeds(some: int, full: int, first: int = 0) -> range:
    """Return the seeds of the cases to take; those of the default are the first of the full ones."""
    return range(first, first + tries(some, full))
