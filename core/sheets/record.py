"""What pieces say to the bench: sheets, holes, lines, compass settings, stock, steps.

Places are in the mechanism frame [mm] unless said otherwise; whoever draws a face of a plate moves them there.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any, Literal

from core.geometry.path import Path, Point
from core.layout.drawing import Label, Mark, Stroke
from core.layout.layout import Layout

Plate = Literal["back plate", "front plate"]
BOTH: tuple[Plate, ...] = ("back plate", "front plate")
CUTTING = (
    "Sawing and filing: clamp the work, wear eye protection, take off every burr, brush filings away, never "
    "blow them; keep lead and brass dust out of lungs and food."
)
DRILLING = (
    "Drilling: wear eye protection, clamp the work to the table, never hold it by hand; tie back hair and "
    "sleeves, no gloves at the drill."
)


@dataclass(frozen=True)
class Loose:
    """Marks that belong together and may stand anywhere: near a place, and `within` a closed path if they can.

    `marks` are drawn about their own middle, which comes to stand as near to `near` [mm] as there is room.
    """

    marks: tuple[Stroke | Label, ...]
    near: Point
    within: Path | None = None


@dataclass(frozen=True)
class Sheet:
    """One drawing at 1:1, in a frame of its own [mm], y up.

    `name` is its name in files and on the command line; `seen` says from where the part is looked at. `notes` and
    `cautions` are printed under it. One that stands `alone` shares its page with no other. No joint between pages runs
    through a box of `whole`: left, bottom, right, top [mm].
    """

    name: str
    title: str
    marks: tuple[Mark | Loose, ...]
    seen: str
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = (CUTTING,)
    alone: bool = False
    whole: tuple[tuple[float, float, float, float], ...] = ()


@dataclass(frozen=True)
class OnPlate:
    """Something drawn on plates: which, and on which of their sides."""

    mark: Mark
    plates: tuple[Plate, ...] = BOTH
    sides: tuple[Literal["inside", "outside"], ...] = ("inside", "outside")


@dataclass(frozen=True)
class Hole:
    """A round hole of a `diameter` [mm] in one or both plates; `chained` for one of a row to be filed out.

    `fit` is what the diameter is for: it goes beside the drill schedule. There holes of one `group` and size
    are counted together, by default those of one name.
    """

    what: str
    at: Point
    diameter: float
    plates: tuple[Plate, ...] = BOTH
    fit: str = ""
    chained: bool = False
    group: str = ""


@dataclass(frozen=True)
class Drilling:
    """Round holes that are in no plate, for the drill schedule: `count` of a `diameter` [mm]."""

    what: str
    diameter: float
    count: int
    where: str
    fit: str = ""
    chained: bool = False
    group: str = ""


@dataclass(frozen=True)
class Rule:
    """A straight line to scribe on plates, by two points [mm]."""

    what: str
    start: Point
    end: Point
    plates: tuple[Plate, ...] = BOTH


@dataclass(frozen=True)
class Setting:
    """One setting of compass or dividers [mm]: where its leg stands and what it strikes."""

    what: str
    length: float
    stand: str
    strike: str


@dataclass(frozen=True)
class Stock:
    """Stock to cut: `sizes` [mm] are length, width and thickness, or length and diameter; None is "to suit".

    What is sawn off has its allowance for saw and file in its sizes.
    """

    what: str
    count: int
    sizes: tuple[float | None, ...]
    form: str
    material: str
    note: str = ""


Stage = Literal[
    "sheets", "drilling", "plates", "guides", "bolt", "key", "tooth", "trial", "assembly"
]


@dataclass(frozen=True)
class Task:
    """One task of the order of work, numbers in it: its stage, a key that stays, and what to do."""

    stage: Stage
    key: str
    text: str


@dataclass(frozen=True)
class Flat:
    """A part that is cut from flat stock `thickness` [mm]: its closed outline, and what is cut out of it [mm].

    `seen` says which side of it is drawn.
    """

    name: str
    outline: Path
    thickness: float
    holes: tuple[Path, ...] = ()
    seen: str = ""


def _nothing(_: Layout) -> tuple[Any, ...]:
    return ()


@dataclass(frozen=True)
class Piece:
    """What one part brings to the bench; every hook is a function of the layout.

    `order` is its place in the mock-up order, as in `core.whole.assembly`. `steps` are the lines of the mock-up
    order in card, `work` the tasks in metal, numbers in both.
    """

    name: str
    order: int
    sheets: Callable[[Layout], Iterable[Sheet]] = field(default=_nothing)
    on_plates: Callable[[Layout], Iterable[OnPlate]] = field(default=_nothing)
    holes: Callable[[Layout], Iterable[Hole]] = field(default=_nothing)
    drillings: Callable[[Layout], Iterable[Drilling]] = field(default=_nothing)
    flats: Callable[[Layout], Iterable[Flat]] = field(default=_nothing)
    rules: Callable[[Layout], Iterable[Rule]] = field(default=_nothing)
    settings: Callable[[Layout], Iterable[Setting]] = field(default=_nothing)
    stock: Callable[[Layout], Iterable[Stock]] = field(default=_nothing)
    steps: Callable[[Layout], Iterable[str]] = field(default=_nothing)
    work: Callable[[Layout], Iterable[Task]] = field(default=_nothing)
