"""Tones and line styles: how parts are told from each other, with and without colour."""

from dataclasses import dataclass
from typing import Literal, get_args

from core.layout.part import Role
from core.whole.assembly import drawn_as

Style = Literal["solid", "thick", "broken", "dotted", "chain"]

PATTERNS: dict[Style, tuple[int, ...]] = {
    "broken": (3, 3),
    "dotted": (1, 2),
    "chain": (7, 2, 1, 2),
}
"""Dots on and off, in turn, of the styles that are not one unbroken line."""

SAMPLES: dict[Style, str] = {
    "solid": "⠒⠒⠒",
    "thick": "⠶⠶⠶",
    "broken": "⠒\u2800⠒",
    "dotted": "⠂⠂⠂",
    "chain": "⠒⠂⠒",
}
"""What a line in each style looks like, for the legend."""

FOUL = "foul"
"""The name and the tone of what the key cuts into."""
FAMILIES: tuple[Role, ...] = get_args(Role)
"""The colours of the drawing, by what is drawn; the style sheet gives each its colour, quiet and
wanted.
"""

TONES: tuple[str, ...] = (
    *FAMILIES, *(f"{family}-wanted" for family in FAMILIES), "measure", "measure-wanted", "value", FOUL,
)  # fmt: skip


@dataclass(frozen=True)
class Ink:
    """How one stroke is drawn: its tone and its line style."""

    tone: str
    style: Style


def family(part: str) -> str:
    """Return the colour family of what bears this name in a drawing: the role of its part, or a foul."""
    if part == FOUL:
        return FOUL
    thing = drawn_as(part)
    return thing.role if thing is not None else "other"


def moving_ink(part: str) -> Ink:
    """Return how a stroke that moves is drawn: key and bolt are told apart without colour."""
    kind = family(part)
    return Ink(f"{kind}-wanted", "thick" if kind == "key" else "solid")


def ink(part: str, layer: str, *, ghost: bool, wanted: bool) -> Ink:
    """Return how a stroke is drawn: wanted parts thick, ghosts broken, scribed lines in a chain."""
    kind = family(part)
    tone = f"{kind}-wanted" if wanted and not ghost and kind != FOUL else kind
    if ghost:
        return Ink(tone, "broken")
    if layer in ("note", "fold"):
        return Ink(tone, "dotted")
    if wanted:
        return Ink(tone, "thick")
    return Ink(tone, "chain" if layer == "scribe" else "solid")
