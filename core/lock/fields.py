"""Field declarations: a dataclass field that knows its unit, its limits and its help.

Everything that reads, writes, prompts for or prints a value of the lock is driven by the
`Spec` that hangs on its field, so that a new value is declared once, in its dataclass.
"""

import dataclasses
import math
from collections.abc import Callable, Iterator, Mapping
from typing import Any, Literal

from core.errors import BadValueError
from core.text import shown
from core.units import NEGLIGIBLE

Kind = Literal["length", "position", "angle", "force", "choice", "text", "points"]

SMALLEST = 0.01
"""Smallest size [mm] of anything that is cut."""
LARGEST = 2000.0
"""Largest size [mm] that the program takes."""
MOST_POINTS = 1000
"""Most points of a traced outline: four to each millimetre of a plate's edge, far more than can be read off."""
STRONGEST = 1000.0
"""Largest force [N] that the program takes: more than a hand pushes with."""
SOURCE_NONE = "common practice, no source"


@dataclasses.dataclass(frozen=True)
class Spec:
    """What a value is: its kind, limits and the help shown at its prompt.

    `low` and `high` are the inclusive limits [mm for lengths and positions, degrees for angles,
    N for forces].
    """

    kind: Kind
    label: str
    what: str
    measure: str = ""
    usual: str = ""
    low: float = 0.0
    high: float = 0.0
    choices: tuple[str, ...] = ()

    @property
    def allowed(self) -> str:
        """What may stand here, in words that end a refusal."""
        match self.kind:
            case "choice":
                return "one of " + ", ".join(self.choices)
            case "text":
                return "text in quotes"
            case "points":
                return "a list of points [x, y] or [x, y, bulge] in mm"
            case "angle":
                return f"{self.low:g} to {self.high:g} degrees"
            case "force":
                return f"{self.low:g} to {self.high:g} N"
            case _:
                return f"{self.low:g} to {self.high:g} mm"


Check = Callable[[str, object, str], Any]
"""Takes a path, a value and its name in a message; returns the value as a lock may have it at that path.

Raises KeyError for a path that no lock has, and BadValueError for a value that may not stand there.
"""


@dataclasses.dataclass(frozen=True)
class Tables:
    """A field of a lock that is no single value but tables with keys of their own, empty by default.

    `read` makes the frozen value from the tables of a file and leaves out what it does not know; `write`
    turns the value back into nested tables; `about` heads them in the file. Such a field has no
    path and no prompt.
    """

    read: Callable[[Mapping[str, Any], Check], Any]
    write: Callable[[Any], Mapping[str, Any]]
    about: str


def tables(
    read: Callable[[Mapping[str, Any], Check], Any],
    write: Callable[[Any], Mapping[str, Any]],
    about: str,
) -> Any:
    """Declare a field of the lock that stands in the file as tables of its own, `()` where none do."""
    return dataclasses.field(default=(), metadata={"tables": Tables(read, write, about)})


def flat(tree: Mapping[str, Any], above: str = "") -> Iterator[tuple[str, Any]]:
    """Yield every leaf of nested tables with its whole name."""
    for key, value in tree.items():
        name = f"{above}.{key}" if above else key
        if isinstance(value, Mapping):
            yield from flat(value, name)
        else:
            yield name, value


def _field(default: Any, spec: Spec) -> Any:  # Any: dataclasses.field is typed by its default
    return dataclasses.field(default=default, metadata={"spec": spec})


def length(
    default: float, label: str, what: str, measure: str = "", usual: str = "", *, zero: bool = False
) -> Any:
    """Declare a size [mm]: at least `SMALLEST`, or with `zero` also nothing at all."""
    low = 0.0 if zero else SMALLEST
    return _field(default, Spec("length", label, what, measure, usual, low, LARGEST))


def position(default: float, label: str, what: str, measure: str = "", usual: str = "") -> Any:
    """Declare a signed distance [mm]: right or up is positive."""
    return _field(default, Spec("position", label, what, measure, usual, -LARGEST, LARGEST))


