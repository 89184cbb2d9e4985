"""The detent: what draws the bolt home and holds it there, and what stops it past its seats."""

from collections.abc import Callable

from core.layout.layout import Layout
from core.lock.lock import Lock
from core.lock.stops import PLANNED
from core.mechanism.detent_force import Detent
from core.parts.friction import own_friction
from core.parts.notches import detent, draws_from, reach
from core.parts.play import budget
from core.parts.stop_plan import can_go
from core.turning.detent_proposal import detent_proposal
from tui.steps.step import Prompt, ReadOff, Step

_NOTCHES = ("detent.kind", ("notches",))
_ALONG = ("detent.kind", ("stop and spring",))


def _typed(lock: Lock) -> bool:
    """Say whether the reach that is typed counts."""
    measured = lock.detent.kind == "notches" and lock.detent.reach == "as measured"
    return measured or lock.detent.kind == "as felt"


def _of(found: Callable[[Detent[float], float, float], float]) -> Callable[[Layout], float | None]:
    """Return what reads a force off the notches, at the most friction of the lock; None without notches."""

    def read(layout: Layout) -> float | None:
        held = detent(layout)
        if held is None:
            return None
        return float(found(held, own_friction(layout).high, layout.lock.friction.drag))

    return read


def _slippery(layout: Layout) -> float | None:
    return None if detent(layout) is None else float(draws_from(layout, own_friction(layout).low))


def _left(layout: Layout) -> float | None:
    left = budget(layout)
    return None if left is None else left.most


STEP = Step(
    name="detent",
    order=97,
    title="Detent",
    intro="Two notches under the spring's tip draw the bolt its last tenths and keep it there.",
    prompts=(
        Prompt("detent.kind"),
        Prompt("detent.ramp", _NOTCHES),
        Prompt("detent.half_width", _NOTCHES),
        Prompt("detent.depth", _NOTCHES),
        Prompt("detent.reach", _NOTCHES),
        Prompt("fit.detent_capture", when=_typed),
        Prompt("detent.push", _ALONG),
        Prompt("detent.push_open", _ALONG),
        Prompt("stops.locked"),
        Prompt("stops.locked_over", ("stops.locked", PLANNED)),
        Prompt("stops.unlocked"),
        Prompt("stops.unlocked_over", ("stops.unlocked", PLANNED)),
    ),
    parts=("bolt", "spring", "end stops"),
    view="tooth",
    read_off=(
        ReadOff("draws home over", reach),
        ReadOff("left to it at the most", _left),
        ReadOff("past its locked seat", can_go("locked")),
        ReadOff("past its unlocked seat", can_go("unlocked")),
        ReadOff("at least friction", _slippery),
        ReadOff(
            "on its seat with",
            _of(lambda held, mu, drag: held.pull(held.notch.play, mu, drag)),
            "force",
        ),
        ReadOff(
            "takes to leave",
            _of(lambda held, mu, drag: held.leaving(held.notch.play, mu, drag)),
            "force",
        ),
    ),
    propose=detent_proposal,
    caution="Filing: clamp the bolt, wear eye protection, and brush filings away, never blow them.",
)
