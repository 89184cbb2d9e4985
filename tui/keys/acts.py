"""What keys are made of: acts, the places where they hold, and which places a screen has.

Glossary: an *act* is one thing that can be done, with the keys that do it. A *place* is where some acts hold
together: in a list, in the line that is typed in, all over a screen. A *stand* is where the cursor can be on a
screen, with the places whose keys hold there. No key does two things in one stand.

The tables themselves are the other modules of this room, one for each room of screens; `tui.keys.every_key`
gathers them. Keys, hints and help are drawn from them, so that nothing can be done that is not told.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from textual.binding import Binding, BindingType

Kind = Literal["", "number", "choice", "text", "none"]
"""What the line holds that the cursor is in, "none" where it takes nothing; "" where that does not matter."""

_NAMES = {
    "escape": "Esc", "pageup": "PgUp", "pagedown": "PgDn", "plus": "+", "equals_sign": "=", "minus": "-",
    "question_mark": "?", "full_stop": ".", "comma": ",", "backspace": "Backspace", "delete": "Del",
}  # fmt: skip


def key_name(key: str) -> str:
    """Return how a key that the terminal calls `key` is written for the maker."""
    return "+".join(_NAMES.get(part, part.capitalize()) for part in key.split("+"))


@dataclass(frozen=True)
class Act:
    """One thing that can be done. `keys` as the terminal names them, `help` what it does.

    An act with a `hint` is named in the last line of its screen, the smallest `rank` first; with `written`,
    where several acts are named as one. One that `opens` another screen names the module, in `tui`, that has
    an `over`, which makes that screen for the working screen it is given. `typed` are characters that the
    widget takes as they are typed, in words; `keys` are then some of them.
    """

    name: str
    keys: tuple[str, ...]
    help: str
    hint: str = ""
    rank: int = 99
    written: str = ""
    opens: str = ""
    typed: str = ""

    @property
    def shown(self) -> str:
        """The first of its keys, as it is written for the maker."""
        return self.written or self.typed or key_name(self.keys[0])

    @property
    def all_shown(self) -> str:
        """Every one of its keys, as they are written for the maker."""
        return self.typed or ", ".join(key_name(key) for key in self.keys)

    @property
    def action(self) -> str:
        """The act as the toolkit runs it."""
        return f"open('{self.opens}')" if self.opens else self.name


@dataclass(frozen=True)
class Place:
    """Where some acts hold; `heading` stands over them in the help.

    `by_screen` says that the screen carries them out, not the widget whose keys they are.
    """

    heading: str
    acts: tuple[Act, ...]
    by_screen: bool = False

    def bound(self) -> list[BindingType]:
        """Return the acts as the toolkit binds them to their keys."""
        owner = "screen." if self.by_screen else ""
        return [
            Binding(",".join(act.keys), owner + act.action, act.hint or act.name, show=False)
            for act in self.acts
            if not act.typed
        ]


def bindings(*places: Place) -> list[BindingType]:
    """Return what binds the acts of some places to their keys."""
    return [binding for place in places for binding in place.bound()]


_KINDS: dict[str, Kind] = {"typed": "number", "picked": "choice", "free": "text", "none": "none"}
"""What the line holds, by how a value in it is entered."""


@dataclass(frozen=True)
class Stand:
    """Where the cursor can be: in the widget called `cursor`, "" for none, in a line that holds a `kind`.

    Its keys are those of its `places`, the innermost first.
    """

    cursor: str
    places: tuple[Place, ...]
    kind: Kind = ""

    @property
    def acts(self) -> Iterator[Act]:
        """Every act that can be done here."""
        return (act for place in self.places for act in place.acts)

    @property
    def hints(self) -> Iterator[Act]:
        """The acts to be named in the last line while the cursor is here, each once, the most needed first.

        That is every act but those that edit a line, help before all.
        """
        first = {act.action: act for act in reversed([act for act in self.acts if act.hint])}
        return iter(sorted(first.values(), key=lambda act: (act.name != "help", act.rank)))


@dataclass(frozen=True)
class Keys:
    """All keys of a screen, by where the cursor can be on it; `title` says which screen, in words."""

    name: str
    title: str
    stands: tuple[Stand, ...]

    @property
    def places(self) -> tuple[Place, ...]:
        """The places of the screen, each one once."""
        return tuple(dict.fromkeys(place for stand in self.stands for place in stand.places))

    def stand(self, cursor: str, entering: str = "") -> Stand:
        """Return the stand of a cursor in the widget called `cursor`, in a line where a value is entered so.

        Where the cursor is nowhere that the table knows, it is the first one.
        """
        kind = _KINDS.get(entering, "")
        here = [s for s in self.stands if s.cursor == cursor and s.kind in ("", kind)]
        return (here or list(self.stands))[0]
