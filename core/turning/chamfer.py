"""The chamfer of the lobes under friction: whether the incoming bit slides along it or binds."""

import math
from collections.abc import Iterable

from core.layout.codes import Code
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.part import Check
from core.mechanism.tooth_numbers import SLACK
from core.parts.friction import own_friction
from core.parts.tooth import lobe, tooth

CHAMFER_BINDS = Code(
    "chamfer-binds", "look", "bolt",
    "The incoming bit may bind on so flat a chamfer instead of pushing the bolt out of its way.",
)  # fmt: skip


def _findings(layout: Layout) -> Iterable[Finding]:
    """Say where the chamfer is too flat for its friction.

    The bit presses at right angles to the chamfer, less rho on the side of its slope s; the guides hold on with another
    rho: the bolt slides from `s - rho = rho` on (self-locking wedge, any text of mechanics), rho = atan(mu).
    """
    own, beside = own_friction(layout), lobe(layout)
    if not tooth(layout).drives or beside.cut <= 0:
        return
    leans, least = math.degrees(beside.slope), 2 * math.degrees(math.atan(own.high))
    if leans < least - SLACK:
        yield CHAMFER_BINDS.found(
            f"The lobes' chamfer leans {leans:.1f} degrees from the level. Kept {own.condition}, with a friction of up "
            f"to {own.high:g}, the bit may bind on it instead of pushing the bolt home: that wants {least:.1f} "
            "degrees. Grease helps.",
            leans, least,
        )  # fmt: skip


CHECK = Check("chamfer", 93, codes=(CHAMFER_BINDS,), findings=_findings)
