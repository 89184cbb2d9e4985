"""The map as plain text: levels of room, letters for the limits that rule, and the lock itself as a mark."""

from collections.abc import Iterator

import numpy as np

from core.layout.layout import Layout
from core.lock.lock import spec_of
from core.propose.proposals_text import named
from core.propose.room_map import LEFT_OUT, RoomMap, beside_key
from core.text import capital, plain

MARK = "@"
LEVELS = ".:=#"
"""Levels of room, from hardly any to as much as there is anywhere."""
LETTERS = "abcdefghijklmnopqrstuvwxyz"
_NAMED = 5
"""Cells that a region has at least where its letter is put."""


def map_text(found: RoomMap) -> str:
    """Return a map as text, lengths in the lock's own units."""
    at, units = Layout(found.lock), found.lock.units
    head = f"{plain(found.lock.title)}: {named(found.across)} across, {named(found.up)} up"
    ends = [spec_of(found.across).shown(float(x), units) for x in (found.xs[0], found.xs[-1])]
    side = [spec_of(found.up).shown(float(y), units) for y in (found.ys[-1], found.ys[0])]
    body = list(map_rows(found))
    wide = max(map(len, side))
    rows = [f"{side[0]:>{wide}} {body[0]}", *(f"{'':>{wide}} {row}" for row in body[1:-1])]
    rows += [f"{side[1]:>{wide}} {body[-1]}"]
    foot = f"{'':>{wide}} {ends[0]}{ends[1]:>{max(len(body[0]) - len(ends[0]), 1)}}"
    sections = [
        head,
        "\n".join([*rows, foot]),
        "\n".join(legend(found)),
        "\n".join(_told(at, found)),
    ]
    return "\n\n".join(sections) + "\n"


def map_rows(found: RoomMap) -> Iterator[str]:
    """Yield the rows of a map, the topmost first."""
    cells = _cells(found)
    for row in cells[::-1]:
        yield "".join(row)


def _cells(found: RoomMap) -> list[list[str]]:
    level = levels(found)
    letters = {number: LETTERS[k] for k, number in enumerate(found.ruling)}
    cells = [
        [LEVELS[k] if k >= 0 else letters[int(rule)] for k, rule in zip(row, rules, strict=True)]
        for row, rules in zip(level.tolist(), found.rules, strict=True)
    ]
    for number, letter in letters.items():
        mine = np.argwhere((found.rules == number) & (level >= 0))
        if len(mine) >= _NAMED:
            row, column = mine[np.argmin(np.abs(mine - mine.mean(axis=0)).sum(axis=1))]
            cells[row][column] = letter.upper()
    row, column = found.cell
    cells[row][column] = MARK
    return cells


def levels(found: RoomMap) -> np.ndarray[tuple[int, ...], np.dtype[np.intp]]:
    """Return the level of each place [none], shape (rows, columns), -1 where it stops."""
    best = max(float(found.margin.max()), 1e-9)
    share = np.clip(found.margin / best * len(LEVELS), 0, len(LEVELS) - 1).astype(np.intp)
    return np.where(found.margin >= 0, share, -1)


def legend(found: RoomMap) -> Iterator[str]:
    """Yield what the signs of a map mean."""
    best = float(found.margin.max())
    show = Layout(found.lock).show
    if best >= 0:
        steps = ", ".join(
            f"{sign} from {show(best * k / len(LEVELS))}" for k, sign in enumerate(LEVELS)
        )
        yield f"{MARK} the lock; room to the nearest limit: {steps}"
    else:
        yield f"{MARK} the lock; nothing on this map works"
    yield "a capital names what is nearest thereabouts, a small letter what stops:"
    for k, number in enumerate(found.ruling):
        yield f"  {LETTERS[k]}  {found.limits[number].by}"


def _told(at: Layout, found: RoomMap) -> Iterator[str]:
    first, *rest = figures(at, found)
    yield from (first, *stopped(found), *rest)


def stopped(found: RoomMap) -> Iterator[str]:
    """Yield what stops the lock where it is all the same, which no map looks at."""
    for one in found.stopped or ():
        yield f"It is stopped all the same, at the step {one.step}: {one.text}"


def figures(at: Layout, found: RoomMap) -> Iterator[str]:
    """Yield where the lock is, what it has left, where there is most, and the room about the key's circle."""
    units = found.lock.units
    here = ", ".join(
        f"{named(path)} {spec_of(path).shown(value, units)}"
        for path, value in zip((found.across, found.up), found.here, strict=True)
    )
    by = found.limits[found.by].by
    left = (
        f"{at.show(found.room)} to spare" if found.room >= 0 else f"short by {at.show(-found.room)}"
    )
    yield f"{capital(here)}: {left} at {by}."
    row, column = found.best
    if found.margin[row, column] >= 0:
        x = spec_of(found.across).shown(float(found.xs[column]), units)
        y = spec_of(found.up).shown(float(found.ys[row]), units)
        most = at.show(float(found.margin[row, column]))
        yield f"Most room on this map: {most}, at {x} across and {y} up."
        for one in (found.best_stopped or ())[:1]:
            yield f"There it would be stopped all the same, at the step {one.step}."
    yield f"No map shows {LEFT_OUT}."
    yield "Room beside the key's circle, and what is there:"
    for side in beside_key(found.lock):
        yield f"  {side.side:<5} {at.show(side.room)}, {side.by}"
