"""Step 1: the plate."""

from core.layout.layout import Layout
from core.parts.plate import plate_area, plate_outline
from tui.steps.step import Guide, Prompt, ReadOff, Step

_OUTLINE = "plate.outline"


def _height(layout: Layout) -> float:
    _, bottom, _, top = plate_outline(layout).path.bounds()
    return top - bottom


STEP = Step(
    name="plate",
    order=10,
    title="Plate",
    intro="Cut a card to the outline first: both plates follow it, and the rim stands inside its edge.",
    prompts=(
        Prompt(_OUTLINE),
        Prompt("plate.width", (_OUTLINE, ("round", "oval", "rectangle", "shield", "lobed"))),
        Prompt("plate.height", (_OUTLINE, ("oval", "rectangle", "shield", "lobed"))),
        Prompt("plate.corner", (_OUTLINE, ("rectangle",))),
        Prompt("plate.straight", (_OUTLINE, ("shield",))),
        Prompt("plate.lobe", (_OUTLINE, ("lobed",))),
        Prompt("plate.notch", (_OUTLINE, ("lobed",))),
        Prompt("plate.points", (_OUTLINE, ("traced",))),
        Prompt("plate.rim"),
        Prompt("plate.thickness"),
    ),
    parts=("plate", "inner wall"),
    view="plate",
    read_off=(
        ReadOff("from top to bottom", _height),
        ReadOff("area of one plate", lambda layout: plate_area(layout).area, "area"),
    ),
    caution="Sawn edges cut: take off the burr before you handle the plate. Clamp it to saw.",
    guide=Guide(
        decided="the outline of both plates, and how wide the rim between them is.",
        why="all other parts have to find room inside the rim.",
        look="the line inside the edge: key and bolt have to stay clear of it.",
    ),
)
