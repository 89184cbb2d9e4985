"""What is read off at a key angle, in words: plain values in, rows of pieces out."""

import math
import textwrap
from collections.abc import Callable, Mapping

from textual.content import Content

from core.layout.layout import Layout
from core.lock.friction import CONDITIONS
from core.lock.row_kinds import the
from core.mechanism.law import Stroke, side
from core.parts.end_stops import Seat, end_stops, stop_words
from core.parts.tooth import tooth, tooth_seen
from core.text import plain
from core.turning.binding import Worst, binding
from core.turning.click import felt
from core.turning.follow import Moment
from core.turning.hands import hands
from core.turning.troubles import Trouble
from core.turning.turn_check import turn_check
from core.turning.turned_on import turn_words
from tui.plot.canvas import Piece
from tui.turn.state import Turn

LABEL = 12
"""Columns that the name of a value takes."""
SEAT_OF: Mapping[Stroke, Seat] = {"unlocking": "unlocked", "locking": "locked"}
"""The seat that each stroke leads to."""
_SAME = 1e-9
_CONTACT_ROWS = 2
"""Rows kept for the contact, so that what stands below does not jump while the key turns."""

Pair = tuple[float | None, float | None]
Row = list[Piece]
"""A row of texts with their tones."""


def degrees(angle: float) -> str:
    """Write a key angle [rad] in degrees, to a tenth, as the findings do."""
    return f"{math.degrees(angle) + 0.0:.1f}°"


def where(turn: Turn) -> str:
    """Return the angle with the words for it."""
    along = turn.along
    if abs(along) < _SAME:
        words = "at the top"
    elif abs(along) > math.pi - _SAME:
        words = "key-in" if along < 0 else "key-out"
    else:
        words = "before the top" if along < 0 else "past the top"
    return f"{degrees(turn.angle)} {words}"


def pair(ends: Pair, show: Callable[[float], str]) -> str:
    """Return what a friction condition comes to, from its low to its high end; a jam by that word.

    `show` writes one end with its unit, which stands once where both have the same.
    """
    low, high = (None if end is None else show(end) for end in ends)
    if low is None:
        return "JAMS"
    if high is None:
        return f"{low} to a JAM"
    unit = f" {high.partition(' ')[2]}"
    return low if low == high else f"{low.removesuffix(unit)} to {high}"


def travel(layout: Layout, moved: float) -> str:
    """Return the travel [mm] of the throw, in the lock's units."""
    throw, done = layout.show(tooth(layout).throw), layout.show(moved)
    unit = f" {layout.lock.units}"
    both = done.removesuffix(unit) if done.endswith(unit) and throw.endswith(unit) else done
    return f"{both} of {throw}"


def panel(turn: Turn, moment: Moment, said: str, width: int, height: int) -> list[Row]:
    """Return everything that is read off at a moment, and a sentence `said`, in `width` columns.

    What holds for the whole turn is left out where `height` rows have no room for it.
    """
    kept, layout = turn.kept, turn.layout
    label, touched = "in contact", moment.contact or "nothing"
    if turn.along > math.pi - _SAME and (more := turn_words(layout, SEAT_OF[turn.stroke])):
        # the key could be turned on from here
        label, touched = "turned on", more
    contact = textwrap.wrap(touched, max(width - LABEL, 8))
    contact += [""] * (_CONTACT_ROWS - len(contact))
    fouls = ", ".join(dict.fromkeys(foul.part for foul in moment.fouls))
    gap = f"none, in {the(fouls)}" if fouls else _gap(layout, moment.gap, moment.gap_to)
    motion = [
        _head(turn, moment),
        _row("angle", where(turn)),
        _row("travel", travel(layout, moment.travel)),
        _row(label, contact[0]),
        *(_row("", text) for text in contact[1:]),
        _row("least room", gap, bad=bool(fouls)),
    ]
    forces = [
        _kept(turn),
        _forces("torque", moment.torque[kept], layout.show_torque),
        _forces("on flank", moment.flank_force[kept], layout.show_force),
        _forces("front guide", moment.front_reaction[kept], layout.show_force),
        _forces("rear guide", moment.rear_reaction[kept], layout.show_force),
    ]
    told: list[Row] = [[(row, "bold")] for row in textwrap.wrap(said, width)]
    last = [*verdict(turn, width), *told]
    for whole in ([*whole_turn(turn), *past_the_seat(turn, width)], whole_turn(turn)):
        if height >= len(motion) + len(forces) + len(last) + len(whole) + 3:
            return [*motion, [], *forces, [], *whole, [], *last]
    return [*motion, *forces, *last]


