"""What the first screen offers: the locks of the folder, unsaved work, new ones, and the demos."""

import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from core.errors import BadFileError, SaveError
from core.files.project_file import Project, load
from core.files.recovery import Recovery, drop_recovery
from core.lock.first_lock import first_lock
from core.lock.lock import Lock
from core.shipped import sample_locks
from core.text import plain
from tui.desk.saving import left_behind
from tui.desk.session import Session, opened

MOST = 200
"""Project files of a folder that are looked into; a folder with more is no folder of locks."""


@dataclass(frozen=True)
class Offer:
    """One line of the first screen: its title, what stands beside it, and the session it opens.

    `session` is None for a file that cannot be opened, with the reason in `wrong`; `copy` is the recovery copy that
    unsaved work comes from. `asks` stands for a lock that is begun with a guide, in the units that the maker chooses.
    `begins` are the units of a new lock, for which its maker says first what there is.
    """

    title: str
    beside: str
    session: Session | None
    wrong: str = ""
    copy: Recovery | None = None
    asks: bool = False
    begins: str = ""


def offers(folder: Path) -> tuple[Offer, ...]:
    """Return what the first screen offers in a folder, demos first where there is no lock yet.

    A file that is no lock stands last: a folder, such as that of this program, may hold other kinds of TOML.
    """
    found = list(_of_folder(folder))
    own = [*_unsaved(folder), *(offer for offer in found if offer.session)]
    others = [offer for offer in found if not offer.session]
    demos = list(_demos())
    new = [
        Offer(
            "Guided first lock",
            "seven steps, each explained",
            new_lock("mm"),
            asks=True,
        ),
        Offer("New lock in millimetres", "", new_lock("mm"), begins="mm"),
        Offer("New lock in inches", "", new_lock("in"), begins="in"),
    ]
    return tuple([*own, *new, *demos, *others] if own else [*demos, *new, *others])


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
            yield Offer(f"unsaved work of {at}", "cannot be opened", None, wrong)
        else:
            session = Session(copy.lock, Project(None, Lock()))
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
        name = plain(path.name)
        try:
            project = load(path)
        except BadFileError as error:
            yield Offer(name, "cannot be opened", None, str(error))
            continue
        yield Offer(plain(project.lock.title), name, opened(project))


def _demos() -> Iterator[Offer]:
    for path in sample_locks():
        project = load(path)
        # a demo belongs to the program: what is made of it is saved under a name of its own
        session = opened(Project(None, project.lock, source=project.source))
        yield Offer(plain(project.lock.title), "demo", session)


def new_lock(units: str) -> Session:
    """Return a session with a new lock in millimetres, "mm", or inches, "in"."""
    lock = first_lock(units)
    return Session(lock, Project(None, lock))
