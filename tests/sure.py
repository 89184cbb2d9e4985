"""What a test knows to be there, said to the reader and to the type checker."""

from typing import TypeVar

T = TypeVar("T")


def sure(value: T | None) -> T:
    """Return `value`; a test in which there is none fails here."""
    assert value is not None, "there is none"
    return value
