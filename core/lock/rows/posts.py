"""The tables `[posts.NAME]`: what holds the two plates apart and together."""

from dataclasses import dataclass

from core.lock.fields import NEEDED, SOURCE_NONE, length, position, sideways
from core.lock.row import RowKind


@dataclass(frozen=True)
class Post:
    """A spacer riveted between the plates, through a hole in each. Its place is in the mechanism frame."""

    across: float = sideways(
        NEEDED, "across", "The middle of the post, left or right of the centreline.",
        "Square to the centreline, rule across to the centre punch, from inside the back plate.",
    )  # fmt: skip
    above: float = position(
        NEEDED, "above", "The middle of the post, above the pivot along the centreline; negative is below.",
        "Rule along the centreline from the pivot to the height of the centre punch.",
    )  # fmt: skip
    diameter: float = length(
        4.0, "diameter", "Diameter of the post, and of its hole in either plate.",
        "Calliper on the post, or the drill that it just enters after.",
        f"3 to 5 mm ({SOURCE_NONE}).",
    )  # fmt: skip


ROWS = RowKind(
    table="posts",
    singular="post",
    row=Post,
    about="A spacer riveted between the plates",
    place=("across", "above"),
    hole="diameter",
)
