"""What frees a bolt that jams: a smaller pick-up angle, grease, guides farther apart, a lower bolt line.

Which of them does depends on why it jams. On the foot of a flank the bit's face pushes p + rho above the bolt's way and
the guides hold on at 90 degrees - rho, rho = atan(mu): a wedge, whatever the guides (self-locking wedge, any text of
mechanics), and a smaller p or a smaller rho frees it. Guides near each other, with the push far below them, bind by
themselves. So each change is tried, on the same balance that found the jam, before it is named.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from core.layout.layout import Layout
from core.layout.remedies import Remedy
from core.lock.friction import CONDITIONS
from core.lock.lock import Lock
from core.mechanism.tooth_numbers import SLACK
from core.parts.bolt_contour import nose_face
from core.parts.friction import friction_ranges
from core.parts.guide_places import front_guide, rear_guide, tail_room, wall_room
from core.parts.tooth import tooth
from core.turning.binding import jams_at
from core.units import show_angle

_SIXTY_FOURTH = 25.4 / 64
NOTHING_FREES = (
    "No pick-up angle, grease, guides or bolt line within reach frees it, nor all of them together."
)
_LOOKS = 12
"""At so many of a kind of change it is looked whether it frees, before the least is sought between two."""
Changes = tuple[tuple[str, object], ...]


@dataclass(frozen=True)
class Freeing:
    """Remedies of which each frees the bolt, and the step of the layout that has the first of them."""

    remedies: tuple[Remedy, ...]
    step: str


@dataclass(frozen=True)
class _Way:
    """One kind of change: ever more of it, and what is said of one of them, or of that and any more of it."""

    step: str
    changes: Callable[[Layout], Sequence[Changes]]
    words: Callable[[Layout, Changes], str]
    and_more: str = ""


def _smaller_pickups(layout: Layout) -> Sequence[Changes]:
    tenths = int(np.ceil(10 * layout.lock.tooth.pickup_angle - SLACK))
    return [(("tooth.pickup_angle", k / 10),) for k in range(tenths - 1, -1, -1)]


def _pickup_words(_: Layout, changes: Changes) -> str:
    return f"a pick-up angle of {show_angle(_number(changes[0][1]))}"


def _grease(layout: Layout) -> Sequence[Changes]:
    best = CONDITIONS[0]
    return [] if layout.lock.friction.condition == best else [(("friction.condition", best),)]


def _grease_words(_: Layout, __: Changes) -> str:
    return "grease"


def _step(layout: Layout) -> float:
    """Return the steps [mm] in which places are proposed, so that their text is the whole of them."""
    return 2 * _SIXTY_FOURTH if layout.lock.units == "in" else 0.5


def _guides_farther(layout: Layout) -> Sequence[Changes]:
    front, rear, slide = front_guide(layout), rear_guide(layout), layout.lock.fit.slide_clearance
    rooms = (
        min(nose_face(layout) - slide - front.values.width, wall_room(layout, front)) - front.near,
        min(tail_room(layout), wall_room(layout, rear)) - rear.near,
    )
    by = _step(layout)
    return [
        (
            ("front_guide.from_centreline", front.near + by * k),
            ("rear_guide.from_centreline", rear.near + by * k),
        )
        for k in range(1, int(min(rooms) / by + SLACK) + 1)
    ]


def _guides_words(layout: Layout, changes: Changes) -> str:
    by = _number(changes[0][1]) - front_guide(layout).near
    return f"both guides {layout.show(by)} farther from the centreline"


def _lower_lines(layout: Layout) -> Sequence[Changes]:
    lock, by = layout.lock, _step(layout)
    line = lock.bolt_line.height
    least = lock.key.radius + lock.fit.key_clearance + lock.fit.bridge_min
    return [
        (("bolt_line.height", line - by * k),)
        for k in range(1, int((line - least) / by + SLACK) + 1)
    ]


def _line_words(layout: Layout, changes: Changes) -> str:
    return f"a bolt line {layout.show(layout.lock.bolt_line.height - _number(changes[0][1]))} lower"


_WAYS = (
    _Way("friction", _grease, _grease_words),
    _Way("rear guide", _guides_farther, _guides_words, " or more"),
    _Way("bolt line", _lower_lines, _line_words, " or more"),
    _Way("tooth", _smaller_pickups, _pickup_words, " or less"),
)
_NAMED_FIRST = ("tooth", "rear guide", "bolt line", "friction")


def freeing(layout: Layout) -> Freeing:
    """Return what frees a bolt that jams: one change where any is enough by itself, else as few as it takes."""
    for many in range(1, len(_WAYS) + 1):
        found = [
            (min((way.step for way in ways), key=_NAMED_FIRST.index), remedy)
            for ways in combinations(_WAYS, many)
            for remedy in _together(layout, ways)
        ]
        found.sort(key=lambda one: _NAMED_FIRST.index(one[0]))
        if found:
            return Freeing(tuple(remedy for _, remedy in found), found[0][0])
    return Freeing((), _NAMED_FIRST[0])


def _together(layout: Layout, ways: Sequence[_Way]) -> Iterator[Remedy]:
    """Yield the remedy that takes all of `ways`, if it frees: of each the least that does with what the others take."""
    steps = [way.changes(layout) for way in ways]
    if not all(steps):
        return
    taken = [changes[-1] for changes in steps]

    def remedy(n: int, k: int, words: str = "") -> Remedy:
        """Return the remedy with the kth change of the nth way, and of the others what is taken."""
        return Remedy(words, sum((*taken[:n], steps[n][k], *taken[n + 1 :]), ()))

    words: list[str] = []
    for n in reversed(range(len(ways))):
        way, many = ways[n], len(steps[n])

        def frees(k: int, n: int = n) -> bool:
            return slides(remedy(n, k).applied(layout.lock))

        least = _least(many, frees)
        if least is None:
            return
        taken[n] = steps[n][least]
        more = way.and_more if all(frees(k) for k in _looks(least, many)) else ""
        words.append(way.words(layout, taken[n]) + more)
    yield Remedy(" together with ".join(words), sum(taken, ()))


def _looks(first: int, end: int) -> list[int]:
    """Return some of the numbers from `first` to below `end`, both ends among them."""
    return sorted({round(k) for k in np.linspace(first, end - 1, _LOOKS)}) if first < end else []


def _least(many: int, frees: Callable[[int], bool]) -> int | None:
    """Return the first of `many` ever larger changes that `frees`, looked for in steps and then by halving."""
    low = -1
    for high in _looks(0, many):
        if frees(high):
            while high - low > 1:
                middle = (low + high) // 2
                low, high = (low, middle) if frees(middle) else (middle, high)
            return high
        low = high
    return None


def slides(lock: Lock) -> bool:
    """Say whether the key drives the bolt all the way, at both ends of the friction that the lock is kept in."""
    # whether a scribed roof can stand takes a whole turn of the key to tell, and the balance does not see the roof
    layout = Layout(lock.with_value("tooth.roof", "flat"))
    kept = friction_ranges(layout)[layout.lock.friction.condition]
    return tooth(layout).drives and not jams_at(layout, (kept.low, kept.high))


def _number(value: object) -> float:
    """Return a value that is a number; TypeError for a choice."""
    if not isinstance(value, float):
        raise TypeError(f"{value!r} is no number")
    return value
