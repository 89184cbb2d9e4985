"""Step 6: the tooth."""

from collections.abc import Callable
from math import degrees

from core.layout.layout import Layout
from core.parts.play import Budget, budget
from core.parts.tooth import lesser_tooth, lobe, tooth
from tui.steps.step import Guide, ReadOff, Step, prompts


def _let_in(layout: Layout) -> float:
    """Return how far off its seat [mm] the bolt may rest for the bit to come in; 0 where the key drives nothing."""
    return lobe(layout).shut_out if tooth(layout).drives else 0.0


def _of_budget(part: Callable[[Budget], float]) -> Callable[[Layout], float | None]:
    """Return what reads an item off what is left to the detent at the most; None where the key drives nothing."""

    def read(layout: Layout) -> float | None:
        left = budget(layout)
        return None if left is None else part(left)

    return read


STEP = Step(
    name="tooth",
    order=60,
    title="Tooth",
    intro="The gap in the bolt's lower edge for the bit: it follows from key and throw.",
    prompts=prompts(
        "shackle.engagement", "shackle.gap", "tooth.pickup_angle", "tooth.roof", "bolt.depth"
    ),
    parts=("bolt", "release"),
    view="tooth",
    read_off=(
        ReadOff("throw, seat to seat", lambda layout: tooth(layout).throw),
        ReadOff("gap, flank to flank", lambda layout: tooth(layout).gap_width),
        ReadOff("flanks' foot above the pivot", lambda layout: tooth(layout).flank_foot),
        ReadOff("driven by the key", lambda layout: lesser_tooth(layout).driven_travel),
        ReadOff("left to the detent", lambda layout: lesser_tooth(layout).home_travel),
        ReadOff("and by the shank's play", _of_budget(lambda left: left.shank)),
        ReadOff("and by guides' play", _of_budget(lambda left: left.guides)),
        ReadOff("in all, at the most", _of_budget(lambda left: left.most)),
        ReadOff("bit let in, bolt off by", _let_in),
        ReadOff(
            "key lets go at", lambda layout: degrees(lesser_tooth(layout).release_angle), "angle"
        ),
    ),
    caution="Filing: clamp the bolt, wear eye protection, and brush filings away, never blow them.",
    guide=Guide(
        decided="how far the nose enters the shackle, how far it clears it when open, where the bit meets the bolt.",
        why="the first two make the throw; throw and key give the gap in the bolt.",
        look="the gap, drawn close to. An x or ! marks what does not fit.",
    ),
)
