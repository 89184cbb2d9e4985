"""Working something out piece by piece, so that keys pressed meanwhile need not wait."""

import asyncio
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from time import monotonic
from typing import Generic, Protocol, TypeVar

from textual.widget import Widget


class Stage(Protocol):
    """What is known so far."""

    @property
    def complete(self) -> bool:
        """Whether nothing more is to come."""


Known = TypeVar("Known", bound=Stage)


@dataclass(frozen=True)
class Ended:
    """Nothing more is to come, and there is nothing to tell of it."""

    complete: bool = True


class Brought:
    """What a piece yields that has brought something on the screen by itself."""


SLICE = 0.004
"""Time [s] within which pieces follow on one another: to hear a key in between costs as much as a small one."""
LATEST = 0.25
"""Time [s] after which the work begins all the same, when no drawing comes."""


def there(widget: Widget) -> bool:
    """Say whether a widget is there with all that it holds.

    On its way out it is attached still while some of that has gone; the toolkit counts it as not displayed then.
    """
    return widget.is_attached and widget.display and bool(widget.children)


def once_drawn(widget: Widget, call: Callable[[], object]) -> None:
    """Make a call once a widget is drawn with all that it has been told by now.

    A widget says that it wants to be drawn only after what it is told: before that, nothing seems to wait for it.
    """
    widget.call_after_refresh(_soon, widget.call_after_refresh, call)


def _soon(call: Callable[..., object], *arguments: object) -> None:
    """Call by way of the loop: a message to oneself is taken up at once, and no key is heard in between."""
    asyncio.get_running_loop().call_soon(call, *arguments)


class Piecework(Generic[Known]):
    """Work for a widget that is done in pieces; only what was begun last goes on."""

    def __init__(self, widget: Widget, learn: Callable[[Known], None]) -> None:
        """Work for `widget`; `learn` is told what is known whenever that is more."""
        self._widget, self._learn = widget, learn
        self._pieces: Iterator[Known | Brought | None] = iter(())
        self._round, self._done = 0, -1
        self._waits, self._over = 0, 0

    @property
    def done(self) -> bool:
        """Whether everything that was begun last has been worked out."""
        return self._round == self._done

    def begin(self, pieces: Iterator[Known | Brought | None]) -> None:
        """Begin once the widget is drawn; `pieces` yields what is known, or None, until that is complete."""
        self._round += 1
        self._pieces = pieces
        self._once_drawn()

    def leave_off(self) -> None:
        """Work out no more of what was begun last."""
        self._round += 1
        self._done = self._round

    def _once_drawn(self) -> None:
        """Go on once the widget is drawn."""
        self._waits += 1
        go_on = partial(self._drawn, self._waits, self._round)
        once_drawn(self._widget, go_on)
        # that waits for the screen which is in front now: it may go, or be covered, before it is drawn again
        self._widget.set_timer(LATEST, go_on)

    def _drawn(self, wait: int, number: int) -> None:
        if self._over < wait:
            self._over = wait
            self._go_on(number)

    def _go_on(self, number: int) -> None:
        """Work out some more pieces, unless something else was begun by now.

        What they bring on the screen is let through to the terminal before any more is worked out: it takes several
        turns of the loop to get there, and a piece in each of them would hold it up.
        """
        if number != self._round or not there(self._widget):
            return
        known, until = None, monotonic() + SLICE
        while known is None and monotonic() < until:
            known = next(self._pieces, None)
        if isinstance(known, Brought):
            self._let_through()
        elif known is None:
            _soon(self._widget.call_later, self._go_on, number)
        else:
            if known.complete:
                self._done = number
            self._learn(known)
            if not known.complete and number == self._round:
                self._let_through()

    def _let_through(self) -> None:
        """Go on once what was brought on the screen is drawn, or at once where the widget is covered."""
        if self._widget.screen.is_current:
            self._once_drawn()
        else:
            _soon(self._widget.call_later, self._go_on, self._round)
