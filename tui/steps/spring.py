"""The spring above the bolt."""

from core.layout.layout import Layout
from core.lock.lock import Lock
from core.parts.notches import detent, press
from core.parts.strip import strip
from core.parts.strip_place import bend_in_degrees, tip_on_bolt
from core.turning.detent_proposal import detent_proposal
from tui.steps.step import Prompt, ReadOff, Step

_STRIP = ("spring.kind", ("flat strip",))


def _strip(lock: Lock) -> bool:
    return lock.spring.kind == "flat strip"


def _land(layout: Layout) -> float | None:
    held = detent(layout)
    return None if held is None else held.land


def _stress(layout: Layout) -> float | None:
    made = strip(layout)
    return None if made is None else made.stress


def _yield(layout: Layout) -> float | None:
    made = strip(layout)
    return None if made is None else made.metal.yield_low


def _room(layout: Layout) -> float | None:
    made = strip(layout)
    return None if made is None else made.room


def _bend(layout: Layout) -> float | None:
    made = strip(layout)
    return None if made is None else bend_in_degrees(made)


STEP = Step(
    name="spring",
    order=95,
    title="Spring",
    intro="The strip whose tip presses on the bolt: by its sizes, or by the force that you feel.",
    prompts=(
        Prompt("spring.kind"),
        Prompt("spring.force", ("spring.kind", ("as felt",))),
        Prompt("spring.tip_across"),
        Prompt("spring.anchor", _STRIP),
        Prompt("spring.foot_side", ("spring.anchor", ("riveted foot",)), when=_strip),
        Prompt("spring.free_length", _STRIP),
        Prompt("spring.width", _STRIP),
        Prompt("spring.thickness"),
        Prompt("spring.metal", _STRIP),
        Prompt("spring.preload", _STRIP),
        Prompt("spring.tip"),
        Prompt("spring.tip_radius", ("spring.tip", ("rolled",))),
        Prompt("spring.tip_height", ("spring.tip", ("bent down",)), when=_strip),
        Prompt("spring.foot_length", _STRIP),
    ),
    parts=("spring",),
    read_off=(
        ReadOff("presses at rest", press, "force"),
        ReadOff("beside its notches", _land, "force"),
        ReadOff("stress at most", _stress, "stress"),
        ReadOff("yields from", _yield, "stress"),
        ReadOff("height over the bolt", _room),
        ReadOff("bend before mounting", _bend, "angle"),
        ReadOff("tip from nose, locked", lambda layout: tip_on_bolt(layout)["locked"]),
        ReadOff("and unlocked", lambda layout: tip_on_bolt(layout)["unlocked"]),
    ),
    propose=detent_proposal,
    caution=(
        "A spring under load flies: eye protection on, a thumb over it as you fit it. Bend or temper hot with tongs, "
        "away from oil and anything that burns."
    ),
)
