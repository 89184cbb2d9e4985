"""How early the bit may pick the bolt up: the window of the pick-up angle.

Each limit is a length that has to be spare, worked out anew for other angles with everything else as it stands. Looked
for in steps and then by halving: with the lower edge as the foot some of them first ease and then tighten.
"""

import math
from collections.abc import Callable, Iterable

from core.geometry.halving import edge_by
from core.layout.codes import Code
from core.layout.layout import Layout
from core.layout.part import Check
from core.layout.windows import Bound, End
from core.lock.lock import spec_of
from core.mechanism.lobe import Lobe
from core.mechanism.narrow_gap import gap_needed
from core.mechanism.tooth_numbers import SLACK, Tooth
from core.parts.friction import own_friction
from core.parts.guide_places import front_guide, rear_guide
from core.parts.guides import AT_BODY
from core.parts.notches import reach
from core.parts.tooth import tooth_at
from core.parts.tooth_limits import HOME_TRAVEL, KEY_FOULS_BOLT
from core.turning.torque import BOLT_JAMS

PATH = "tooth.pickup_angle"
_LOOKS = 80
Spare = Callable[[Tooth], float]
Limit = tuple[Spare, str, Code]
"""What has to be spare, what says so, and what is found without it."""


def _bounds(layout: Layout) -> Iterable[Bound]:
    lock = layout.lock
    capture, width, slide = (
        reach(layout), lock.bolt.lobe_width, lock.fit.slide_clearance,
    )  # fmt: skip
    limits: tuple[Limit, ...] = (
        (
            lambda cut: _gap_spare(Lobe(cut, width, lock.bolt.lobe_chamfer)),
            "the gap, in which the bit has to turn", KEY_FOULS_BOLT,
        ),
        (
            lambda cut: capture - cut.home_travel if cut.drives else math.inf,
            "how far the detent draws the bolt home", HOME_TRAVEL,
        ),
        (
            lambda cut: front_guide(layout).near - cut.flank - width - slide,
            "the bolt's body at the front guide", AT_BODY.of("front guide"),
        ),
        (
            lambda cut: rear_guide(layout).near - cut.pickup_offset - cut.throw - width - slide,
            "the bolt's body at the rear guide", AT_BODY.of("rear guide"),
        ),
    )  # fmt: skip
    for spare, by, code in limits:
        for end, value in _stretch(layout, spare):
            yield Bound(PATH, end, value, by, code)
    yield from _jam_bound(layout)


def _gap_spare(lobe: Lobe[float]) -> float:
    """Return the width [mm] that the gap has over; without a gap as much is lacking as the flanks cross."""
    gap = lobe.tooth.gap_width
    return gap - gap_needed(lobe) if gap > 0 else gap


def _jam_bound(layout: Layout) -> Iterable[Bound]:
    """Yield the angle at which the bolt begins to jam on its foot, at the high end of the lock's own friction.

    The face pushes p + rho above the bolt's way, rho = atan(mu), and the guides hold on at 90 degrees - rho: a
    wedge locks itself where the two meet (self-locking wedge, any text of mechanics), p = 90 - 2 rho.
    """
    mu = own_friction(layout).high
    most = 90.0 - 2 * math.degrees(math.atan(mu))
    cut = tooth_at(layout, layout.lock.bolt_line.height, most)
    outwards = math.sin(math.radians(most)) > cut.half_bit / max(cut.flank_foot, SLACK)
    if 0 < most < spec_of(PATH).high and outwards and cut.drives:
        yield Bound(PATH, "high", most, "friction, from which on the bolt jams", BOLT_JAMS)


def _stretch(layout: Layout, spare: Spare) -> Iterable[tuple[End, float]]:
    """Yield the ends [degrees] of the stretch of angles that leave `spare`, the one about the lock's own or nearest.

    An end at the range's own end is none, and where no angle helps there is none either.
    """
    line, now, most = (
        layout.lock.bolt_line.height, layout.lock.tooth.pickup_angle, spec_of(PATH).high,
    )  # fmt: skip

    def left(angle: float) -> float:
        return spare(tooth_at(layout, line, angle))

    looks = sorted({*(most * k / _LOOKS for k in range(_LOOKS)), now})
    good = [left(angle) >= -SLACK for angle in looks]
    if not any(good):
        return
    near = min((k for k, fit in enumerate(good) if fit), key=lambda k: abs(looks[k] - now))
    first = last = near
    while first > 0 and good[first - 1]:
        first -= 1
    while last + 1 < len(looks) and good[last + 1]:
        last += 1
    if first > 0:
        yield "low", edge_by(left, looks[first], looks[first - 1])
    if last + 1 < len(looks):
        yield "high", edge_by(left, looks[last], looks[last + 1])


def _of_path(layout: Layout, path: str) -> Iterable[Bound]:
    return _bounds(layout) if path == PATH else ()


CHECK = Check("pick-up", 91, bounds=_bounds, bounds_at=_of_path)
