"""The state of a sitting: one frozen value; a change makes a new one.

Glossary: a *session* is the lock at hand with its file and with its history, the changes that can be taken
back and made again, each named by what it changed.
"""

from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path

from core.files.project_file import Project
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.lock.history import History, Step
from core.lock.lock import Lock, specs
from core.lock.walk import KEPT, UNSEEN, Mark
from core.propose.given import SETTLED


@dataclass(frozen=True)
class Session:
    """The lock at hand, with the project file as it was last read or saved, and what was changed.

    `seat` is whose recovery copy it is: see `core.files.recovery`. `beside` is what there is to say of the copies
    kept beside the file. `pending` are the paths of a new lock whose values nobody has taken yet,
    `held` those that stay as they are in all that is proposed.
    """

    lock: Lock = field(default_factory=Lock)
    project: Project = field(default_factory=lambda: Project(None, Lock()))
    history: History = field(default_factory=History)
    seat: str = field(default="", compare=False)
    beside: tuple[Finding, ...] = ()
    pending: frozenset[str] = field(default=frozenset(), compare=False)
    held: frozenset[str] = field(default=frozenset(), compare=False)

    @property
    def past(self) -> tuple[Step, ...]:
        """The changes that can be taken back, the last one last."""
        return self.history.past

    @property
    def ahead(self) -> tuple[Step, ...]:
        """The changes that were taken back, the one to make again next last."""
        return self.history.ahead

    @property
    def notes(self) -> tuple[Finding, ...]:
        """What there is to say of the file and of what was kept beside it."""
        return (*self.project.notes, *self.beside)

    @property
    def dirty(self) -> bool:
        """Whether anything would be lost by leaving."""
        kept = self.project.lock
        return self.lock != kept or self.whole.walk != kept.walk

    @property
    def whole(self) -> Lock:
        """The lock as it is kept: with what is marked in it."""
        paths, ours = specs(), (UNSEEN, KEPT)
        others = {m for m in self.project.lock.walk if m.what not in ours or m.path not in paths}
        marks = {Mark(UNSEEN, path) for path in self.pending}
        marks |= {Mark(KEPT, path) for path in self.held}
        return replace(self.lock, walk=tuple(sorted(marks | others)))

    def of_lock(self, lock: Lock) -> "Session":
        """Return the session with what is marked in a lock that was kept, at a file or as a recovery copy."""
        marked = [mark for mark in lock.walk if mark.path in specs()]
        return replace(
            self,
            pending=frozenset(mark.path for mark in marked if mark.what == UNSEEN),
            held=frozenset(mark.path for mark in marked if mark.what == KEPT),
        )

    @property
    def place(self) -> Path:
        """Where the recovery copy belongs: to the project file, or without one to the folder."""
        return self.project.path or Path()

    def changed(
        self, lock: Lock, path: str = "", *, what: str = "", small: bool = False
    ) -> "Session":
        """Return the session with `lock` at hand, the value at `path` having been set.

        `what` names the change, by default after that value.
        """
        history = self.history.changed(self.lock, lock, path, what=what, small=small)
        return replace(self, lock=lock, history=history)

    def beside_it(self, path: str) -> str:
        """Return the word for a value that is kept, or that nobody has taken yet; empty for any other."""
        if path in self.held:
            return "kept"
        return "" if path not in self.pending else "proposed" if path in SETTLED else "usual"

    def owned(self, path: str) -> "Session":
        """Return the session in which the value at `path` is the maker's own."""
        return replace(self, pending=self.pending - {path}) if path in self.pending else self

    def undone(self) -> "Session":
        """Return the session with the last change taken back; the same if there is none."""
        history, lock = self.history.undone(self.lock)
        return replace(self, lock=lock, history=history)

    def redone(self) -> "Session":
        """Return the session with the last change that was taken back made again."""
        history, lock = self.history.redone(self.lock)
        return replace(self, lock=lock, history=history)

    def kept(self, project: Project) -> "Session":
        """Return the session after the lock at hand was saved as `project`."""
        # the same lock, whose rows now stand in the file under the names that they have
        return replace(self, lock=project.lock, project=project, history=self.history.closed())


def opened(project: Project) -> Session:
    """Return a session with the lock of a project file at hand."""
    return Session(project.lock, project).of_lock(project.lock)


@lru_cache(maxsize=16)
def layout_of(lock: Lock) -> Layout:
    """Return the layout of a lock; the same one while the lock was lately at hand."""
    return Layout(lock)