def angle(
    default: float, label: str, what: str, high: float, measure: str = "", usual: str = ""
) -> Any:
    """Declare an angle [degrees] from 0 up to `high`."""
    return _field(default, Spec("angle", label, what, measure, usual, 0.0, high))


def force(default: float, label: str, what: str, measure: str = "", usual: str = "") -> Any:
    """Declare a force [N] from nothing up to `STRONGEST`."""
    return _field(default, Spec("force", label, what, measure, usual, 0.0, STRONGEST))


def choice(default: str, choices: tuple[str, ...], label: str, what: str, usual: str = "") -> Any:
    """Declare a choice between words."""
    return _field(default, Spec("choice", label, what, "", usual, choices=choices))


def words(default: str, label: str, what: str) -> Any:
    """Declare free text, kept as it was typed and shown as plain text."""
    return _field(default, Spec("text", label, what))


def points(label: str, what: str, measure: str = "") -> Any:
    """Declare a list of points `[x, y]` or `[x, y, bulge]` [mm, mm, tan(angle / 4)]."""
    return _field((), Spec("points", label, what, measure))


def check(spec: Spec, value: object, name: str) -> Any:
    """Return `value` in the type that `spec` wants, or refuse it.

    `name` stands in the message, e.g. `key.radius`. Lengths and positions in mm, angles in degrees,
    forces in N.

    Raises
    ------
    BadValueError
        For a wrong type, NaN, an infinity, or a value outside the limits.
    """
    match spec.kind:
        case "text":
            if isinstance(value, str):
                return value
        case "choice":
            if isinstance(value, str) and value in spec.choices:
                return value
        case "points":
            return _check_points(spec, value, name)
        case _:
            if is_number(value) and spec.low <= float(value) <= spec.high:  # type: ignore[arg-type]
                return settled(float(value))  # type: ignore[arg-type]
    raise BadValueError(f"{name} = {shown(value)} is not allowed: it takes {spec.allowed}")


def _check_points(spec: Spec, value: object, name: str) -> tuple[tuple[float, ...], ...]:
    if not isinstance(value, list | tuple):
        raise BadValueError(f"{name} = {shown(value)} is not allowed: it takes {spec.allowed}")
    if len(value) > MOST_POINTS:
        raise BadValueError(
            f"{name} has {len(value)} points: it takes up to {MOST_POINTS}, as with more every check of the "
            "lock is slow; leave out points along the straight edges, and give curves as bends"
        )
    done: list[tuple[float, ...]] = []
    for number, point in enumerate(value, start=1):
        good = isinstance(point, list | tuple) and len(point) in (2, 3)
        if not good or not all(is_number(x) and abs(x) <= LARGEST for x in point):
            raise BadValueError(
                f"{name}, point {number} = {shown(point)} is not allowed: it takes [x, y] or "
                f"[x, y, bulge], each from {-LARGEST:g} to {LARGEST:g}"
            )
        # a bend means something down to its last digit
        done.append((*(settled(float(x)) for x in point[:2]), *(x + 0.0 for x in point[2:])))
    return tuple(done)


def settled(value: float) -> float:
    """Return a number [mm, degrees or N] as it is kept: what is no measure, or less than nothing, as 0."""
    return 0.0 if abs(value) < NEGLIGIBLE else value


def is_no_measure(value: float) -> bool:
    """Say whether a number [mm, degrees or N] is kept as 0 without being written so."""
    return abs(value) < NEGLIGIBLE and (value != 0 or math.copysign(1.0, value) < 0)


def is_number(value: object) -> bool:
    """Say whether `value` is a finite number; true and false are not numbers here."""
    # bool is a subclass of int, and `radius = true` is surely a slip
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    try:
        return math.isfinite(value)
    except OverflowError:  # an integer too large for a float
        return False
