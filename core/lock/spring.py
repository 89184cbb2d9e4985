"""The table `[spring]`: what presses on the bolt's top edge."""

from dataclasses import dataclass

from core.lock.fields import SOURCE_NONE, choice, force, length, sideways

KINDS = ("as felt", "flat strip")
"""A spring by the force that it is felt to press with, or by its sizes."""
ANCHORS = ("riveted foot", "both ends held")
"""How a flat strip is held: by a foot at one end, its tip at the other; or by both ends, its tip in the middle."""
METALS = ("spring steel 1095", "phosphor bronze C510")
"""The metals of springs in `shared/metals.toml`."""
TIPS = ("bent down", "rolled")
"""The end of the strip bent down and its edge rounded over, or rolled to an eye."""


@dataclass(frozen=True)
class Spring:
    """The spring above the bolt. Positions are in the mechanism frame."""

    kind: str = choice(
        "as felt", KINDS, "spring by",
        "as felt: the force that is typed holds. flat strip: the force follows from the sizes, and a typed one is set "
        "aside.",
        f"as felt, until the strip is chosen ({SOURCE_NONE}).",
    )  # fmt: skip
    force: float = force(
        3.0, "spring force", "How hard the spring presses down on the bolt.",
        "Lift its tip off the bolt with a spring balance; 100 g on the balance is 0.98 N.",
        f"1 to 5 N ({SOURCE_NONE}).",
    )  # fmt: skip
    tip_across: float = sideways(
        0.0, "spring tip",
        "Where the spring's tip presses on the bolt's top edge, from the centreline.",
        "Rule along the bolt line from the centreline to the tip.",
        f"0, above the key ({SOURCE_NONE}).",
    )  # fmt: skip
    anchor: str = choice(
        "riveted foot", ANCHORS, "held by",
        "riveted foot: one end is riveted fast, the tip at the other. both ends held: both ends lie in notches or "
        "under pins, the tip in the middle.",
        f"riveted foot ({SOURCE_NONE}).",
    )  # fmt: skip
    foot_side: str = choice(
        "right", ("right", "left"), "foot at the",
        "The side of the tip on which the foot is riveted, seen from inside the back plate.",
        f"The side with more room ({SOURCE_NONE}).",
    )  # fmt: skip
    free_length: float = length(
        26.0, "free length",
        "The length that bends: from the edge of the foot to the tip, or from one held end to the other.",
        "Rule along the strip from where it leaves the foot to the tip.", f"20 to 40 mm ({SOURCE_NONE}).",
    )  # fmt: skip
    width: float = length(
        3.0, "strip width", "Width of the strip, across the bolt's top edge.", "Calliper across the strip.",
        f"About the thickness of the bolt ({SOURCE_NONE}).",
    )  # fmt: skip
    thickness: float = length(
        0.4, "strip thickness", "Thickness of the strip that bends.", "Micrometer, or calliper on several layers.",
        f"0.3 to 0.6 mm ({SOURCE_NONE}).",
    )  # fmt: skip
    metal: str = choice(
        "spring steel 1095", METALS, "strip of",
        "The metal and temper of the strip; its stiffness and what it stands are taken from the shipped table.",
        f"spring steel 1095 ({SOURCE_NONE}).",
    )  # fmt: skip
    preload: float = length(
        2.0, "preload",
        "How far the tip is lifted from where it would hang by itself, with the bolt on its seat: the set bent into "
        "the strip.",
        "Take the bolt out and measure how far the tip springs down.", f"1 to 3 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    tip: str = choice(
        "bent down", TIPS, "tip",
        "bent down: the end stands square on the bolt, its edge rounded over the whole thickness. rolled: the end is "
        "rolled to an eye that lies on the bolt.",
        f"bent down, the quicker to make ({SOURCE_NONE}).",
    )  # fmt: skip
    tip_radius: float = length(
        1.0, "tip radius", "Outer radius of the eye that the end is rolled to.",
        "Calliper over the eye, half of that.", f"Two to three times the strip's thickness ({SOURCE_NONE}).",
    )  # fmt: skip
    tip_height: float = length(
        2.5, "tip height", "How far a tip that is bent down stands out below the strip.",
        "Depth rod of the calliper from the strip's underside to the tip.", f"2 to 3 mm ({SOURCE_NONE}).",
    )  # fmt: skip
    foot_length: float = length(
        6.0, "foot length",
        "Length of the foot that is held fast, beyond the free length; at both ends where both are.",
        "Rule along the foot.", f"Room for two small rivets ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
