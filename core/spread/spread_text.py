"""The spread of a lock as plain text: how many work, what each size costs, what comes of it, and what to do."""

import textwrap
from collections.abc import Iterable, Iterator

from core.layout.layout import Layout
from core.spread.holding_advice import WANTED, Hold, Place
from core.spread.study import Study
from core.spread.whole import Spreading
from core.text import listed, plain

WIDTH = 78
BAR = 40
NO_DRIVE = "The key drives nothing in this lock: there is nothing to study. See its report."
_SHOWN = 8


def spread_text(layout: Layout, found: Spreading | None) -> str:
    """Return the spread of a lock as text, lengths in the lock's own units."""
    head = f"{plain(layout.lock.title)}: how near to the plan its parts have to be"
    if found is None:
        return f"{head}\n\n{NO_DRIVE}\n"
    sections = (
        [head, *textwrap.wrap(share_words(found.study), WIDTH)],
        ["WHAT COMES OF IT", *outcome_lines(layout, found)],
        [f"LOCKS BY {found.study.tightest.label.upper()}", *histogram_lines(layout, found.study)],
        ["WHAT COSTS MOST, so many more would work, were it just as planned", *cost_lines(layout, found)],
        ["WHAT TO DO", *advice_lines(layout, found)],
    )  # fmt: skip
    return "\n\n".join("\n".join(section) for section in sections) + "\n"


def share_words(now: Study) -> str:
    """Return how many locks work, of how many, drawn how."""
    lies = "anywhere" if now.law == "anywhere" else "mostly near the plan"
    return (
        f"{percent(now.share)} work, of {len(now.works):,} locks by chance (seed {now.seed}), each size {lies} within "
        "what it is held to, both strokes."
    )


def percent(share: float) -> str:
    """Write a share in per cent; never 100 or 0 for what is less or more."""
    text = f"{100 * share:.1f} %"
    if (text == "100.0 %" and share < 1) or (text == "0.0 %" and share > 0):
        return "> 99.9 %" if share > 0.5 else "< 0.1 %"
    return text


def outcome_lines(layout: Layout, found: Spreading) -> Iterator[str]:
    """Yield each outcome as it is planned and at the worst, its limit, and how many locks pass it."""
    yield f"  {'':<30}{'planned':>11}{'at worst':>11}{'limit':>16}{'fail':>8}"
    for limit in found.study.plan.limits:
        way = "least" if limit.way > 0 else "most"
        sides = [
            layout.show(getattr(found.planned, limit.outcome)),
            layout.show(found.worst[limit.outcome]),
        ]
        bound = f"{way} {layout.show(limit.value)}"
        fail = percent(found.study.fails[limit.outcome])
        yield f"  {limit.label:<30}{sides[0]:>11}{sides[1]:>11}{bound:>16}{fail:>8}"  # fmt: skip


def histogram_lines(layout: Layout, now: Study, rows: int = 12) -> Iterator[str]:
    """Yield the histogram of the tightest outcome, one line for each stretch; what is past the limit says so."""
    limit = now.tightest
    edges, counts = now.histogram(limit.outcome)
    each = len(counts) // rows
    sums = counts.reshape(rows, each).sum(axis=1)
    for k, count in enumerate(sums):
        low, high = float(edges[k * each]), float(edges[(k + 1) * each])
        beyond = limit.way * ((high if limit.way > 0 else low) - limit.value) < 0
        bar = "#" * round(BAR * int(count) / max(int(sums.max()), 1))
        yield f"  {layout.show(low):>10} on {bar}{' fail' if beyond and count else ''}".rstrip()


def cost_lines(layout: Layout, found: Spreading) -> Iterator[str]:
    """Yield the sizes that cost most, with what they are held to."""
    for cost in found.costs[:_SHOWN]:
        size = cost.size
        held = f"{layout.show(size.plan)} +- {layout.show(size.plus_minus)}"
        yield f"  {size.label:<33}{held:>26}{percent(max(cost.share, 0.0)):>17}"
    left = len(found.costs) - _SHOWN
    if left > 0:
        yield f"  and {left} more that cost less"


def advice_lines(layout: Layout, found: Spreading) -> Iterator[str]:
    """Yield what to hold how closely, and what to put elsewhere."""
    for text in (*_holds(layout, found.holds), *_places(layout, found.places)):
        yield from textwrap.wrap(text, WIDTH, initial_indent="  ", subsequent_indent="    ")


def _holds(layout: Layout, advised: Iterable[Hold]) -> Iterator[str]:
    told = False
    for hold in advised:
        told = True
        yield f"{hold_words(layout, hold)}: {percent(hold.share)} work."
    if not told:
        yield f"Not even closest filing makes {percent(WANTED)} work: move the plan first."


def hold_words(layout: Layout, hold: Hold) -> str:
    """Return what to hold how closely, in words."""
    rest = layout.show(hold.rest)
    if not hold.held:
        return f"Hold everything to {rest}"
    names = [size.label for size in hold.held]
    return f"Hold {listed(names)} to {layout.show(hold.to)}, and the rest may be {rest}"


def _places(layout: Layout, advised: Iterable[Place]) -> Iterator[str]:
    for place in list(advised)[:3]:
        yield f"{place_words(layout, place)}: {percent(place.share)} work."


def place_words(layout: Layout, place: Place) -> str:
    """Return what to put elsewhere, in words."""
    return f"Plan {place.what} {layout.show(abs(place.by))} {'more' if place.by > 0 else 'less'}"
