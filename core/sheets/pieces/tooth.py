"""The tooth at the bench: cut at both seats, then tried without the spring, with what is to be felt."""

import math
from collections.abc import Iterable

from core.layout.layout import Layout
from core.lock.in_mirror import OTHER
from core.parts.tooth import course, lobe, tooth
from core.sheets.record import Piece, Task
from core.sheets.sizes import size


def _work(layout: Layout) -> Iterable[Task]:
    yield from _cutting(layout)
    yield from _trial(layout)


def _cutting(layout: Layout) -> Iterable[Task]:
    left = layout.lock.filing
    cut, locks = tooth(layout), OTHER[layout.lock.unlocks]

    def show(mm: float) -> str:
        return size(layout, mm)

    yield Task(
        "tooth", "seats",
        f"Mark both seats: bolt in its guides at the locked seat, scribe a line on the back plate at the end of its "
        f"tail; push it {show(cut.throw)} to unlock and scribe a second one.",
    )  # fmt: skip
    yield Task(
        "tooth", "relief",
        f"Relief at both seats first: with the bolt at each seat strike {show(cut.relief_radius)} from the pivot on "
        "the bolt, saw out the gap inside the line, and file roof and relief to the line. The key must go round with "
        "the bolt held at either seat.",
    )  # fmt: skip
    yield Task(
        "tooth", "bit",
        f"Then the bit, left {show(left.bit_tip)} longer: file its tip down until it passes roof and relief at both "
        f"seats with {show(cut.clearance)} to spare, not shorter than {show(cut.radius)}.",
    )  # fmt: skip
    yield Task(
        "tooth", "flanks",
        f"The flanks last, left {show(left.flanks)} full, a few strokes each in turn: gap {show(cut.gap_width)}, the "
        f"unlocking flank {show(abs(cut.pickup_offset))} off the centreline at the locked seat, the locking flank as "
        f"far off it to the {locks} at the unlocked seat.",
    )  # fmt: skip
    beside = lobe(layout)
    if beside.cut > 0:
        yield Task(
            "tooth", "chamfer",
            f"Chamfer the lobes from {show(beside.mark[0] - cut.flank)} outside each flank until the rule just touches "
            "the relief.",
        )  # fmt: skip


def _trial(layout: Layout) -> Iterable[Task]:
    cut, lock = tooth(layout), layout.lock

    def show(mm: float) -> str:
        return size(layout, mm)

    yield Task(
        "trial", "slide",
        "Back plate flat on the table, bolt in its guides, no spring yet: push the bolt by hand from seat to seat. "
        f"Feel: even all the way, up and down no more than {show(2 * lock.fit.slide_clearance)}.",
    )  # fmt: skip
    if not cut.drives:
        return
    opens, shuts = lock.unlocks, OTHER[lock.unlocks]
    for stroke, here, way, turn in (
        ("unlocking", "locked", opens, "clockwise" if opens == "right" else "anticlockwise"),
        ("locking", "unlocked", shuts, "clockwise" if opens == "left" else "anticlockwise"),
    ):
        yield Task(
            "trial", stroke,
            f"Bolt at its {here} seat, key straight down: push nothing but the key, {turn}. It meets the flank "
            f"{_pick_up(layout)}, carries the bolt {show(cut.driven_travel)} to the {way} and lets it go "
            f"{math.degrees(cut.release_angle):.1f} degrees past top dead centre, {show(cut.home_travel)} short of the "
            f"other seat. Feel: one even push, then the key turns free. {_after(layout)}",
        )  # fmt: skip
    most = lobe(layout).shut_out
    if math.isfinite(most) and most < cut.throw:
        yield Task(
            "trial", "coming-in",
            f"Hold the bolt a little off each seat and turn the key in: the bit comes in past the lobe up to "
            f"{show(max(most, 0.0))}. Farther off it stops flat on the lobe; that is no fault, the detent keeps the "
            "bolt from there.",
        )  # fmt: skip
    yield Task(
        "trial", "home",
        f"Now with spring and detent: push the bolt {show(max(cut.home_travel, 0.0))} off each seat and let go. Feel: "
        "it goes home by itself, and stays there when you tap the plate.",
    )  # fmt: skip


def _pick_up(layout: Layout) -> str:
    early = math.degrees(tooth(layout).pickup_angle)
    return f"{early:.1f} degrees before top dead centre" if early > 0.05 else "at top dead centre"


def _after(layout: Layout) -> str:
    """Say what a bolt does that no detent draws yet, once the key has let it go."""
    cut, rests = tooth(layout), lobe(layout).rests_off
    if course(layout).holds_back:
        return "The bit's other face then holds the bolt until it is out of the gap."
    if rests < cut.home_travel - 0.005:
        return f"Turned on, the bit pushes it to {size(layout, rests)} short; the detent does the rest."
    return "The detent does the rest."


PIECE = Piece("tooth", 60, work=_work)
