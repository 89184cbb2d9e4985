"""Filling in the list of locks after it is shown: what was not read yet, and how each lock stands."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from tui.desk.checking import checking
from tui.desk.session import layout_of
from tui.start.shelf import Offer, looked


@dataclass(frozen=True)
class Filled:
    """The offers as they are known so far; `complete` once there is nothing more to know."""

    offers: tuple[Offer, ...]
    complete: bool


def filled(offers: tuple[Offer, ...]) -> Iterator[Filled | None]:
    """Read and check one lock after the other, a little at a time: yields None between, and what is known by then."""
    known = list(offers)
    for number, offer in enumerate(known):
        if offer.unread:
            known[number] = looked(offer)
            yield Filled(tuple(known), complete=False)
    for number, offer in enumerate(known):
        if offer.path is None or offer.session is None or offer.found is not None:
            continue
        for found in checking(layout_of(offer.session.lock), offer.session.notes, ("",)):
            if found is not None and found.heard:
                known[number] = replace(offer, found=found)
                break  # no value is asked for here, so what fits is of no use
            yield None
        yield Filled(tuple(known), complete=False)
    yield Filled(tuple(known), complete=True)
