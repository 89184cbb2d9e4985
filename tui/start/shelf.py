"""What the first screen offers: the locks of the folder, unsaved work, recent ones, new ones, and the demos."""

import os
import time
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from core.errors import BadFileError, SaveError
from core.files.project_file import Project, load
from core.files.recent import recent
from core.files.recovery import Recovery, drop_recovery
from core.lock.first_lock import first_lock
from core.lock.lock import Lock
from core.shipped import sample_locks
from core.text import plain
from tui.desk.checking import Checked
from tui.desk.saving import left_behind
from tui.desk.session import Session, opened

MOST = 200
"""Project files of a folder that are looked into; a folder with more is no folder of locks."""
AT_ONCE = 8
"""Locks that are read before the list is shown; the others follow when it is."""
Order = Literal["name", "change", "state"]
ORDERS: tuple[Order, ...] = ("name", "change", "state")
"""By what the locks of a folder can be sorted: their files' names, the last change, or how they stand."""

Stamp = tuple[int, int]
"""When a file was changed last [ns since 1970], and how large it is [bytes]."""


@dataclass(frozen=True)
class Offer:
    """One line of the first screen: its title, what stands beside it, and the session it opens.

    `session` is None for a file that cannot be opened, with the reason in `wrong`, and for one that was not read yet;
    `copy` is the recovery copy that unsaved work comes from. `asks` stands for a lock that is begun with a guide, in
    the units that the maker chooses; `begins` are the units of a new lock, for which its maker says first what there
    is. A lock in a file has its `path`, its `stamp`, and once it was checked what was `found`.
    """

    title: str
    beside: str
    session: Session | None
    wrong: str = ""
    copy: Recovery | None = None
    asks: bool = False
    begins: str = ""
    path: Path | None = None
    stamp: Stamp = (0, 0)
    found: Checked | None = None

    @property
    def unread(self) -> bool:
        """Whether it is a file that was not looked into yet."""
        return self.path is not None and self.session is None and not self.wrong

    @property
    def stops(self) -> int:
        """How many findings stop the lock."""
        return sum(f.level == "stop" for f in self.found.findings) if self.found else 0

    @property
    def state(self) -> str:
        """How a lock in a file stands, in a word or two; nothing where that is not known yet."""
        if self.wrong:
            return "cannot be read"
        if self.found is None:
            return ""
        return f"{self.stops} stop{'s' if self.stops > 1 else ''}" if self.stops else "sound"


def offers(
    folder: Path, order: Order = "name", known: Mapping[Path, Offer] | None = None
) -> tuple[Offer, ...]:
    """Return what the first screen offers in a folder, demos first where there is no lock yet.

    `known` are offers of before, by their paths: what was read and found of a file that is as it was is taken from
    there. The others are read, the first few at once.
    """
    found = [_known(offer, known or {}) for offer in (*_of_folder(folder), *_recent(folder))]
    number = 0
    for index, offer in enumerate(found):
        if offer.unread and number < AT_ONCE:
            found[index], number = looked(offer), number + 1
    return arranged([*_unsaved(folder), *found, *_new(), *_demos()], order)


def arranged(every: Iterable[Offer], order: Order) -> tuple[Offer, ...]:
    """Return offers in the order in which they stand in the list.

    A file that is no lock stands last: a folder, such as that of this program, may hold other kinds of TOML.
    """
    every = list(every)
    unsaved = [offer for offer in every if offer.copy is not None]
    own = _sorted([o for o in every if o.path is not None and not o.wrong], order)
    wrong = [offer for offer in every if offer.copy is None and offer.wrong]
    rest = [o for o in every if o.path is None and o.copy is None and not o.wrong]
    demos = [offer for offer in rest if offer.beside == _DEMO]
    new = [offer for offer in rest if offer.beside != _DEMO]
    return tuple(
        [*unsaved, *own, *new, *demos, *wrong] if own or unsaved else [*demos, *new, *wrong]
    )


