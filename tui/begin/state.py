"""The first page of a new lock: what is asked, what was answered, and which question is at hand."""

from dataclasses import dataclass, replace

from core.lock.lock import Lock
from core.lock.spec import Spec
from core.propose.first_page import END, answered, asked_as, questions
from core.propose.proposals import Proposals
from tui.desk.at_prompt import AtPrompt, Notice
from tui.made.state import Row


@dataclass(frozen=True)
class Answers(AtPrompt):
    """A lock as far as it was answered for: `typed` are the paths of it, `row` numbers the question at hand."""

    lock: Lock
    typed: frozenset[str] = frozenset()
    row: int = 0
    notice: Notice | None = None

    @property
    def path(self) -> str:
        """The path that the question at hand asks for."""
        asked = questions(self.lock)
        return asked[min(self.row, len(asked) - 1)]

    @property
    def spec(self) -> Spec:
        """What the question at hand takes."""
        return asked_as(self.lock, self.path)

    @property
    def units(self) -> str:
        """The units of the lock."""
        return self.lock.units

    @property
    def value(self) -> object:
        """The answer at hand; the shackle's end as a distance."""
        return self.at_hand(self.path)

    def at_hand(self, path: str) -> object:
        """Return the answer to the question that asks for `path`."""
        value = self.lock.value(path)
        return abs(float(value)) if path == END else value

    def with_value(self, value: object, *, small: bool = False) -> "Answers":
        """Return the page with another answer at hand [mm, a word or a text]."""
        del small
        path = self.path
        lock = answered(self.lock, path, value, self.typed)
        return replace(self, lock=lock, typed=self.typed | {path})

    def noticed(self, notice: Notice | None) -> "Answers":
        """Return the page with another notice."""
        return replace(self, notice=notice)

    def at(self, row: int) -> "Answers":
        """Return the page at another question, the first or the last where there is none of that number."""
        return replace(self, row=min(max(row, 0), len(questions(self.lock)) - 1))

    def at_path(self, path: str) -> "Answers":
        """Return the page at the question that asks for `path`."""
        asked = questions(self.lock)
        return self.at(asked.index(path)) if path in asked else self

    @property
    def last(self) -> bool:
        """Whether the last question is at hand."""
        return self.row >= len(questions(self.lock)) - 1


def rows(answers: Answers) -> tuple[Row, ...]:
    """Return the questions with what is answered, and what only follows from other answers."""
    lock, found = answers.lock, []
    for path in questions(lock):
        spec = asked_as(lock, path)
        label = "sheet for the bolt" if path == "bolt.thickness" else spec.label
        beside = "" if path in answers.typed or path == answers.path else "usual"
        value = answers.at_hand(path)
        if path == "fit.key_max" and not value:
            beside = "any"
        text = spec.written(value, lock.units)
        found.append(Row(path, label, spec.kind, text, spec.unit(lock.units), beside))
    return tuple(found)


@dataclass(frozen=True)
class Offered:
    """What is proposed for the answers so far; `complete` once all of it is known."""

    lock: Lock
    found: Proposals | None

    @property
    def complete(self) -> bool:
        """Whether nothing more is to come."""
        return self.found is not None
