"""Keeping the lock on the disk: saving, the recovery copy, and watching the file for changes."""

import os
import re
import secrets
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from core.errors import SaveError
from core.files.claims import beside, claim, give_back, is_claimed
from core.files.history_file import load_history, save_history
from core.files.notes import NOT_SYNCED
from core.files.project_file import save
from core.files.recovery import (
    Recovery,
    Typed,
    drop_recovery,
    load_recoveries,
    load_recovery,
    recovery_path,
    save_recovery,
)
from core.layout.findings import Finding
from core.lock.history import History
from core.text import plain
from tui.desk.session import Session

_OPEN = "open"
"""Ending of the file that a program holds while it has a lock open."""


def saved(session: Session, path: Path | None = None, *, over: bool = False) -> tuple[Session, str]:
    """Return the session after its lock was written to `path`, or to its own file, and news, if any.

    The recovery copy, which has nothing more to add, is taken away. What fails after the lock is on the disk is
    news: the lock is saved.

    Raises
    ------
    SaveError
        Where nothing was written; `ChangedOnDiskError` where the file is not what was read.
    """
    project = save(session.project.with_lock(session.whole), path, over=over)
    done = session.kept(project)
    news = [note.text for note in project.notes if note.code == NOT_SYNCED.name]
    if done.place != session.place:
        done, _ = seated(done)
    try:
        drop_recovery(session.place, session.seat)
    except SaveError as error:
        news.append(f"{error}.")
    if done.place != session.place:
        stand_up(session)
    return done, " ".join(news)


def seated(session: Session, copy: Recovery | None = None) -> tuple[Session, bool]:
    """Return the session with a seat at its lock, and whether no other program has the lock open.

    `copy` is the recovery copy that is taken up. One that stands there otherwise, that cannot be read or belongs to a
    program that is running, is never written over.
    """
    place = session.place
    if session.project.path is None:
        # without a copy there is nothing yet that another program could find
        if copy is not None and claim(beside(place, _OPEN, copy.seat)):
            return replace(session, seat=copy.seat), True
        return replace(session, seat=secrets.token_hex(4)), copy is None
    first = claim(beside(place, _OPEN))
    own = "" if first and _is_free(session) else secrets.token_hex(4)
    seat = own if copy is None else copy.seat
    claim(beside(place, _OPEN, seat))
    return replace(session, seat=seat), first


def _is_free(session: Session) -> bool:
    """Say whether no copy stands at the first seat, or one that holds no more than the file."""
    if not os.path.exists(recovery_path(session.place)):
        return True
    copy = load_recovery(session.place, "")
    return copy is not None and copy.lock == session.project.lock and copy.typed is None


def stand_up(session: Session) -> None:
    """Give the session's seat back."""
    for seat in {"", session.seat} if session.project.path is not None else {session.seat}:
        give_back(beside(session.place, _OPEN, seat))


def left_behind(place: Path) -> tuple[Recovery, ...]:
    """Return the recovery copies for a project file, or in a folder, whose programs are gone, the newest first."""
    copies = load_recoveries(place)
    return tuple(c for c in copies if not is_claimed(beside(place, _OPEN, c.seat)))


def keep_history(session: Session) -> None:
    """Write the changes of a session beside its file, as they stand after a save.

    Raises
    ------
    SaveError
        Where they could not be written; the lock itself is saved.
    """
    path, source = session.project.path, session.project.source
    if path is not None and source is not None:
        save_history(session.history, session.lock, path, source, session.project.texts)


def remembered(session: Session) -> Session:
    """Return a session with what was kept beside its file: its changes, and what there is to say of them."""
    beside = (*session.beside, *_set_aside(session))
    path, source = session.project.path, session.project.source
    if path is None or source is None or session.history != History():
        return replace(session, beside=beside)
    kept = load_history(session.project.lock, path, source)
    beside = beside if kept.note is None else (*beside, kept.note)
    project = replace(session.project, texts=kept.texts)
    return replace(session, project=project, history=kept.history, beside=beside)


def _set_aside(session: Session) -> Iterator[Finding]:
    """Give recovery copies that cannot be read another name, so that they are in no copy's way; tell of them."""
    for copy in left_behind(session.place):
        if copy.lock is not None or copy.note is None:
            continue
        aside = copy.path.with_name(f"{copy.path.name}~")
        try:
            os.replace(copy.path, aside)
        except (
            OSError
        ):  # a folder that cannot be written to: no other copy can take its place either
            yield copy.note
        else:
            yield replace(copy.note, text=f"{copy.note.text} It is now called {plain(aside.name)}.")


def keep_copy(session: Session, typed: Typed | None = None) -> None:
    """Write the recovery copy, or take it away where there is nothing to recover.

    `typed` is what stands in the entry and was not entered.

    Raises
    ------
    SaveError
        Where it could not be written.
    """
    if session.dirty or typed is not None:
        claim(beside(session.place, _OPEN, session.seat))
        save_recovery(session.whole, session.place, seat=session.seat, typed=typed)
    else:
        drop_recovery(session.place, session.seat)


def suggested_name(session: Session) -> Path:
    """Return a name for the lock's file, made from its title, that is not taken yet."""
    words = re.findall(r"[a-z0-9]+", plain(session.lock.title).lower())
    stem = "_".join(words)[:40] or "padlock"
    path, number = Path(f"{stem}.toml"), 2
    while path.exists():
        path, number = Path(f"{stem}_{number}.toml"), number + 1
    return path


@dataclass(frozen=True)
class Watch:
    """Looks whether a session's file still holds what was read; cheap to ask again and again."""

    path: Path | None = None
    source: bytes | None = None
    stamp: tuple[int, int] | None = None
    told: bool = False

    @classmethod
    def of(cls, session: Session) -> "Watch":
        """Return a watch over the session's file as it was read or saved."""
        path, source = session.project.path, session.project.source
        if path is None or source is None:
            return cls()
        return cls(path, source.encode(), None)

    def looked(self) -> tuple["Watch", str]:
        """Look at the file; return the watch to go on with, and news in one sentence, if any."""
        if self.path is None:
            return self, ""
        name = plain(self.path.name)
        try:
            now = self.path.stat()
            stamp = (now.st_mtime_ns, now.st_size)
            if stamp == self.stamp:
                return self, ""
            same = self.path.read_bytes() == self.source
        except OSError:  # gone, or out of reach: saving will say so in its own words
            if self.told:
                return self, ""
            return replace(
                self, stamp=None, told=True
            ), f"{name} is gone from the disk; F2 writes it anew."
        if same:
            return replace(self, stamp=stamp, told=False), ""
        news = f"{name} was changed on the disk by somebody else; F2 asks before it writes over it."
        return replace(self, stamp=stamp, told=True), news
