"""The chamfer of the lobes under friction: whether the incoming bit slides along it or binds."""

import math
from collections.abc import Iterable

from core.layout.codes import Code
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.part import Check
from core.layout.remedies import Remedy
from core.lock.friction import CONDITIONS
from core.mechanism.tooth_numbers import SLACK
from core.parts.friction import friction_ranges, own_friction
from core.parts.tooth import lobe, tooth
from core.tables.coefficients import FrictionRange

CHAMFER_BINDS = Code(
    "chamfer-binds", "look", "bolt",
    "The incoming bit may bind on so flat a chamfer instead of pushing the bolt out of its way.",
)  # fmt: skip


def _findings(layout: Layout) -> Iterable[Finding]:
    """Say where the chamfer is too flat for its friction.

    The bit presses at right angles to the chamfer, less rho on the side of its slope s; the guides hold on with another
    rho: the bolt slides from `s - rho = rho` on (self-locking wedge, any text of mechanics), rho = atan(mu).
    """
    ranges, own, beside = friction_ranges(layout), own_friction(layout), lobe(layout)
    if not tooth(layout).drives or beside.cut <= 0:
        return
    leans, least = math.degrees(beside.slope), _least(own)
    if leans < least - SLACK:
        slides = [
            Remedy("grease", (("friction.condition", name),))
            for name in CONDITIONS[:1]
            if leans >= _least(ranges[name]) - SLACK
        ]
        yield CHAMFER_BINDS.found(
            f"The lobes' chamfer leans {leans:.1f} degrees from the level. Kept {own.condition}, with a friction of up "
            f"to {own.high:g}, the bit may bind on it instead of pushing the bolt home: that wants {least:.1f} "
            f"degrees.{' Grease helps.' if slides else ''}",
            leans, least, slides,
        )  # fmt: skip


def _least(friction: FrictionRange) -> float:
    """Return the least lean [degrees] of a chamfer along which the bit slides at any friction of a range."""
    return 2 * math.degrees(math.atan(friction.high))


CHECK = Check("chamfer", 93, codes=(CHAMFER_BINDS,), findings=_findings)
