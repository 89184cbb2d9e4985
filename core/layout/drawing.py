"""The drawing: a neutral record of lines, arcs and texts that every backend draws from.

Marks are in mm, in the frame that the function which makes them names. `layer` says what a mark is for
at the bench; `part` names what it belongs to, so that a screen can make that part stand out.
"""

from dataclasses import dataclass
from typing import Literal

from core.geometry.path import Path, Point

Layer = Literal["cut", "scribe", "drill", "punch", "fold", "view", "paper", "note"]
"""What a mark is for at the bench: metal to saw and file to it, to scribe, to drill, to punch, to bend; a part seen
from another side, to compare with; paper to cut; words and what leads to them.
"""
Anchor = Literal["left", "middle", "right"]


@dataclass(frozen=True)
class Stroke:
    """A path of lines and arcs. `ghost` marks the same part at its other seat, or behind another."""

    path: Path
    layer: Layer
    part: str
    ghost: bool = False


@dataclass(frozen=True)
class Label:
    """A text that stands at `at` [mm] with its middle, or with the middle of its left or right end.

    `height` is that of its capitals [mm on paper] and `lean` its direction [degrees anticlockwise]; a
    screen, which has letters of one size only, may leave both out.
    """

    at: Point
    text: str
    layer: Layer
    part: str
    height: float = 2.5
    anchor: Anchor = "middle"
    lean: float = 0.0


@dataclass(frozen=True)
class Measure:
    """A dimension from `start` to `end` [mm], with the value as text and the path it belongs to."""

    start: Point
    end: Point
    text: str
    path: str
    part: str


Mark = Stroke | Label | Measure
Inked = Stroke | Label
"""What is drawn on paper once dimensions are written out."""
