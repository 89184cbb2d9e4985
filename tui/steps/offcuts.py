"""Stock at hand."""

from collections.abc import Mapping

from core.layout.layout import Layout
from tui.steps.step import Step


def _begin(layout: Layout) -> Mapping[str, float]:
    """Return a piece that both plates go on beside each other, of their thickness."""
    plate = layout.lock.plate
    return {"long": 250.0, "wide": 120.0, "thickness": plate.thickness}


STEP = Step(
    name="offcuts",
    order=130,
    title="Stock at hand",
    intro="Pieces of sheet and flat bar that you have; the tables say what can be cut from which, and what to buy.",
    prompts=(),
    parts=("plate", "bolt"),
    rows="offcuts",
    begin=_begin,
)
