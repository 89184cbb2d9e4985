"""The filing plan: edges in the order in which they are fitted, what is left on, what each costs, what may stay full.

What an edge costs is the change of the travel that the key carries the bolt for each length taken off it, from the
closed form `sqrt(R^2 - y^2) - w` (`core.mechanism.actual.carried`), at the finished sizes.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from core.layout.layout import Layout
from core.mechanism.corner import half_chord
from core.parts.tooth import tooth


@dataclass(frozen=True)
class Edge:
    """An edge to be fitted: its name, the parts it is on, what is left on [mm] and why in this place of the order.

    `costs` is the change of travel for what is taken off, a share; `may_stay` says what may stay on.
    """

    name: str
    path: str
    left: float
    costs: float
    order: str
    may_stay: str


def edges(layout: Layout) -> tuple[Edge, ...]:
    """Return the edges in the order of filing."""
    return tuple(_edges(layout))


def _edges(layout: Layout) -> Iterable[Edge]:
    lock, cut, show = layout.lock, tooth(layout), layout.show
    left, lift, foot, on_relief = lock.filing, 0.0, 0.0, 0.0
    reach = half_chord(cut.radius, cut.flank_foot)
    lower_foots = cut.lower_edge >= cut.relief_foot
    if cut.drives:
        lift = cut.flank_foot / reach
        # filed back, a flank on the relief has its foot farther down
        foot = -lift if lower_foots else 0.0
        on_relief = 0.0 if lower_foots else -cut.relief_radius / reach
    flank = (-1.0 if lower_foots else cut.flank / reach - 1.0) if cut.drives else 0.0
    yield Edge(
        "guide floors", "filing.guide_floors", left.guide_floors, lift / 2,
        "before everything else: the bolt line is measured from them",
        "no: the bolt would stand above its line",
    )  # fmt: skip
    yield Edge(
        "undersides of nose and tail", "filing.legs", left.legs, lift / 2, "with the guides",
        "no: the bolt would stand above its line",
    )  # fmt: skip
    yield Edge(
        "lower edge", "filing.lower_edge", left.lower_edge, foot, "with the outside",
        f"yes, as far as the shank leaves room: {show(max(cut.lower_edge - lock.key.shank / 2 - cut.clearance, 0.0))}",
    )  # fmt: skip
    yield Edge(
        "roof and relief", "filing.relief", left.relief, on_relief, "before the bit, to the line and not beyond",
        f"by less than the key's clearance, {show(cut.clearance)}: by more they stop the key",
    )  # fmt: skip
    yield Edge(
        "tip of the bit", "filing.bit_tip", left.bit_tip, -cut.radius / reach if cut.drives else 0.0,
        "after roof and relief, before the flanks",
        f"by less than the key's clearance, {show(cut.clearance)}: a longer key drives farther",
    )  # fmt: skip
    yield Edge(
        "faces of the bit", "filing.bit_faces", left.bit_faces, 0.0, "before the flanks, which follow it",
        "yes, with each flank filed back by half as much",
    )  # fmt: skip
    yield Edge(
        "both flanks", "filing.flanks", left.flanks, flank, "last of the tooth, a few strokes each in turn",
        (
            f"by {show(max(cut.home_travel, 0.0))} at most: by more the key would push the bolt past its seat"
            if lower_foots
            else "yes, a little: the key takes the bolt earlier, and carries it hardly farther"
        ),
    )  # fmt: skip
    yield Edge(
        "tip of the nose", "filing.nose_tip", left.nose_tip, 0.0, "at the end, to the shackle",
        f"by less than the nose clearance, {show(lock.shackle.gap)}",
    )  # fmt: skip
