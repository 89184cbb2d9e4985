"""The table `[spring]`: what presses on the bolt's top edge."""

from dataclasses import dataclass

from core.lock.fields import SOURCE_NONE, force, position


@dataclass(frozen=True)
class Spring:
    """The spring above the bolt, by the force that it is felt to press with."""

    force: float = force(
        3.0, "spring force", "How hard the spring presses down on the bolt.",
        "Lift its tip off the bolt with a spring balance; 100 g on the balance is 0.98 N.",
        f"1 to 5 N ({SOURCE_NONE}).",
    )  # fmt: skip
    tip_across: float = position(
        0.0, "spring tip",
        "Where the spring's tip presses on the bolt's top edge, from the centreline; negative is left.",
        "Rule along the bolt line from the centreline to the tip.",
        f"0, above the key ({SOURCE_NONE}).",
    )  # fmt: skip
