"""What belongs to no one part: the lock is put together, tried and closed."""

from collections.abc import Iterable

from core.layout.layout import Layout
from core.sheets.record import Piece, Task
from core.sheets.sizes import size


def _work(layout: Layout) -> Iterable[Task]:
    lock = layout.lock

    def show(mm: float) -> str:
        return size(layout, mm)

    yield Task(
        "assembly", "spring",
        f"Spring: fix it above the bolt, within {show(lock.bolt_line.spring_room)} of the bolt line, so that its tip "
        f"presses {_tip(layout)}. Hold a bent spring down while you fix it, eye protection on: it jumps.",
    )  # fmt: skip
    yield Task(
        "assembly",
        "grease",
        "Take off the last burrs, brush everything clean, a little grease on the bolt's edges, flanks and the shank.",
    )
    yield Task(
        "assembly", "closed-with-clamps",
        "Put on the front plate with clamps only. Lock and unlock ten times, and feel for what was not there on the "
        "open plate: a bit that rubs on the front plate, a bolt that is pinched.",
    )  # fmt: skip
    yield Task(
        "assembly", "riveted",
        "Rivet the front plate on, a little at each place in turn, on a solid anvil, eye protection on; try the key "
        "after every round.",
    )  # fmt: skip
    yield Task(
        "assembly", "proved",
        "Lock it and pull at the shackle: the bolt holds. Unlock it: the shackle comes free by hand. Stamp or scribe "
        "the key so that it is known again.",
    )  # fmt: skip


def _tip(layout: Layout) -> str:
    tip = layout.lock.spring.tip_across
    if abs(tip) < 0.005:
        return "on the centreline"
    return f"{size(layout, abs(tip))} to the {'right' if tip > 0 else 'left'} of the centreline"


PIECE = Piece("closing", 200, work=_work)
