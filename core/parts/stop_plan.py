"""The stops that a maker chose past either seat: whether they stand there, and what the bolt then does.

Each limit once, as a margin. The over-travel is held against what draws the bolt back: the reach of the detent; a
spring along the bolt drives it on to its stop, so at the locked seat the bit's clearance is all that there may be.
"""

import math
from collections.abc import Callable, Iterable, Mapping

from core.geometry.path import Point
from core.layout.codes import Code, Family
from core.layout.findings import Finding
from core.layout.frames import hand
from core.layout.layout import Layout
from core.layout.margins import ENOUGH, Margin
from core.layout.outcomes import Outcome
from core.layout.part import Part
from core.layout.remedies import Remedy, any_of
from core.layout.windows import Bound
from core.lock.paths import row_path
from core.lock.rows.posts import ROWS, Post
from core.lock.stops import PLANNED
from core.parts.bolt_contour import bolt
from core.parts.discs import discs_of
from core.parts.end_stops import (
    NOTHING,
    SEATS,
    EndStop,
    Seat,
    asked,
    end_stops,
    in_its_way,
    kind_of,
    side_bottom,
)
from core.parts.guide_places import Guide, front_guide, rear_guide
from core.parts.notches import reach
from core.parts.tooth import tooth
from core.text import capital

_BEFORE = Family(
    "stop-before-{}", "stop", "detent", "A stop that stands before the {} seat keeps the bolt from getting home."
)  # fmt: skip
_FAR = Family(
    "overtravel-{}", "look", "detent",
    "A blow may take the bolt past its {} seat, farther than anything draws it back.",
)  # fmt: skip
_MISSING = Family(
    "stop-missing-{}", "look", "detent", "The stop that was chosen past the {} seat is not in the bolt's way."
)  # fmt: skip
_SECOND = Family(
    "stop-second-{}", "look", "detent", "Something else than the stop that was chosen takes the blow past the {} seat."
)  # fmt: skip
_ELSEWHERE = Family(
    "stop-elsewhere-{}", "look", "detent",
    "The stop past the {} seat does not stand where the overrun that was asked for puts it.",
)  # fmt: skip


def guide_of(layout: Layout, seat: Seat) -> Guide:
    """Return the guide whose face may stop the bolt past a seat."""
    return front_guide(layout) if seat == "locked" else rear_guide(layout)


def chosen_stop(layout: Layout, seat: Seat) -> EndStop | None:
    """Return the stop past a seat that was chosen, the nearest of its kind; None where there is none."""
    mine = [stop for stop in in_its_way(layout)[seat] if stop.kind == kind_of(layout, seat)]
    return min(mine, key=lambda stop: stop.distance, default=None)


def goes_on(layout: Layout, seat: Seat) -> float:
    """Return how far [mm] the bolt may go past a seat: to what it meets first, or to where that was asked for."""
    return max(end_stops(layout)[seat].distance, asked(layout, seat) or 0.0)


def can_go(seat: Seat) -> Callable[[Layout], float | None]:
    """Return what tells how far [mm] the bolt can go past a seat with a stop that was chosen; None for no end."""

    def told(layout: Layout) -> float | None:
        away = end_stops(layout)[seat].distance
        return away if kind_of(layout, seat) != "as found" and math.isfinite(away) else None

    return told


def most_over(layout: Layout, seat: Seat) -> float:
    """Return how far [mm] past a seat the bolt may go: the detent's reach, or what a bit still comes in beside."""
    if seat == "locked" and layout.lock.detent.kind == "stop and spring":
        return layout.lock.fit.key_clearance
    return reach(layout)


def pin_place(layout: Layout, seat: Seat, radius: float) -> Point:
    """Return where a post of a `radius` [mm] stops the bolt as asked for, in the mechanism frame [mm].

    It stands beside the body and below the leg, before the middle of that face; lower where the guide is beside it.
    """
    lock, guide, made = layout.lock, guide_of(layout, seat), bolt(layout)
    way = -1 if seat == "locked" else 1
    face = made.left if way < 0 else made.right + tooth(layout).throw
    x = face + way * ((asked(layout, seat) or 0.0) + radius)
    low, line = side_bottom(layout), lock.bolt_line.height
    high = line - guide.leg - lock.fit.slide_clearance - radius
    if guide.near - radius < way * x < guide.far + radius:
        high = min(high, guide.bottom - radius)
    return hand(layout).point((x, min((low + line - guide.leg) / 2, high)))


