"""The bolt's own sizes."""

from core.parts.bolt_contour import contour
from tui.steps.step import ReadOff, Step, prompts

STEP = Step(
    name="bolt",
    order=100,
    title="Bolt and legs",
    intro="What is left of the bolt beside the gap, and the legs that run in the guides.",
    prompts=prompts(
        "bolt.nose_height",
        "bolt.tail_height",
        "bolt.lobe_width",
        "bolt.lobe_chamfer",
        "bolt.thickness",
    ),
    parts=("bolt",),
    read_off=(
        ReadOff("area, to weigh it by", lambda layout: abs(contour(layout).signed_area()), "area"),
    ),
    caution="Filing: clamp the bolt, wear eye protection, and brush filings away, never blow them.",
)
