"""The posts."""

from collections.abc import Mapping

from core.layout.layout import Layout
from core.lock.rows.posts import Post
from core.parts.free_room import roomiest
from core.parts.posts import least_room
from core.parts.stop_plan import wanted_pin
from tui.steps.step import ReadOff, Step


def _begin(layout: Layout) -> Mapping[str, float]:
    """Return the place of a post that was chosen to stop the bolt and is not there, or else that with most room."""
    across, above = wanted_pin(layout, Post.diameter / 2) or roomiest(layout)
    return {"across": across, "above": above}


STEP = Step(
    name="posts",
    order=105,
    title="Posts",
    intro="Spacers riveted between the plates, clear of key and bolt, guides, shackle and wall.",
    prompts=(),
    parts=(),
    view="plate",
    read_off=(ReadOff("least room round one", least_room),),
    caution="Drilling: clamp the plates together to the table. Riveting: eye protection on, solid anvil.",
    rows="posts",
    begin=_begin,
)
