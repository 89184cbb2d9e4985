"""Step 3: the centreline."""

from core.parts.pivot import foot_miss, lean
from tui.steps.step import Guide, ReadOff, Step, prompts

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
        ReadOff("lowest point to the right by", foot_miss),
    ),
    guide=Guide(
        decided="where the datum mark stands on the top edge; the line runs from it through the pivot.",
        why="the bolt slides square to this line. Where it leans, the bolt leans with it.",
        look="how far it leans, and how far beside it the plate's lowest point lies: 0 is upright.",
    ),
)
