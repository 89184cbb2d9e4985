"""Frozen values as trees that TOML can hold, and back, by their types alone.

For what a machine writes and reads again: whatever field a value has is in it, also one of which nothing
else in the program knows how to write it.
"""

import dataclasses
import types
import typing
from typing import Any

from core.errors import BadValueError
from core.text import shown


def to_tree(value: object) -> Any:
    """Return a value as tables, lists, texts and numbers.

    Raises
    ------
    BadValueError
        For a value of a kind that is no dataclass, tuple, text or number.
    """
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        fields = ((f.name, getattr(value, f.name)) for f in dataclasses.fields(value))
        return {name: to_tree(inner) for name, inner in fields if inner is not None}
    if isinstance(value, tuple):
        return [to_tree(inner) for inner in value]
    if isinstance(value, str | float | int):
        return value
    raise BadValueError(f"{shown(value)} is of no kind that can be written")


def from_tree(kind: Any, tree: Any) -> Any:
    """Return the value of type `kind` that a tree holds.

    Raises
    ------
    BadValueError
        For a tree that is none of that type.
    """
    if dataclasses.is_dataclass(kind) and isinstance(kind, type):
        return _from_table(kind, tree)
    origin, inside = typing.get_origin(kind), typing.get_args(kind)
    if origin in (typing.Union, types.UnionType):
        return from_tree(next(k for k in inside if k is not type(None)), tree)
    if origin is typing.Literal and tree in inside:
        return tree
    if kind is tuple or origin is tuple:
        return _from_list(inside or (Any, ...), tree)
    if kind is Any:  # a list can only have been a tuple
        return _from_list((Any, ...), tree) if isinstance(tree, list) else tree
    if kind is float and isinstance(tree, int) and not isinstance(tree, bool):
        return float(tree)
    if isinstance(kind, type) and type(tree) is kind:
        return tree
    raise BadValueError(f"{shown(tree)} is no {getattr(kind, '__name__', kind)}")


def _from_table(kind: type, tree: Any) -> Any:
    hints = typing.get_type_hints(kind)
    if not isinstance(tree, dict) or not tree.keys() <= hints.keys():
        raise BadValueError(f"{shown(tree)} is no {kind.__name__}")
    try:
        return kind(**{name: from_tree(hints[name], inner) for name, inner in tree.items()})
    except TypeError as error:
        raise BadValueError(f"a {kind.__name__} is not whole") from error


def _from_list(inside: tuple[Any, ...], tree: Any) -> tuple[Any, ...]:
    if not isinstance(tree, list):
        raise BadValueError(f"{shown(tree)} is no list")
    if len(inside) == 2 and inside[1] is ...:
        return tuple(from_tree(inside[0], inner) for inner in tree)
    if len(inside) != len(tree):
        raise BadValueError(f"{shown(tree)} is not of {len(inside)}")
    return tuple(from_tree(k, inner) for k, inner in zip(inside, tree, strict=True))
