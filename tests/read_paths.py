"""Which values of a lock are read: a lock that notes the path of whatever is asked of it.

What a plain function of a lock has not asked for at one value it does not ask for at another, all else being the same:
its result stands, whatever is put there.
"""

import dataclasses
from collections.abc import Callable
from functools import cache
from typing import Any

from core.layout.layout import Layout
from core.lock.lock import Lock
from core.lock.paths import place_at, sections_in


def asked_for(of: Callable[[Layout], object], lock: Lock) -> frozenset[str]:
    """Return the paths of the values that a function of a layout asks of a lock; `rows` stands for those of rows."""
    read: set[str] = set()
    of(Layout(watched(lock, read)))
    return frozenset(read)


def is_in(path: str, read: frozenset[str]) -> bool:
    """Say whether the value at a path is among those that were read."""
    return ("rows" if place_at(path).row else path) in read


def watched(lock: Lock, read: set[str]) -> Lock:
    """Return an equal lock that puts into `read` the path of each value that is asked of it."""
    inside = {name: _noting(getattr(lock, name), read, f"{name}.") for name in sections_in(Lock)}
    made: Lock = _noting(lock, read, "", inside)
    return made


def _noting(value: Any, read: set[str], above: str, new: dict[str, Any] | None = None) -> Any:
    kind: Any = type(value)
    made = object.__new__(_noting_kind(kind))
    object.__getattribute__(made, "__dict__").update(
        {**vars(value), **(new or {}), "_read": read, "_above": above}
    )
    return made


@cache
def _noting_kind(kind: Any) -> Any:
    """Return a class as `kind` whose values note which of their fields are asked for, sections of theirs left out."""
    names = [field.name for field in dataclasses.fields(kind)]
    noted = frozenset(names) - sections_in(Lock).keys() if kind is Lock else frozenset(names)
    get = object.__getattribute__

    def asked(self: Any, name: str) -> Any:
        if name in noted:
            get(self, "_read").add(get(self, "_above") + name)
        elif name == "__dict__" and "_read" in get(self, name):  # by `vars`, for whatever it may be
            get(self, "_read").update(get(self, "_above") + each for each in noted)
        return get(self, name)

    def plain(self: Any) -> Any:
        return kind(**{name: getattr(self, name) for name in names})

    def same(self: Any, other: Any) -> bool:
        return bool(plain(self) == (plain(other) if isinstance(other, type(self)) else other))

    own = {"__getattribute__": asked, "__eq__": same, "__hash__": lambda self: hash(plain(self))}
    return type(kind.__name__, (kind,), own)
