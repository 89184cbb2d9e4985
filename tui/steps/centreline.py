"""Step 3: the centreline."""

from core.parts.pivot import foot_miss, lean
from tui.steps.step import ReadOff, Step, prompts

STEP = Step(
    name="centreline",
    order=30,
    title="Centreline",
    intro="Scribe from the datum mark on the top edge through the pivot, right down the plate.",
    prompts=prompts("plate.mark_across"),
    parts=("centreline",),
    view="plate",
    read_off=(
        ReadOff("leans, clockwise", lean, "angle"),
        ReadOff("foot to the right by", foot_miss),
    ),
)
