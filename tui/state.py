"""The state of a sitting: one frozen value; a change makes a new one.

Glossary: a *session* is the lock at hand with its file and with what was changed; a *change* is one
step that can be taken back, named by what it changed.
"""

from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path

from core.layout import Layout
from core.lock import Lock, spec_of
from core.project_file import Project


@dataclass(frozen=True)
class Change:
    """One change: what it was, the path that it set, and the lock on its other side."""

    what: str
    path: str
    lock: Lock
    small: bool = False
    """Whether it was a nudge: further nudges of the same value belong to it."""


@dataclass(frozen=True)
class Session:
    """The lock at hand, with the project file as it was last read or saved."""

    lock: Lock = field(default_factory=Lock)
    project: Project = field(default_factory=lambda: Project(None, Lock()))
    past: tuple[Change, ...] = ()
    ahead: tuple[Change, ...] = ()

    @property
    def dirty(self) -> bool:
        """Whether anything would be lost by leaving."""
        return self.lock != self.project.lock

    @property
    def place(self) -> Path:
        """Where the recovery copy belongs: to the project file, or without one to the folder."""
        return self.project.path or Path()

    def changed(self, lock: Lock, path: str, *, small: bool = False) -> "Session":
        """Return the session with `lock` at hand, the value at `path` having been set."""
        if lock == self.lock:
            return self
        last = self.past[-1] if self.past else None
        if small and last is not None and last.small and last.path == path and not self.ahead:
            return replace(self, lock=lock)
        change = Change(spec_of(path).label, path, self.lock, small)
        return replace(self, lock=lock, past=(*self.past, change), ahead=())

    def undone(self) -> "Session":
        """Return the session with the last change taken back; the same if there is none."""
        if not self.past:
            return self
        *before, last = self.past
        redo = replace(last, lock=self.lock, small=False)
        return replace(self, lock=last.lock, past=tuple(before), ahead=(*self.ahead, redo))

    def redone(self) -> "Session":
        """Return the session with the last change that was taken back made again."""
        if not self.ahead:
            return self
        *rest, last = self.ahead
        undo = replace(last, lock=self.lock)
        return replace(self, lock=last.lock, past=(*self.past, undo), ahead=tuple(rest))

    def kept(self, project: Project) -> "Session":
        """Return the session after the lock at hand was saved as `project`."""
        past = tuple(replace(change, small=False) for change in self.past)
        return replace(self, project=project, past=past)


def opened(project: Project) -> Session:
    """Return a session with the lock of a project file at hand."""
    return Session(project.lock, project)


@lru_cache(maxsize=16)
def layout_of(lock: Lock) -> Layout:
    """Return the layout of a lock; the same one while the lock was lately at hand."""
    return Layout(lock)
