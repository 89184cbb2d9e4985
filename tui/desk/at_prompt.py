"""A value at a prompt: what an entry, a nudge or a word that is picked does to it, and what is said of that.

The desk, a change that is tried, what was measured on a made part and what was read off at the bench all have a
value at a prompt, and are a state each: a frozen value, of which every move returns a new one, so that a burst of
keys is worked off in order and the screens only show what is here. Nothing in this module knows of a screen.
"""

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import Any, ClassVar, Literal, Self

from core.errors import BoltwrightError
from core.lock.spec import Spec


@dataclass(frozen=True)
class Notice:
    """One sentence: `bad` for a refused entry, `outside` for one that does not fit, `end` of the walk, or `said`.

    `code` names the finding that an entry outside its window gives.
    """

    kind: Literal["bad", "outside", "end", "said"]
    text: str
    code: str = ""


class AtPrompt(ABC):
    """A state with a value at hand. `notice` is what there is to say of the last move."""

    notice: Notice | None
    MAY_BE_EMPTY: ClassVar[bool] = False
    """Whether an empty entry takes the value away; otherwise it leaves it as it is."""

    @property
    @abstractmethod
    def spec(self) -> Spec:
        """What the value may be."""

    @property
    @abstractmethod
    def units(self) -> str:
        """The units that lengths are written in."""

    @property
    @abstractmethod
    def value(self) -> object:
        """The value at hand [mm, degrees, N, a choice, a text]; None where there is none."""

    @property
    def usual(self) -> object:
        """The value that a nudge begins from where there is none at hand."""
        return self.value

    @abstractmethod
    def with_value(self, value: Any, *, small: bool = False) -> Self:
        """Return the state with another value at hand, None to take it away; `small` marks a nudge."""

    @abstractmethod
    def noticed(self, notice: Notice | None) -> Self:
        """Return the state with another notice."""

    @property
    def text(self) -> str:
        """The value at hand as it stands in the entry."""
        value = self.value
        return "" if value is None else self.spec.written(value, self.units)

    @property
    def refused(self) -> bool:
        """Whether the last entry was refused."""
        return self.notice is not None and self.notice.kind == "bad"

    def said(self, text: str) -> Self:
        """Return the state with a plain notice."""
        return self.noticed(Notice("said", text))

    def refusing(self, text: str) -> Self:
        """Return the state with the last entry refused, and why in a sentence."""
        return self.noticed(Notice("bad", text))

    def silent(self) -> Self:
        """Return the state without a notice."""
        return self.noticed(None)

    # entries

    def untouched(self, text: str) -> bool:
        """Say whether an entry leaves the value as it is, to its last digit."""
        entering = self.spec.kind.entering
        if entering in ("free", "none"):
            return entering == "none" or text == self.text
        text = text.strip()
        return text == self.text or (not text and not self.MAY_BE_EMPTY)

    def taken(self, text: str) -> Self:
        """Return the state with the entry `text` taken, or refused with a notice.

        An entry that nobody touched keeps the value to its last digit; so does an empty one, where there has
        to be a value.
        """
        if self.untouched(text):
            return self.silent()
        if not text.strip() and self.MAY_BE_EMPTY:
            return self.silent().with_value(None)
        try:
            value = self.spec.entered(text, self.units)
        except BoltwrightError as refusal:
            return self.refusing(str(refusal))
        return self.silent().with_value(value)

    def nudged(self, steps: int) -> Self:
        """Return the state with the value moved by `steps` nudges, or the choice turned."""
        spec, value = self.spec, self.usual if self.value is None else self.value
        moved = spec.nudged(value, self.units, steps)
        if moved is None:
            none = spec.kind.entering == "none"
            told = "There is nothing to nudge here: type it, and press Enter."
            return self.said(spec.kind.hint(spec, self.units) if none else told)
        return self.silent().with_value(moved, small=True)

    def picked(self, start: str, *, next_one: bool = False) -> Self:
        """Return the state with the choice that begins with `start`; refused if none does.

        With `next_one` it is the next that does after the one at hand, round and round.
        """
        found = self.spec.chosen(start, self.text if next_one else "")
        if found is None:
            return self.refusing(
                f"Nothing here begins with {start}: it takes {self.spec.allowed_in(self.units)}."
            )
        return self.silent().with_value(self.spec.read(found, self.units))
