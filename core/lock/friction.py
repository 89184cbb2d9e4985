"""The table `[friction]`: what slides on what, and how it is kept."""

from dataclasses import dataclass

from core.lock.fields import SOURCE_NONE, choice, force

METALS = ("steel on steel", "brass on steel", "bronze on steel")
"""The pairs of metals in `shared/friction.toml`."""
CONDITIONS = ("greased", "clean", "dry")
"""The states of the surfaces in that table, from slippery to rough."""


@dataclass(frozen=True)
class Friction:
    """How bolt, key, guides and spring slide on each other."""

    metals: str = choice(
        "steel on steel", METALS, "metals",
        "The bolt's metal and what slides on it. A brass bolt with a steel key: brass on steel.",
        "That of your own bolt and key.",
    )  # fmt: skip
    condition: str = choice(
        "clean", CONDITIONS, "kept",
        "greased: grease or thick oil stays on it. clean: wiped, with the film that handling leaves. "
        "dry: washed free of grease.",
        f"clean; a lock out of doors soon is ({SOURCE_NONE}).",
    )  # fmt: skip
    drag: float = force(
        0.0, "drag", "Anything else that holds the bolt back along its line: dirt, a tight guide.",
        "Spring lifted off, draw the bolt along by a spring balance; 100 g on the balance is 0.98 N.",
        f"0 for a bolt that falls through its guides by its own weight ({SOURCE_NONE}).",
    )  # fmt: skip
