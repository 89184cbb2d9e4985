"""One value of a project file: taken with care, and told where it means nothing in metal."""

from collections.abc import Iterator

from core.errors import BadValueError
from core.files.toml_guard import Based
from core.lock.lock import from_file_at, spec_of
from core.lock.numbers import is_no_measure
from core.text import shown


def value_at(path: str, value: object, name: str) -> object:
    """Return a file's `value` [mm, degrees or N] as a lock may have it at `path`; `name` stands in a refusal.

    Raises
    ------
    KeyError
        For a path that no lock has.
    BadValueError
        For a value that may not stand there, or a number that is not written in tens.
    """
    for number in _numbers(value):
        if isinstance(number, Based):
            meant = f" ({shown(number)} is {int(number)})" if abs(number) < 1e6 else ""
            allowed = spec_of(path).allowed
            raise BadValueError(
                f"{name} = {shown(number)} is not allowed: it takes {allowed}, written in tens{meant}"
            )
    return from_file_at(path, value, name)


def is_settled(value: object) -> bool:
    """Say whether a file's value holds a size that is read as 0 without being written so; a bend is none."""
    for inner in value if isinstance(value, list) else [value]:
        sizes = inner[:2] if isinstance(inner, list) else inner
        if any(is_no_measure(number) for number in _numbers(sizes)):
            return True
    return False


def _numbers(value: object) -> Iterator[int | float]:
    """Yield the numbers in a value, also those of points and of what is no value at all."""
    if isinstance(value, list):
        for inner in value:
            yield from _numbers(inner)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield value
