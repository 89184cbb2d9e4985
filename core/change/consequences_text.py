"""The consequences of one change as plain text that fits one screen of 80 columns and 24 lines."""

import textwrap
from collections.abc import Iterable

from core.change.consequences import Consequences, Reading
from core.change.rescue import Offer
from core.layout.layout import Layout
from core.lock.lock import spec_of
from core.lock.paths import place_at
from core.made.verdicts import Verdict
from core.made.wording import fitting_words, marks_words, shown_at

WIDTH = 79
"""Columns: one less than the screen's, so that no terminal wraps a full line."""
HEIGHT = 24
"""Lines of the screen."""
CAUTION = "Clamp the work and wear eye protection when you file or drill."
_INDENT = " " * 22


def consequences_text(change: Consequences, width: int = WIDTH, height: int = HEIGHT) -> str:
    """Return the consequences of a change as text of at most `width` columns and `height` lines.

    Where not all offers have room, the last ones are left out.
    """
    layout = change.before.layout
    units = layout.lock.units
    old, new = (shown_at(change.path, value, units) for value in (change.old, change.new))
    tolerance = layout.show(layout.lock.fit.made_tolerance)
    head = f"{spec_of(change.path).label}: {old} -> {new}"
    head += f"   (what is off by {tolerance} or less is good)".rjust(width - len(head))
    if not change.before.verdicts:
        return f"{head}\nNo part is marked as made: nothing is to be filed or remade.\n"
    blocks = [_block(change, change.wish, width)]
    offers = [_offers(change, change.wish, change.wish_offers, width)]
    if change.fact is not None:
        blocks.append(_block(change, change.fact, width))
        offers.append(_offers(change, change.fact, change.fact_offers, width))
    room = height - 2 - sum(len(block) for block in blocks)
    lines = [head]
    for block, kept in zip(blocks, _fitting_in(offers, room), strict=True):
        lines += [*block, *(line for offer in kept for line in offer)]
    return "\n".join([*lines[: height - 1], CAUTION]) + "\n"


def _fitting_in(offers: list[list[list[str]]], room: int) -> list[list[list[str]]]:
    """Return as many of the offers of each reading as there is room for [lines], the best ones first."""
    kept: list[list[list[str]]] = [[] for _ in offers]
    for place in range(max(map(len, offers), default=0)):
        for reading, found in enumerate(offers):
            if place < len(found) and len(found[place]) <= room:
                kept[reading].append(found[place])
                room -= len(found[place])
    return kept


def _block(change: Consequences, reading: Reading, width: int) -> list[str]:
    layout = reading.standing.layout
    lines = textwrap.wrap(_heading(change, reading), width, subsequent_indent="  ")
    for verdict in reading.standing.worse_than_good():
        text = f"  {verdict.name:<12} {verdict.word:<6} {_words(layout, verdict)}"
        lines += _wrapped(text, width)
    good = [_good(layout, v) for v in reading.standing.verdicts if v.word == "good"]
    if good:
        lines += _wrapped(f"  {'good as made':<19} {', '.join(good)}", width)
    return lines


def _heading(change: Consequences, reading: Reading) -> str:
    if reading.kind == "wish":
        return "IF IT IS A WISH, and the parts were made to the old value:"
    layout = reading.standing.layout
    held = "".join(f"; {words}" for words in held_words(reading))
    new = shown_at(change.path, change.new, layout.lock.units)
    return f"IF IT CAME OUT SO, {new} measured{held}:"


def held_words(reading: Reading) -> list[str]:
    """Return what follows from a fact because it stays where it is; rows of one table together."""
    layout = reading.standing.layout
    said: dict[str, None] = {}
    for path, _, new in reading.held:
        kind = place_at(path).kind
        label = spec_of(path).label
        words = f"the {label} stays where it is, {layout.show(new)} now"
        said[words if kind is None else f"the {kind.plural} stay where they are"] = None
    return list(said)


def _words(layout: Layout, verdict: Verdict) -> str:
    said = (fitting_words(layout, verdict.fitting), marks_words(layout, verdict))
    return "; ".join(words for words in said if words)


def _good(layout: Layout, verdict: Verdict) -> str:
    marks = marks_words(layout, verdict)
    return f"{verdict.name} ({marks})" if marks else verdict.name


def _offers(
    change: Consequences, reading: Reading, offers: Iterable[Offer], width: int
) -> list[list[str]]:
    return [
        textwrap.wrap(
            f"> {offer_words(change, offer)}", width, initial_indent="  ", subsequent_indent="    "
        )
        for offer in offers
        if reading.standing.verdicts
    ]


def offer_words(change: Consequences, offer: Offer) -> str:
    """Return an offer in words and numbers: what to set, to what, and what becomes of the made parts."""
    layout = offer.standing.layout
    units = layout.lock.units
    label = spec_of(offer.path).label
    to = shown_at(offer.path, offer.new, units)
    if offer.purpose is None:
        begin = f"Set the {label} to {to} as well (now {shown_at(offer.path, offer.old, units)})"
    else:
        kept = shown_at(change.path, change.old, units)
        begin = (
            f"Instead, leave the {spec_of(change.path).label} at {kept} and set the {label} to {to}, "
            f"for the same {offer.purpose.label}"
        )
    bad = [f"{v.name} to {v.word}: {_words(layout, v)}" for v in offer.standing.worse_than_good()]
    saved = [v.name for v in offer.standing.verdicts if v.name in offer.saved and v.word == "good"]
    said = [f"{_listed(saved)} {'stays' if len(saved) == 1 else 'stay'} good"] if saved else []
    again = [
        f"{v.name}: {marks_words(layout, v)}"
        for v in offer.standing.verdicts
        if v.word == "good" and marks_words(layout, v)
    ]
    return f"{begin}: {'; '.join([*said, *bad, *again])}."


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width, subsequent_indent=_INDENT)