def wanted_pin(layout: Layout, radius: float) -> Point | None:
    """Return where the first post is to stand that was chosen as a stop and is not there [mm], None for no such."""
    lacking = (s for s in SEATS if kind_of(layout, s) == "pin" and chosen_stop(layout, s) is None)
    seat = next(lacking, None)
    return None if seat is None else pin_place(layout, seat, radius)


def _remedies(layout: Layout, seat: Seat) -> Iterable[Remedy]:
    """Yield what brings the chosen stop to where the over-travel puts it."""
    stop, over = chosen_stop(layout, seat), asked(layout, seat)
    if stop is None or over is None or over < 0:
        return
    off, show, way = over - stop.distance, layout.show, -1 if seat == "locked" else 1
    if stop.kind == "guide face":
        guide = guide_of(layout, seat)
        path, place = f"{guide.table}.from_centreline", guide.near + off
        yield Remedy(f"the {guide.name} {show(place)} from the centreline", ((path, place),))
    for disc in discs_of(layout, ROWS):
        if stop.kind == "pin" and disc.title == stop.by:
            across, _ = hand(layout).point((disc.at[0] + way * off, disc.at[1]))
            path = row_path(ROWS.table, disc.name, "across")
            yield Remedy(f"{disc.title} at {show(across)} across", ((path, across),))


def _margins(seat: Seat) -> tuple[Margin, ...]:
    """Return the limits of the stop past one seat."""
    path = f"stops.{seat}_over"

    def before_spare(layout: Layout) -> float:
        over = asked(layout, seat)
        return ENOUGH if over is None else over

    def before_found(layout: Layout) -> Finding:
        over = layout.lock.value(path)
        return BEFORE[seat].found(
            f"The stop that is asked for stands {layout.show(-over)} before the {seat} seat, so the bolt never gets "
            "home; an overrun of 0 is the least.",
            over, 0.0,
        )  # fmt: skip

    def far_spare(layout: Layout) -> float:
        if kind_of(layout, seat) == "as found":
            return ENOUGH
        return most_over(layout, seat) - goes_on(layout, seat)

    def far_found(layout: Layout) -> Finding:
        goes, most, show = goes_on(layout, seat), most_over(layout, seat), layout.show
        back = f"the detent draws it back over {show(most)} at the most"
        if seat == "locked" and layout.lock.detent.kind == "stop and spring":
            back = f"its spring holds it there, and the bit is kept only {show(most)} clear of it"
        if not math.isfinite(goes):
            return FAR[seat].found(
                f"Nothing stops the bolt past its {seat} seat; {back}.", None, most
            )
        return FAR[seat].found(
            f"The bolt can go {show(goes)} past its {seat} seat; {back}.", goes, most
        )

    def missing_spare(layout: Layout) -> float:
        gone = kind_of(layout, seat) in PLANNED and chosen_stop(layout, seat) is None
        return -1.0 if gone else ENOUGH

    def missing_found(layout: Layout) -> Finding:
        kind, show, first = kind_of(layout, seat), layout.show, end_stops(layout)[seat]
        instead = f"the bolt runs on to {first.by if first.kind == 'pin' else f'the {first.by}'}"
        if first.by == NOTHING:
            instead = "nothing stops it"
        if kind == "guide face":
            why = f"The {guide_of(layout, seat).name} has no metal before the bolt's body"
        elif kind == "shackle":
            why = "The shackle's end is not in the bolt's way"
        else:
            thick = Post.diameter
            across, above = pin_place(layout, seat, thick / 2)
            why = "No post stands in the bolt's way"
            instead += (
                f". One {show(thick)} thick at {show(across)} across and {show(above)} above does"
            )
        return MISSING[seat].found(f"{why} past its {seat} seat; {instead}.")

    def second_spare(layout: Layout) -> float:
        stop = chosen_stop(layout, seat)
        if kind_of(layout, seat) not in PLANNED or stop is None:
            return ENOUGH
        return end_stops(layout)[seat].distance - stop.distance

    def second_found(layout: Layout) -> Finding:
        stop, first, show = chosen_stop(layout, seat), end_stops(layout)[seat], layout.show
        if stop is None:
            raise AssertionError("what is not there is not met second")
        names = [s.by if s.kind == "pin" else f"the {s.by}" for s in (first, stop)]
        return SECOND[seat].found(
            f"Past its {seat} seat the bolt meets {names[0]} after {show(max(first.distance, 0.0))}, before {names[1]} "
            f"at {show(max(stop.distance, 0.0))}.",
            stop.distance, first.distance,
        )  # fmt: skip

    def elsewhere_spare(layout: Layout) -> float:
        stop, over = chosen_stop(layout, seat), asked(layout, seat)
        if stop is None or over is None:
            return ENOUGH
        return layout.lock.fit.made_tolerance - abs(stop.distance - over)

    def elsewhere_found(layout: Layout) -> Finding:
        stop, over, show = chosen_stop(layout, seat), asked(layout, seat), layout.show
        if stop is None or over is None:
            raise AssertionError("what is not there does not stand elsewhere")
        name = stop.by if stop.kind == "pin" else f"the {stop.by}"
        stands = f"{show(abs(stop.distance))} {'past' if stop.distance >= 0 else 'before'}"
        remedies = tuple(_remedies(layout, seat))
        helps = f" {capital(any_of(remedies))} does it." if remedies else ""
        wanted = f"{show(abs(over))} {'past' if over >= 0 else 'before'} it"
        return ELSEWHERE[seat].found(
            f"{capital(name)} stands {stands} the {seat} seat, not {wanted} as is asked for.{helps}",
            stop.distance, over, remedies,
        )  # fmt: skip

    return (
        Margin(BEFORE[seat], f"the {seat} seat", before_spare, before_found),
        Margin(FAR[seat], "what draws the bolt back", far_spare, far_found),
        Margin(MISSING[seat], "the stop that is not there", missing_spare, missing_found),
        Margin(SECOND[seat], "what the bolt meets first", second_spare, second_found),
        Margin(ELSEWHERE[seat], "the overrun asked for", elsewhere_spare, elsewhere_found),
    )


