"""What the maker does to the rows of a step: add, copy, remove and rename them, each one change with a name."""

from dataclasses import replace

from core.lock.lock import Lock
from core.lock.paths import place_at, row_path
from core.lock.row import MOST_ROWS, RowKind
from core.lock.row_changes import (
    free_name,
    made_row,
    names_in,
    renamed_row,
    with_row,
    without_row,
)
from core.text import capital
from tui.desk.desk import Desk
from tui.desk.session import layout_of
from tui.keys.common import UNDO
from tui.keys.of_work import ROW_ADD, ROW_NAME

_BACK = f"{UNDO.shown} takes it back."


def added(desk: Desk) -> Desk:
    """Return the desk with one more row, after the one at hand, at its first prompt."""
    kind = desk.step.kind
    if kind is None:
        return desk.said("There is nothing to add here: this step asks for one of each.")
    if _is_full(desk, kind):
        return _no_more(desk, kind)
    name = free_name(desk.lock, kind.table)
    blank = {key: kind.specs[key].kind.blank(kind.specs[key]) for key in kind.needed}
    begin = desk.step.begin(layout_of(desk.lock))
    row = made_row(kind.table, name, {**blank, **begin})
    lock = with_row(desk.lock, kind.table, name, row, after=desk.row)
    title = kind.title(name)
    where = " where there is most room" if begin else ""
    told = f"{capital(title)} added{where}. {ROW_NAME.shown} gives it another name; {_BACK}"
    return _changed(desk, lock, row_path(kind.table, name), f"{title} added", told)


def copied(desk: Desk) -> Desk:
    """Return the desk with a copy of the row at hand after it, at the same prompt of the copy."""
    kind, name = desk.step.kind, desk.row
    if kind is None or not name:
        return _no_row(desk)
    if _is_full(desk, kind):
        return _no_more(desk, kind)
    new = free_name(desk.lock, kind.table)
    row = next(named.row for named in desk.lock.rows.of(kind.table) if named.name == name)
    lock = with_row(desk.lock, kind.table, new, row, after=name)
    title, was = kind.title(new), kind.title(name)
    told = f"{capital(title)} is a copy of {was}, in the same place. {_BACK}"
    done = _changed(desk, lock, row_path(kind.table, new), f"{title}, a copy of {was}", told)
    return done.at_path(row_path(kind.table, new, place_at(desk.path).key))


def removed(desk: Desk) -> Desk:
    """Return the desk without the row at hand, at the same prompt of the next one or of the one before."""
    kind, name = desk.step.kind, desk.row
    if kind is None or not name:
        return _no_row(desk)
    names = names_in(desk.lock, kind.table)
    here = names.index(name)
    beside = [*names[here + 1 :], *reversed(names[:here])]
    lock, title = without_row(desk.lock, kind.table, name), kind.title(name)
    done = _changed(
        desk,
        lock,
        row_path(kind.table, name),
        f"{title} removed",
        f"{capital(title)} removed. {_BACK}",
    )
    return (
        done.at_path(row_path(kind.table, beside[0], place_at(desk.path).key)) if beside else done
    )


def renamed(desk: Desk, new: str) -> Desk:
    """Return the desk in which the row at hand has another name, at the same prompt.

    Raises
    ------
    BadValueError
        For a name that is no bare word, or that another row has.
    """
    kind, name = desk.step.kind, desk.row
    if kind is None or not name:
        return _no_row(desk)
    lock = renamed_row(desk.lock, kind.table, name, new)
    if lock == desk.lock:
        return desk.silent()
    what = f"{kind.title(name)} called {new}"
    told = f"{capital(kind.title(name))} is called {new} now. {_BACK}"
    done = _changed(desk, lock, row_path(kind.table, new), what, told)
    return done.at_path(row_path(kind.table, new, place_at(desk.path).key))


def _changed(desk: Desk, lock: Lock, path: str, what: str, told: str) -> Desk:
    session = desk.session.changed(lock, path, what=what)
    return replace(desk, session=session, fresh="").at_path(path).said(told)


def _is_full(desk: Desk, kind: RowKind) -> bool:
    return len(names_in(desk.lock, kind.table)) >= MOST_ROWS


def _no_more(desk: Desk, kind: RowKind) -> Desk:
    return desk.said(f"There are {MOST_ROWS} {kind.plural} already, and a lock takes no more.")


def _no_row(desk: Desk) -> Desk:
    kind = desk.step.kind
    if kind is None:
        return desk.said("There is only one of each in this step.")
    return desk.said(f"There is no {kind.singular} yet: {ROW_ADD.shown} adds one.")
