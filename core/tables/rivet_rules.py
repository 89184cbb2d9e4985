"""Rules for rivets and the shapes of their heads, from `shared/rivets.toml`."""

from dataclasses import dataclass
from functools import cache

from core.tables.reading import Column, Tree, rows

TABLE = "rivets.toml"
COLUMNS = {
    "of_rivet": Column("diameters", 0.5, 12),
    "of_hole": Column("diameters", 0.5, 12),
    "diameter": Column("diameters", 1.1, 3),
    "height": Column("diameters", 0.1, 2),
    "angle": Column("degrees", 30, 150),
}
ENDS = ("pitch, least", "pitch, most")


@dataclass(frozen=True)
class RivetRule:
    """One rule: a length as a share of the diameter of the rivet, or of its hole where `of_hole`."""

    name: str
    share: float
    of_hole: bool
    source: str


@dataclass(frozen=True)
class RivetHead:
    """A head: its diameter as a share of the rivet's, its height likewise or, of a countersink, its angle [degrees]."""

    name: str
    diameter: float
    height: float | None
    angle: float | None
    source: str


@cache
def rivet_rules() -> dict[str, RivetRule]:
    """Return the rules by their names."""
    return {rule.name: rule for rule in rules_in()}


@cache
def rivet_heads() -> dict[str, RivetHead]:
    """Return the heads by their names."""
    return {head.name: head for head in heads_in()}


def rules_in(tree: Tree | None = None) -> tuple[RivetRule, ...]:
    """Return the rules of the shared table or of `tree`.

    Raises
    ------
    BadTableError
        For a row without a source, with a number that cannot be right, that is a share of nothing or of both, or
        with the most below the least.
    """
    found = []
    for row in rows(TABLE, "rule", COLUMNS, tree):
        of_rivet, of_hole = row.number_or_none("of_rivet"), row.number_or_none("of_hole")
        share = of_rivet if of_hole is None else of_hole
        if share is None or (of_rivet is not None and of_hole is not None):
            row.refuse("is a share of neither rivet nor hole, or of both")
        found.append(RivetRule(row.text("name"), share, of_hole is not None, row.source))
        least = next((rule for rule in found if rule.name == ENDS[0]), None)
        if row.text("name") == ENDS[1] and least is not None and share < least.share:
            row.refuse(f"has {share:g}, less than {least.name}")
    return tuple(found)


def heads_in(tree: Tree | None = None) -> tuple[RivetHead, ...]:
    """Return the heads of the shared table or of `tree`.

    Raises
    ------
    BadTableError
        For a row without a source, with a number that cannot be right, or without a height and an angle.
    """
    found = []
    for row in rows(TABLE, "head", COLUMNS, tree):
        height, angle = row.number_or_none("height"), row.number_or_none("angle")
        if height is None and angle is None:
            row.refuse("has neither height nor angle")
        found.append(RivetHead(row.text("name"), row.number("diameter"), height, angle, row.source))
    return tuple(found)
