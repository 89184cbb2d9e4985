"""What there is to say of a bolt whose guides are not in one line: whether it goes in, and how it lies."""

import math
from collections.abc import Iterable, Iterator

from core.layout.codes import Code, Family
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.part import BenchTable, Part
from core.lock.as_fixed import AsFixed
from core.mechanism.channel_line import between
from core.mechanism.law import STROKES
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt_contour import nose_face
from core.parts.bolt_lies import Channel, as_planned, channels, lies, slot_room
from core.parts.guide_places import Guide, front_guide, rear_guide
from core.parts.tooth import tooth_seen
from core.units import show_angle

LEAST = 0.01
"""Room [mm] above and below without which a bolt does not slide; common practice, no source."""
STUCK = Family(
    "bolt-stuck-in-{}", "stop", "{}",
    "The slot of the {} has too little height, or is too far out of line with the other, for a bolt to slide in both.",
)  # fmt: skip
NOSE_OFF_CATCH = Code(
    "nose-off-catch", "stop", "shackle",
    "The guides hold the nose too high or too low to go into the shackle's end.",
)  # fmt: skip
LIES_OFF = Code(
    "bolt-lies-off", "note", "bolt line",
    "The guides hold the bolt higher, lower or more tilted than planned, or with other play; the key is followed so.",
)  # fmt: skip


def _needed(layout: Layout) -> float:
    return min(LEAST, layout.lock.fit.slide_clearance)


def _room_in_catch(layout: Layout) -> float:
    """Return the room [mm] that is left above and below where the nose has to go into the shackle as well.

    Below 0 it does not go in, however it is moved about in its guides.
    """
    lock, face = layout.lock, -nose_face(layout)
    front, rear = channels(layout)
    room = slot_room(layout, "shackle")
    catch = [(x, *room) for x in (face, face - lock.shackle.engagement)]
    return between((*front.ends, *rear.ends, *catch)).room


def lies_words(layout: Layout) -> Iterator[str]:
    """Yield how the bolt lies in guides that are not in line, and its play, in one clause; nothing where they are."""
    if as_planned(layout):
        return
    here, show = lies(layout), layout.show
    said = []
    if abs(here.up) >= 0.005:
        said.append(f"{show(abs(here.up))} {'higher' if here.up > 0 else 'lower'} above the pivot")
    if abs(degrees := math.degrees(here.tilt)) >= 0.05:
        said.append(f"tilted by {show_angle(abs(degrees))}, nose {'down' if degrees > 0 else 'up'}")
    play = f"{show(max(here.left, 0.0))} of play is left above and below"
    yield f"the bolt lies {' and '.join(said)}; {play}" if said else play


def _farthest(layout: Layout) -> Guide:
    """Return the guide of which an end stands farthest off, or whose slot lacks most."""
    planned, (front, rear) = 2 * layout.lock.fit.slide_clearance, channels(layout)

    def off(channel: Channel) -> float:
        lacks = (planned - (high - low) for low, high in channel.room)
        return max(*map(abs, channel.ups), *lacks)

    return front_guide(layout) if off(front) >= off(rear) else rear_guide(layout)


def _findings(layout: Layout) -> Iterable[Finding]:
    if as_planned(layout):
        return
    here, show, least = lies(layout), layout.show, _needed(layout)
    catch = _room_in_catch(layout)
    if here.left < least - SLACK:
        guide = _farthest(layout)
        yield STUCK.of(guide.name).found(
            f"The bolt does not slide in both guides: where it lies best it needs {show(least - here.left)} more room "
            "above and below.",
            here.left, least,
        )  # fmt: skip
    elif catch < least - SLACK:
        off = here.line.at(-nose_face(layout) - layout.lock.shackle.engagement)
        yield NOSE_OFF_CATCH.found(
            f"The guides hold the nose {show(abs(off))} too {'high' if off > 0 else 'low'} at its tip: with all their "
            f"play it does not go into the {layout.lock.shackle.catch} of the shackle.",
            catch, least,
        )  # fmt: skip
    for words in lies_words(layout):
        fixed = "the guides are fixed" if layout.lock.as_fixed != AsFixed() else "the legs came out"
        yield LIES_OFF.found(f"As {fixed}, {words}.")


def _bench(layout: Layout) -> Iterable[BenchTable]:
    if as_planned(layout):
        return
    here, show = lies(layout), layout.show

    def room(play: tuple[float, float]) -> str:
        above, below = (max(one, 0.0) for one in play)
        return f"{show(above)} above, {show(below)} below"

    far = [show(tooth_seen(layout, stroke).driven_travel) for stroke in STROKES]
    side = "nose down" if here.tilt > 0 else "nose up"
    yield BenchTable(
        "The bolt in its guides", 13,
        (
            ("higher above the pivot than planned", show(here.up)),
            ("tilted", f"{show_angle(abs(math.degrees(here.tilt)))}, {side}"),
            ("driven by the key, unlocking and locking", f"{far[0]} and {far[1]}"),
            ("play in the front guide", room(here.front)),
            ("play in the rear guide", room(here.rear)),
        ),
    )  # fmt: skip


PART = Part(
    "guide line",
    72,
    codes=(STUCK.of("front guide"), STUCK.of("rear guide"), NOSE_OFF_CATCH, LIES_OFF),
    findings=_findings,
    bench=_bench,
)
