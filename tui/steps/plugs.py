"""The plugs."""

from core.layout.layout import Layout
from core.parts.plugs import plugs, web
from tui.steps.step import ReadOff, Step


def _least_web(layout: Layout) -> float | None:
    return min((web(layout, plug)[0] for plug in plugs(layout)), default=None)


STEP = Step(
    name="plugs",
    order=107,
    title="Plugs",
    intro="Stray holes that were filled: counterbored on both faces, riveted full, dressed flush.",
    prompts=(),
    parts=(),
    view="plate",
    read_off=(ReadOff("least metal to a hole", _least_web),),
    caution="Counterboring: clamp the plate. Riveting and filing: eye protection on, solid anvil.",
    rows="plugs",
)
