"""What a spring is held against: its yield, its room, what it might touch; each limit once, as a margin."""

import math
from collections.abc import Callable, Iterable, Mapping

from core.layout.codes import Code
from core.layout.findings import Finding
from core.layout.frames import hand
from core.layout.layout import Layout
from core.layout.margins import ENOUGH, Margin
from core.layout.windows import Bound, End
from core.parts.crossings import bounds_by
from core.parts.notches import detent, tip_at
from core.parts.strip import Strip, strip
from core.parts.strip_place import Spare, at_guides, at_shackle, at_wall, foot_way, on_bolt
from core.systems import show_pressure

SPRING_PAST_YIELD = Code(
    "spring-past-yield", "stop", "spring",
    "Bent so far the strip does not spring back: it takes a set, and presses less each time.",
)  # fmt: skip
SPRING_TOO_HIGH = Code(
    "spring-too-high", "stop", "spring",
    "On its way the strip comes up higher than the room that is kept free for it above the bolt.",
)  # fmt: skip
SPRING_RUBS = Code(
    "spring-rubs", "stop", "spring",
    "The strip sags until it lies on the bolt beside its tip, which then no longer presses into the notch.",
)  # fmt: skip
SPRING_OUTSIDE_WALL = Code(
    "spring-outside-wall", "stop", "spring", "An end of the strip would lie in the rim or off the plate."
)  # fmt: skip
SPRING_AT_SHACKLE = Code(
    "spring-at-shackle", "stop", "spring",
    "The strip reaches to where the shackle's end comes down, and would be struck by it.",
)  # fmt: skip
SPRING_OFF_BOLT = Code(
    "spring-off-bolt", "stop", "spring",
    "At one seat or the other the spring's tip has no bolt below it to press on, and drops behind it.",
)  # fmt: skip
TIP_IN_GUIDE = Code(
    "tip-in-guide", "stop", "spring", "The spring's tip and a guide want the same place."
)  # fmt: skip


def _of_strip(spare: Callable[[Layout, Strip], float]) -> Callable[[Layout], float]:
    """Return a margin's function that asks nothing of a spring whose strip is not known."""

    def asked(layout: Layout) -> float:
        made = strip(layout)
        return ENOUGH if made is None else spare(layout, made)

    return asked


def _found(
    code: Code, text: Callable[[Layout, Strip], tuple[str, float, float]]
) -> Callable[[Layout], Finding]:
    """Return what makes the finding of a margin from its sentence, number and limit."""

    def made(layout: Layout) -> Finding:
        there = strip(layout)
        if there is None:
            raise AssertionError("a strip that is not known has every margin")
        said, value, limit = text(layout, there)
        return code.found(said, value, limit)

    return made


def _yield_text(layout: Layout, made: Strip) -> tuple[str, float, float]:
    thick, most = layout.show(made.beam.thickness), layout.show(max(made.greatest_hang, 0.0))
    units = layout.lock.units
    where = "middle" if made.beam.on_two_ends else "foot"
    stress, yields = (show_pressure(p, units) for p in (made.stress, made.metal.yield_low))
    text = (
        f"On the land beside the notches the strip, {thick} thick, is stressed to {stress} at its {where}; "
        f"{made.metal.name}, {made.metal.temper}, yields from {yields} on. "
        f"A thinner or longer strip, or a preload of {most} at most."
    )
    return text, made.stress, made.metal.yield_low


def _high_text(layout: Layout, made: Strip) -> tuple[str, float, float]:
    room, show = layout.lock.bolt_line.spring_room, layout.show
    text = f"The strip takes {show(made.room)} above the bolt line; {show(room)} are kept for it."
    return text, made.room, room


def _rubs_text(layout: Layout, made: Strip) -> tuple[str, float, float]:
    text = (
        f"With so much preload the strip sags {layout.show(-made.clear)} into the bolt beside its tip: less preload, "
        "or a tip that stands out farther."
    )
    return text, made.clear, 0.0


def _wall_text(layout: Layout, made: Strip) -> tuple[str, float, float]:
    over = -at_wall(layout, made).least
    text = f"With its foot the strip reaches {layout.show(over)} into the rim: a shorter one, or its tip elsewhere."
    return text, over, 0.0


def _shackle_text(layout: Layout, made: Strip) -> tuple[str, float, float]:
    over = -at_shackle(layout, made).least
    text = f"With its foot the strip reaches {layout.show(over)} into the way of the shackle's end."
    return text, over, 0.0


def _where_known(spare: Callable[[Layout], float]) -> Callable[[Layout], float]:
    """Return a margin's function that asks nothing of a spring and a detent that are known as felt only."""

    def asked(layout: Layout) -> float:
        felt = strip(layout) is None and detent(layout) is None
        return ENOUGH if felt else spare(layout)

    return asked


