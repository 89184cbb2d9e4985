"""Keeping the lock on the disk: saving, the recovery copy, and watching the file for changes."""

import re
from dataclasses import dataclass, replace
from pathlib import Path

from core.files.history_file import load_history, save_history
from core.files.project_file import save
from core.files.recovery import drop_recovery, save_recovery
from core.lock.history import History
from core.text import plain
from tui.desk.session import Session


def saved(session: Session, path: Path | None = None, *, over: bool = False) -> Session:
    """Return the session after its lock was written to `path`, or to its own file.

    The recovery copy, which has nothing more to add, is taken away.

    Raises
    ------
    SaveError
        Where nothing was written; `ChangedOnDiskError` where the file is not what was read.
    """
    before = session.place
    project = save(session.project.with_lock(session.lock), path, over=over)
    done = session.kept(project)
    for place in {before, done.place}:
        drop_recovery(place)
    return done


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


def remembered(session: Session) -> tuple[Session, str]:
    """Return a session with the changes that were kept beside its file, and news in a sentence, if any."""
    path, source = session.project.path, session.project.source
    if path is None or source is None or session.history != History():
        return session, ""
    kept = load_history(session.project.lock, path, source)
    news = kept.note.text if kept.note is not None else ""
    project = replace(session.project, texts=kept.texts)
    return replace(session, project=project, history=kept.history), news


def keep_copy(session: Session) -> None:
    """Write the recovery copy, or take it away where there is nothing to recover.

    Raises
    ------
    SaveError
        Where it could not be written.
    """
    if session.dirty:
        save_recovery(session.lock, session.place)
    else:
        drop_recovery(session.place)


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
