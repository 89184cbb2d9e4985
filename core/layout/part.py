"""The contract of a part: what one part of the lock adds to the whole.

A module of `core.parts` that offers a `PART` takes part in drawing, marking out, workpieces, loads, findings and
windows; `core.whole` finds it there. What is no part but has something to say of the lock, such as the
turn of the key, offers a `CHECK`; `core.checks` hears both.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from shapely.geometry.base import BaseGeometry

from core.layout.codes import Code
from core.layout.drawing import Mark, Stroke
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.loads import Load
from core.layout.outcomes import Outcome
from core.layout.windows import Bound
from core.layout.workpiece import Feature, Scribed, Workpiece


@dataclass(frozen=True)
class Spot:
    """A place to mark out, in the plate frame [mm], seen from inside the back plate."""

    what: str
    across: float
    below: float


@dataclass(frozen=True)
class BenchTable:
    """A table of the bench report: a heading, and rows of what it is and its value, as texts.

    `order` is its place in the report; a row without a value is a line by itself.
    """

    heading: str
    order: int
    rows: tuple[tuple[str, str], ...]


Role = Literal["plate", "scribe", "key", "bolt", "guide", "shackle", "other"]
"""What a thing in the drawing is to the eye: a screen gives each role its colour."""


@dataclass(frozen=True)
class Drawn:
    """One thing that a part draws: the name that its marks bear, its role, and whether all plate faces show it.

    With `each` there can be several, and the marks of each bear its own name too, such as `post a`.
    """

    name: str
    role: Role
    every_face: bool = False
    each: bool = False


@dataclass(frozen=True)
class Fixed:
    """What stands still while the key turns: things of one kind, each by its name, as areas in the drive frame.

    `order` is their place among all that stands still, `step` the step that mends it where the key fouls one.
    """

    kind: str
    order: int
    step: str
    areas: Callable[[Layout], Mapping[str, BaseGeometry]]


def _nothing(_: Layout) -> tuple[Any, ...]:
    return ()


def _still(_: Layout, _angle: float, _travel: float) -> tuple[Stroke, ...]:
    return ()


def _empty(_: Layout) -> Mapping[str, Any]:
    return {}


@dataclass(frozen=True)
class Check:
    """What there is to say of a whole lock; every hook is a function of the layout.

    `order` is its place in the mock-up order, by which findings and tables are sorted. `codes` are all that its
    `findings` are made by, `family` those of them that there is one of for each part of the whole. `outcomes` are
    the numbers by which two locks are compared. `report` adds to the report's top level, `bench` tables to the
    bench report. One that is `of_plan` sees the lock as it is wanted; all others see the parts that are made as they
    are. Where the bounds on one path cost less than all of them, `bounds_at` gives those alone.
    """

    name: str
    order: int
    codes: tuple[Code, ...] = ()
    family: Callable[[], Iterable[Code]] = tuple
    findings: Callable[[Layout], Iterable[Finding]] = field(default=_nothing)
    bounds: Callable[[Layout], Iterable[Bound]] = field(default=_nothing)
    bounds_at: Callable[[Layout, str], Iterable[Bound]] | None = None
    outcomes: tuple[Outcome, ...] = ()
    report: Callable[[Layout], Mapping[str, Any]] = field(default=_empty)
    bench: Callable[[Layout], Iterable[BenchTable]] = field(default=_nothing)
    of_plan: bool = False

    def bounds_on(self, layout: Layout, *paths: str) -> Iterator[Bound]:
        """Yield the bounds that fall on the dimensions at `paths`; what gives all of them is asked once."""
        if self.bounds_at is None:
            yield from (bound for bound in self.bounds(layout) if bound.path in paths)
        else:
            for path in paths:
                yield from self.bounds_at(layout, path)

    @property
    def step(self) -> str:
        """The step that it belongs to: where what it finds first is mended."""
        return self.codes[0].step if self.codes else "lock"


@dataclass(frozen=True)
class Part(Check):
    """What one part adds to the whole, besides what there is to say of it.

    `drawn` names what its `marks` draw, in the mechanism frame. `fixed` is what of it stands still while the key
    turns, `moving` what goes with key or bolt, at a key angle [rad] and a travel of the bolt [mm], in the mechanism
    frame; `loads` are what it puts on the bolt while the key drives it.
    `workpieces` are what lies on the bench by itself and can be marked as made; `features` is what the part
    cuts into other parts' workpieces. `sums` are pairs of dimensions of which the sum decides more than either.
    """

    fixed: tuple[Fixed, ...] = ()
    moving: Callable[[Layout, float, float], Iterable[Stroke]] = field(default=_still)
    drawn: tuple[Drawn, ...] = ()
    marks: Callable[[Layout], Iterable[Mark]] = field(default=_nothing)
    spots: Callable[[Layout], Iterable[Spot]] = field(default=_nothing)
    loads: Callable[[Layout], Iterable[Load]] = field(default=_nothing)
    workpieces: tuple[Workpiece, ...] = ()
    features: tuple[Feature, ...] = ()
    sums: tuple[tuple[str, str], ...] = ()


def scribed_at(spots: Callable[[Layout], Iterable[Spot]]) -> Callable[[Layout], Iterable[Scribed]]:
    """Return the places of `spots` as marks that are scribed on a plate, in the plate frame."""

    def scribed(layout: Layout) -> Iterable[Scribed]:
        return (Scribed(spot.what, (spot.across, -spot.below)) for spot in spots(layout))

    return scribed