def _sorted(own: list[Offer], order: Order) -> list[Offer]:
    """Return the locks in files in their order: by name those of other folders come last."""
    named = sorted(own, key=lambda offer: (" in " in offer.beside, offer.beside))
    if order == "change":
        return sorted(named, key=lambda offer: -offer.stamp[0])
    if order == "state":
        return sorted(named, key=lambda offer: -offer.stops)
    return named


def looked(offer: Offer) -> Offer:
    """Return the offer of a file once it was read."""
    if not offer.unread or offer.path is None:
        return offer
    try:
        project = load(offer.path)
    except BadFileError as error:
        return replace(offer, wrong=str(error))
    return replace(offer, title=plain(project.lock.title), session=opened(project))


def recovered(project: Project) -> tuple[Recovery, ...]:
    """Return the recovery copies of a project file, the newest first, that hold what the file does not.

    One that cannot be read is among them, with a note.
    """
    if project.path is None:
        return ()
    copies = left_behind(project.path)
    return tuple(c for c in copies if c.lock != project.lock or c.typed is not None)


def _unsaved(folder: Path) -> Iterator[Offer]:
    for copy in left_behind(folder):
        at = written_at(copy)
        if copy.lock is None:
            wrong = copy.note.text if copy.note is not None else ""
            yield Offer(f"unsaved work of {at}", "cannot be read", None, wrong, copy=copy)
        else:
            session = Session(copy.lock, Project(None, Lock())).of_lock(copy.lock)
            yield Offer(plain(copy.lock.title), f"unsaved work of {at}", session, copy=copy)


def dropped(session: Session, copies: Iterable[Recovery]) -> Iterator[str]:
    """Take away recovery copies that are not wanted; yield a sentence for each that is still there."""
    for copy in copies:
        try:
            drop_recovery(session.place, copy.seat)
        except SaveError as error:
            yield f"{error}."


def written_at(copy: Recovery) -> str:
    """Return when a recovery copy was written, in words."""
    return time.strftime("%d %b, %H:%M", time.localtime(copy.time))


def _of_folder(folder: Path) -> Iterator[Offer]:
    for path in sorted(folder.glob("*.toml"))[:MOST]:
        yield _of_file(path, plain(path.name))


def _recent(folder: Path) -> Iterator[Offer]:
    """Yield the locks that were worked on last in other folders."""
    here, home = os.path.abspath(folder), os.path.expanduser("~")
    for path in recent():
        above = str(path.parent)
        if above != here:
            told = f"~{above[len(home) :]}" if above.startswith(f"{home}{os.sep}") else above
            yield _of_file(path, plain(f"{path.name} in {told}"))


def _of_file(path: Path, beside: str) -> Offer:
    try:
        status = path.stat()
    except OSError:  # gone by now, or out of reach: reading it says why
        return Offer(plain(path.name), beside, None, path=path)
    stamp = (status.st_mtime_ns, status.st_size)
    return Offer(plain(path.name), beside, None, path=path, stamp=stamp)


def _known(offer: Offer, known: Mapping[Path, Offer]) -> Offer:
    before = known.get(offer.path) if offer.path is not None else None
    same = before is not None and before.stamp == offer.stamp != (0, 0)
    return replace(before, beside=offer.beside) if before is not None and same else offer


_DEMO = "demo"


def _demos() -> Iterator[Offer]:
    for path in sample_locks():
        project = load(path)
        # a demo belongs to the program: what is made of it is saved under a name of its own
        session = opened(Project(None, project.lock, source=project.source))
        yield Offer(plain(project.lock.title), _DEMO, session)


def _new() -> Iterator[Offer]:
    yield Offer("Guided first lock", "seven steps, each explained", new_lock("mm"), asks=True)
    yield Offer("New lock in millimetres", "", new_lock("mm"), begins="mm")
    yield Offer("New lock in inches", "", new_lock("in"), begins="in")


def new_lock(units: str) -> Session:
    """Return a session with a new lock in millimetres, "mm", or inches, "in"."""
    lock = first_lock(units)
    return Session(lock, Project(None, lock))