def whole_turn(turn: Turn) -> list[Row]:
    """Return what holds for the whole turn: where the key picks up and lets go, peak torque, least gap."""
    layout, check = turn.layout, turn_check(turn.layout)
    cut = tooth_seen(layout, turn.stroke)
    rows: list[Row] = []
    if tooth(layout).drives:
        way = side(turn.stroke)
        drive = f"{degrees(-way * cut.pickup_angle)} to {degrees(way * cut.release_angle)}"
        rows.append(_row("drives", f"from {drive}" if cut.drives else "nothing this way"))
        peak = binding(layout).conditions[turn.kept].peak_high
        if peak is None:
            rows.append(_row("most torque", "none: it jams"))
        else:
            rows.append(
                _row("most torque", f"{layout.show_torque(peak.value)} at {degrees(peak.at)}")
            )
            rows.append(_row("", f"while {peak.stroke}"))
        rows += _detent_rows(turn)
    rows.append(_row("narrowest", _gap(layout, check.least_gap, check.least_gap_part)))
    rows.append(_row("", f"at {degrees(check.least_gap_at)}"))
    return rows


def _detent_rows(turn: Turn) -> list[Row]:
    """Return what the hand feels of the detent in this stroke, in the lock's own friction; nothing without notches."""
    found = felt(turn.layout).get(turn.stroke)
    if found is None or turn.kept != turn.layout.lock.friction.condition:
        return []
    rows = [_row("a hand", f"{turn.layout.show_torque(hands().easy)} is easy")]
    if found.click is not None:
        rows.append(_row("click", _felt(turn.layout, found.click)))
    if found.drive is not None:
        rows.append(_row("then drive", _felt(turn.layout, found.drive)))
    home = "not by the detent" if found.snaps is None else f"from {degrees(found.snaps)} on"
    return [*rows, _row("snaps home", home)]


def _felt(layout: Layout, worst: Worst) -> str:
    return f"{layout.show_torque(worst.value)} at {degrees(worst.at)}"


def past_the_seat(turn: Turn, width: int) -> list[Row]:
    """Return what stops the bolt past the seat that the stroke leads to, and what a key does that is turned on."""
    layout, seat = turn.layout, SEAT_OF[turn.stroke]
    told = (
        ("past seat", stop_words(layout, end_stops(layout)[seat])),
        ("turned on", turn_words(layout, seat)),
    )
    rows: list[Row] = []
    for label, text in told:
        lines = textwrap.wrap(text, max(width - LABEL - 2, 8))
        rows += [_row(label if n == 0 else "", line) for n, line in enumerate(lines)]
    return rows


def _gap(layout: Layout, gap: float, part: str) -> str:
    return f"{layout.show(gap)}, {part}" if math.isfinite(gap) else "nothing near"


def _head(turn: Turn, moment: Moment) -> Row:
    return [(turn.stroke, "accent"), (f"  {moment.phase}", "bold")]


def _row(label: str, text: str, *, bad: bool = False) -> Row:
    return [(label.ljust(LABEL), "quiet"), (text, "stop" if bad else "strong")]


def _forces(label: str, ends: Pair, show: Callable[[float], str]) -> Row:
    return _row(label, pair(ends, show), bad=None in ends)


def _kept(turn: Turn) -> Row:
    """Return the friction conditions, the one that is shown in brackets, the lock's own with a star."""
    own = turn.layout.lock.friction.condition
    row: Row = [("kept ", "quiet")]
    for name in CONDITIONS:
        word = f"{name}*" if name == own else name
        row.append((f"[{word}]", "accent") if name == turn.kept else (f" {word} ", "strong"))
    return row


def verdict(turn: Turn, width: int) -> list[Row]:
    """Return what stops the key in either stroke, worst first, or that nothing does."""
    lines: list[str] = []
    cut = tooth(turn.layout)
    if not cut.fits:
        lines.append("x no tooth: the key drives nothing")
    elif not cut.drives:
        lines.append("x the key drives nothing")
    lines += [_trouble(found) for found in _grouped(turn)]
    if not lines:
        return [[(f"+ nothing fouls or jams ({turn.kept})", "fine")]]
    rows = [row for line in lines for row in textwrap.wrap(line, width, subsequent_indent="  ")]
    return [[(row, "stop")] for row in rows]


def _grouped(turn: Turn) -> list[list[Trouble]]:
    """Return the troubles of one kind with one part together, those of the stroke at hand first."""
    groups: dict[tuple[str, str], list[Trouble]] = {}
    for found in sorted(turn.troubles, key=lambda t: t.stroke != turn.stroke):
        groups.setdefault((found.kind, found.part), []).append(found)
    return list(groups.values())


def _trouble(found: list[Trouble]) -> str:
    places = ", ".join(f"{t.stroke} from {degrees(t.angle)}" for t in found)
    return f"x {found[0].text}: {places}"


def title(turn: Turn, width: int) -> Row:
    """Return the top line: what this is, of which lock, and whether the key turns."""
    state = "turning" if turn.playing else "stopped" if turn.met else "held"
    turning = "clockwise" if side(turn.stroke) * _hand(turn.layout) > 0 else "anticlockwise"
    right = f"{state}, {turn.stroke} {turning} "
    left = " The key's turn  "
    room = max(width - len(left) - len(right) - 1, 0)
    name = Content(plain(turn.layout.lock.title) or "no title").truncate(
        room, ellipsis=True, pad=True
    )
    return [(left, "accent"), (name.plain, "bold"), (f" {right}", "quiet")]


def _hand(layout: Layout) -> int:
    return -1 if layout.lock.unlocks == "left" else 1