def _of_both(family: Family) -> Mapping[Seat, Code]:
    return {seat: family.of(seat) for seat in SEATS}


BEFORE, FAR, MISSING, SECOND, ELSEWHERE = (
    _of_both(family) for family in (_BEFORE, _FAR, _MISSING, _SECOND, _ELSEWHERE)
)
MARGINS: Mapping[Seat, tuple[Margin, ...]] = {seat: _margins(seat) for seat in SEATS}


def _findings(layout: Layout) -> Iterable[Finding]:
    for margins in MARGINS.values():
        for margin in margins:
            yield from margin.findings(layout)


def _bounds(layout: Layout) -> Iterable[Bound]:
    for seat in SEATS:
        most, kind, by = most_over(layout, seat), kind_of(layout, seat), "what draws the bolt back"
        if kind in PLANNED:
            path = f"stops.{seat}_over"
            yield Bound(path, "low", 0.0, f"the {seat} seat", BEFORE[seat])
            yield Bound(path, "high", most, by, FAR[seat])
        stop = chosen_stop(layout, seat)
        if kind != "guide face" or stop is None:
            continue
        room, others = most - stop.distance, [s for s in in_its_way(layout)[seat] if s != stop]
        # where something else is met sooner, it is not the guide that lets the bolt go too far; the tail goes with it
        if all(other.distance - max(room, 0.0) >= most for other in others):
            guide = guide_of(layout, seat)
            yield Bound(f"{guide.table}.from_centreline", "high", guide.near + room, by, FAR[seat])


PART = Part(
    "stops",
    87,
    codes=tuple(code for margins in MARGINS.values() for code in (m.code for m in margins)),
    findings=_findings,
    bounds=_bounds,
    outcomes=(
        Outcome("over_locked", "the bolt can go past its locked seat", 34, -1, can_go("locked")),
        Outcome("over_unlocked", "the bolt can go past its unlocked seat", 35, -1, can_go("unlocked")),
    ),
)  # fmt: skip