def _off_bolt_found(layout: Layout) -> Finding:
    return SPRING_OFF_BOLT.found(
        f"At one of its seats the bolt ends {layout.show(-on_bolt(layout).least)} before the spring's tip.",
        layout.lock.spring.tip_across,
    )  # fmt: skip


def _in_guide_found(layout: Layout) -> Finding:
    inside = layout.show(-at_guides(layout).least)
    return TIP_IN_GUIDE.found(
        f"The spring's tip stands {inside} inside a guide; it is to stand between the two.",
        layout.lock.spring.tip_across,
    )  # fmt: skip


_YIELD, _HIGH, _RUBS, _WALL, _SHACKLE, _BOLT, _GUIDE = MARGINS = (
    Margin(
        SPRING_PAST_YIELD, "the strip's yield",
        _of_strip(lambda _, made: made.metal.yield_low - made.stress), _found(SPRING_PAST_YIELD, _yield_text),
    ),
    Margin(
        SPRING_TOO_HIGH, "the spring room",
        _of_strip(lambda at, made: at.lock.bolt_line.spring_room - made.room), _found(SPRING_TOO_HIGH, _high_text),
    ),
    Margin(
        SPRING_RUBS, "the strip on the bolt beside its tip",
        _of_strip(lambda _, made: made.clear), _found(SPRING_RUBS, _rubs_text),
    ),
    Margin(
        SPRING_OUTSIDE_WALL, "the strip's end at the inner wall", _of_strip(lambda at, made: at_wall(at, made).least),
        _found(SPRING_OUTSIDE_WALL, _wall_text),
    ),
    Margin(
        SPRING_AT_SHACKLE, "the strip's end at the shackle", _of_strip(lambda at, made: at_shackle(at, made).least),
        _found(SPRING_AT_SHACKLE, _shackle_text),
    ),
    Margin(
        SPRING_OFF_BOLT, "the spring's tip on the bolt",
        lambda at: on_bolt(at).least, _off_bolt_found,
    ),
    Margin(
        TIP_IN_GUIDE, "the spring's tip at a guide",
        _where_known(lambda at: at_guides(at).least), _in_guide_found,
    ),
)  # fmt: skip

_LENGTH, _TIP = "spring.free_length", "spring.tip_across"
BY_DROP = (_YIELD, _HIGH, _RUBS)
"""Those that move with how deep the tip drops into a notch."""
_MOVED: Mapping[str, tuple[Margin, ...]] = {
    "spring.thickness": (_YIELD, _HIGH, _RUBS, _GUIDE),
    _LENGTH: (_YIELD,),
    "spring.preload": (_YIELD, _HIGH, _RUBS),
}
"""By path the margins that move with it, and so can set an end of its window; where it lies has closed forms."""


def bounds(layout: Layout) -> Iterable[Bound]:
    """Yield the ends of the windows of all that is typed of a spring."""
    return (bound for path in (*_MOVED, _TIP) for bound in bounds_at(layout, path))


def bounds_at(layout: Layout, path: str) -> Iterable[Bound]:
    """Yield the ends of the window of what is typed of a spring at `path`."""
    made = strip(layout)
    if made is not None and path in _MOVED:
        yield from bounds_by(layout, path, _MOVED[path])
    if made is not None and path == _LENGTH:
        yield from _length_bounds(layout, made)
    if path == _TIP:
        yield from _tip_bounds(layout, made)


def _length_bounds(layout: Layout, made: Strip) -> Iterable[Bound]:
    reach = made.beam.length
    for margin, spare in ((_WALL, at_wall(layout, made)), (_SHACKLE, at_shackle(layout, made))):
        if made.beam.on_two_ends:
            most = reach + 2 * spare.least
        else:
            most = reach + (spare.right if foot_way(layout) > 0 else spare.left)
        if math.isfinite(most):
            yield Bound(_LENGTH, "high", most, margin.by, margin.code)


def _tip_bounds(layout: Layout, made: Strip | None) -> Iterable[Bound]:
    tip, mirrored = tip_at(layout), hand(layout).mirrors
    limits: list[tuple[Margin, Spare]] = [(_BOLT, on_bolt(layout))]
    if made is not None or detent(layout) is not None:
        limits.append((_GUIDE, at_guides(layout)))
    if made is not None:
        limits += [(_WALL, at_wall(layout, made)), (_SHACKLE, at_shackle(layout, made))]
    for margin, spare in limits:
        for value, low in ((tip - spare.left, True), (tip + spare.right, False)):
            if math.isfinite(value):
                end: End = "low" if low != mirrored else "high"
                across = -value if mirrored else value
                yield Bound(_TIP, end, across, margin.by, margin.code)
