"""What a value of the lock is: its `Spec`, and the `Kind` that knows how such values are kept, shown and typed.

A new kind of value is a new class below `Kind`, and a declaration that uses it (see `core.lock.fields`): the
project file, prompts, texts, nudges and searches ask the kind, and none of them knows which kinds there are.
"""

from dataclasses import dataclass
from typing import Any, ClassVar, Literal

from core.errors import BadEntryError, BadValueError
from core.text import plain, shown

Entering = Literal["typed", "picked", "free", "none"]
"""How an entry takes a value: typed; picked from words by arrows and letters; typed free, so that every key may
be part of it; or not at all."""


@dataclass(frozen=True)
class Spec:
    """What a value is: its kind, limits and the help shown at its prompt.

    `low` and `high` are the inclusive limits [mm for lengths and positions, degrees for angles,
    N for forces].
    """

    kind: "Kind"
    label: str
    what: str
    measure: str = ""
    usual: str = ""
    low: float = 0.0
    high: float = 0.0
    choices: tuple[str, ...] = ()

    @property
    def allowed(self) -> str:
        """What may stand here, in words that end a refusal."""
        return self.kind.allowed(self)

    def allowed_in(self, units: str) -> str:
        """What may be typed here in a lock in `units`, in words that end a refusal."""
        return self.kind.allowed_in(self, units)

    def entered(self, text: str, units: str) -> Any:
        """Return the value that `text` states at a prompt of a lock in `units`, as a lock may have it.

        Raises
        ------
        BadEntryError
            For text that is no such value.
        BadValueError
            For one that may not stand here; the sentence is in the lock's own units.
        """
        value = self.read(text, units)
        try:
            return self.check(value, self.label)
        except BadValueError:
            if not self.kind.number:
                raise
            told = self.shown(value, units)
            raise BadValueError(
                f"{self.label} = {told} is not allowed: it takes {self.allowed_in(units)}"
            ) from None

    def check(self, value: object, name: str) -> Any:
        """Return `value` in the type that it has in a lock, or refuse it; `name` stands in the message.

        Raises
        ------
        BadValueError
            For a wrong type, NaN, an infinity, or a value outside the limits.
        """
        return self.kind.check(self, value, name)

    def from_file(self, value: object, name: str) -> Any:
        """Return what a project file states as a lock has it, or refuse it as `check` does."""
        return self.kind.from_file(self, value, name)

    def to_file(self, value: Any) -> Any:
        """Return a value of a lock as a project file has it."""
        return self.kind.to_file(value)

    def shown(self, value: object, units: str) -> str:
        """Return `value` for reading, with its unit; lengths in `units`."""
        return self.kind.shown(value, units)

    def written(self, value: object, units: str) -> str:
        """Return `value` as it is edited at a prompt of a lock in `units`."""
        return self.kind.written(value, units)

    def read(self, text: str, units: str) -> object:
        """Return the value that `text` states at a prompt, before the limits are looked at.

        Raises
        ------
        BadEntryError
            For text that is no such value.
        """
        return self.kind.read(self, text, units)

    def unit(self, units: str) -> str:
        """Return the unit that stands after the prompt."""
        return self.kind.unit(units)

    def nudged(self, value: object, units: str, steps: int) -> Any:
        """Return `value` moved by `steps` nudges, within what it may be; None where it cannot be nudged."""
        return self.kind.nudged(self, value, units, steps)

    def chosen(self, start: str, after: str = "") -> str | None:
        """Return the word to pick that begins with `start`, in any case; None where none does.

        Of several it is the one that comes next `after` a word, round and round; without that the first.
        """
        low = start.strip().lower()
        words = self.kind.words(self)
        turn = words.index(after) + 1 if after in words else 0
        among = (*words[turn:], *words[:turn])
        return next((word for word in among if low and word.lower().startswith(low)), None)


class Kind:
    """What is common to all values of one kind. Subclasses hold no state; there is one value of each.

    A lock holds a value of any kind as text, numbers, or tuples of these, so that it can be hashed.
    """

    name: ClassVar[str]
    """What it is called in tests and messages to programmers."""
    number: ClassVar[bool] = False
    """Whether its values are numbers between `Spec.low` and `Spec.high`, which a window may bound."""
    entering: ClassVar[Entering] = "typed"
    long: ClassVar[bool] = False
    """Whether its entry takes a whole line."""
    how: ClassVar[str] = ""
    """What is said beside the window or the usual value of how a value is typed; nothing where a number says it all."""
    tried: ClassVar[bool] = True
    """Whether another value of it can change anything at the bench."""

    def allowed(self, spec: Spec) -> str:
        """What may stand there, in words that end a refusal."""
        raise NotImplementedError

    def allowed_in(self, spec: Spec, units: str) -> str:
        """What may be typed in a lock in `units`, in words that end a refusal."""
        del units
        return self.allowed(spec)

    def check(self, spec: Spec, value: object, name: str) -> Any:
        """Return `value` in the type that it has in a lock, or refuse it (BadValueError)."""
        raise NotImplementedError

    def from_file(self, spec: Spec, value: object, name: str) -> Any:
        """Return what a project file states as a lock has it, or refuse it (BadValueError)."""
        return self.check(spec, value, name)

    def to_file(self, value: Any) -> Any:
        """Return `value` as a project file has it: text, a number, true or false, or tuples of these."""
        return value

    def shown(self, value: object, units: str) -> str:
        """Return `value` for reading."""
        del units
        return plain(str(value))

    def told(self, value: object, units: str) -> str:
        """Return `value` as it stands in a sentence."""
        return self.shown(value, units)

    def written(self, value: object, units: str) -> str:
        """Return `value` as it is edited at a prompt."""
        return self.shown(value, units)

    def read(self, spec: Spec, text: str, units: str) -> object:
        """Return the value that `text` states at a prompt (BadEntryError for none)."""
        raise NotImplementedError

    def unit(self, units: str) -> str:
        """Return the unit that stands after the prompt."""
        del units
        return ""

    def blank(self, spec: Spec) -> Any:
        """Return the value that a new row begins with where nothing better is known."""
        raise NotImplementedError

    def hint(self, spec: Spec, units: str) -> str:
        """Return what is said below the prompt of how to enter a value; nothing where there is more to say."""
        del spec, units
        return ""

    def words(self, spec: Spec) -> tuple[str, ...]:
        """Return the words that are picked from, as `written` has them; none for a kind that is typed."""
        del spec
        return ()

    def nudged(self, spec: Spec, value: object, units: str, steps: int) -> Any:
        """Return `value` moved by `steps` nudges, or by as many words; None where it cannot be nudged."""
        words = self.words(spec)
        if not words:
            return None
        here = words.index(self.written(value, units))
        return self.read(spec, words[(here - steps) % len(words)], units)

    def grain(self, units: str) -> float:
        """Return the finest step in which a search for a better value may look; 0 where none may."""
        del units
        return 0.0

    def refused(self, spec: Spec, value: object, name: str) -> BadValueError:
        """Return the refusal of a value, in one sentence."""
        return BadValueError(f"{name} = {shown(value)} is not allowed: it takes {spec.allowed}")

    def refused_entry(self, spec: Spec, text: str) -> BadEntryError:
        """Return the refusal of what was typed, in one sentence."""
        return BadEntryError(f"{plain(text)} is not allowed here: it takes {spec.allowed}")
