"""Proposals as plain text: what is best at what, its sizes, what speaks for it, and where it is weakest."""

import textwrap
from collections.abc import Iterator

from core.layout.layout import Layout
from core.lock.lock import spec_of
from core.lock.paths import place_at
from core.propose.proposals import Proposals, Proposed, Refusal
from core.text import capital, plain

WIDTH = 78


def proposals_text(layout: Layout, found: Proposals) -> str:
    """Return proposals for a lock as text, lengths in the lock's own units."""
    head = f"{plain(layout.lock.title)}: locks that work, for what is given"
    if found.refusal is not None:
        return f"{head}\n\n{textwrap.fill(refusal_words(layout, found.refusal), WIDTH)}\n"
    sections = [head]
    for number, one in enumerate(found.found, 1):
        lines = [f"{number}  {capital(one.proposal.what)}"]
        for reason in one.proposal.reasons:
            lines += textwrap.wrap(reason, WIDTH - 3, initial_indent="   ", subsequent_indent="   ")
        sections.append("\n".join([*lines, *size_lines(layout, one)]))
    return "\n\n".join(sections) + "\n"


def size_lines(layout: Layout, one: Proposed) -> Iterator[str]:
    """Yield the sizes of a proposal, two to a line."""
    units = layout.lock.units
    cells = [
        f"{named(path):<20}{spec_of(path).shown(value, units):>13}"
        for path, value in one.proposal.values
    ]
    for k in range(0, len(cells), 2):
        yield "   " + "    ".join(cells[k : k + 2])


def named(path: str) -> str:
    """Return the label at a path, with the part named where that does not."""
    label, table = spec_of(path).label, place_at(path).table.replace("_", " ")
    return f"{table} {label.removeprefix('guide ')}" if label.startswith("guide ") else label


def refusal_words(layout: Layout, refusal: Refusal) -> str:
    """Return why there is no lock for what is given, in a sentence, and what may help."""
    if refusal.told:
        return f"There is no lock for what is given. The nearest that there is: {refusal.told}"
    return (
        f"There is no lock for what is given. What falls first is {refusal.by}: even at its best it lacks "
        f"{layout.show(refusal.short)}. A larger plate, a shackle's end farther out, or fewer sizes kept may help."
    )
