"""The turn in figures by which two locks are compared: torque, jamming, cocking."""

from core.layout.layout import Layout
from core.layout.outcomes import Outcome
from core.layout.part import Check
from core.parts.friction import friction_ranges
from core.turning.binding import MOST_FRICTION, binding


def _friction(layout: Layout) -> float:
    """Return the high end of the lock's own friction."""
    return friction_ranges(layout)[layout.lock.friction.condition].high


def _torque(layout: Layout) -> float | None:
    """Return the largest torque on the key [N mm] with the lock's own friction; None where the bolt jams."""
    kept = binding(layout).conditions.get(layout.lock.friction.condition)
    return kept.peak_high.value if kept and kept.peak_high else None


def _jamming(layout: Layout) -> float | None:
    """Return by what factor friction may grow before the bolt jams, as far as that is looked for."""
    found, mu = binding(layout), _friction(layout)
    if not found.conditions:
        return None
    return MOST_FRICTION / mu if found.jam is None else found.margin(mu)


def _cocking(layout: Layout) -> float | None:
    return binding(layout).cocking_ratio(_friction(layout))


CHECK = Check(
    "figures of the turn",
    96,
    outcomes=(
        Outcome(
            "peak_torque", "most torque on the key", 170, -1, _torque, "torque", 1e-6, slow=True
        ),
        Outcome(
            "jamming_margin", "friction may grow before it jams", 180, 1, _jamming, "ratio", 1e-3,
            slow=True,
        ),
        Outcome("cocking_ratio", "cocking ratio at worst", 190, 1, _cocking, "ratio", slow=True),
    ),
)  # fmt: skip
