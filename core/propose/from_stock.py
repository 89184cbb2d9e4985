"""Stock: sheet, bar and drills in the place of sizes that nobody asked for, and what speaks of them."""

from collections.abc import Iterable, Iterator

from core.lock.lock import Lock, spec_of
from core.lock.paths import place_at, row_path
from core.lock.row_changes import names_in
from core.lock.rows.posts import ROWS as POSTS
from core.propose.given import AT_HAND, FITTED
from core.tables.bought import BRASS, STEEL, Bought, bars, drills, sheets
from core.text import listed

_SHEET = ("plate.thickness", "bolt.thickness")
_BARS = ("shackle.diameter", "key.shank")
_HOLE = "pivot.hole"
_FAR = 0.2
"""Share of a size by which stock may differ from it; what is farther off would be another lock."""
_LESS = 1e-6


def from_stock(lock: Lock, kept: Iterable[str]) -> tuple[str, ...]:
    """Return the paths of what comes from stock or a drill and is not in `kept`, in the order of the layout."""
    closed, holes = (
        set(kept),
        (row_path(POSTS.table, name, "diameter") for name in names_in(lock, POSTS.table)),
    )
    made = {path for record in lock.made for path, _ in record.planned}
    return tuple(path for path in (*AT_HAND, *FITTED, *holes) if path not in closed | made)


def in_stock(lock: Lock, kept: Iterable[str]) -> Iterator[Lock]:
    """Yield a lock with all that is not in `kept` in the nearest stock, then with less of it, at last as it is.

    Of holes it is the nearest drill that the shank enters, of posts the nearest that takes no more room than they did.
    """
    free, seen = from_stock(lock, kept), set()
    drilled = tuple(path for path in free if path not in AT_HAND)
    for paths in (free, drilled, ()):
        other = lock
        for path in paths:
            one = _nearest(other, path)
            other = other if one is None else other.with_value(path, one.size)
        if other not in seen:
            seen.add(other)
            yield other


def _kind(path: str) -> str:
    """Return what stands at a path: `sheet`, `bar` or `drill`."""
    if path in _SHEET:
        return "sheet"
    return "bar" if path in _BARS else "drill"


def _rows(lock: Lock, path: str) -> tuple[Bought, ...]:
    kind, units = _kind(path), lock.units
    if kind == "sheet":
        steel = path == "plate.thickness" or lock.friction.metals.startswith("steel")
        return sheets(units, STEEL if steel else BRASS)
    return bars(units) if kind == "bar" else drills(units)


def _nearest(lock: Lock, path: str) -> Bought | None:
    """Return the stock that is nearest to a size, of two the thicker; None where there is none near."""
    now, least, most = float(lock.value(path)), 0.0, float("inf")
    if path == _HOLE:
        least = lock.key.shank
    elif place_at(path).table == POSTS.table:
        most = now
    among = [one for one in _rows(lock, path) if least - _LESS <= one.size <= most + _LESS]
    best = min(among, key=lambda one: (round(abs(one.size - now), 6), -one.size), default=None)
    return best if best is not None and abs(best.size - now) <= _FAR * now else None


def stock_words(lock: Lock, paths: Iterable[str]) -> str:
    """Return in sentences what the sizes at some paths come from, and which of them are none that is sold."""
    sold: list[str] = []
    unsold: dict[str, list[str]] = {}
    for path in paths:
        words = f"{_named(path)} {spec_of(path).shown(float(lock.value(path)), lock.units)}"
        one, kind = _nearest(lock, path), _kind(path)
        if one is None or abs(one.size - float(lock.value(path))) > _LESS:
            why = (
                "there is none near it" if one is None else "there is no lock with what is nearest"
            )
            unsold.setdefault(why, []).append(words)
        elif kind == "drill":
            sold.append(f"{_named(path)} drill {one.name}")
        else:
            sold.append(f"{words} {kind}{one.name and f' ({one.name})'}")
    told = [f"From stock: {listed(sold)}."] if sold else []
    told += [f"Not from stock: {listed(names)}; {why}." for why, names in unsold.items()]
    return " ".join(told)


def _named(path: str) -> str:
    place = place_at(path)
    return f"{POSTS.singular} {place.row}" if place.row else _WORDS[path]


_WORDS = {
    "plate.thickness": "plates", "bolt.thickness": "bolt", "shackle.diameter": "shackle's end", "key.shank": "shank",
    _HOLE: "pivot hole",
}  # fmt: skip
