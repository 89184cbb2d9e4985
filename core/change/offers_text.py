"""The remedies of a change in words and numbers."""

from collections.abc import Iterator

from core.change.consequences import Consequences, Reading
from core.change.rescue import Offer
from core.checks import gathered
from core.layout.layout import Layout
from core.lock.lock import spec_of
from core.lock.paths import place_at
from core.made.fitting import KEPT
from core.made.judging import STEP
from core.made.verdicts import Verdict
from core.made.wording import marks_words, shown_at, verdict_words
from core.text import listed


def held_words(reading: Reading) -> list[str]:
    """Return what follows from a fact because it stays where it is; rows of one table together."""
    layout = reading.standing.layout
    said: dict[str, None] = {}
    for path, _, new in reading.held:
        kind = place_at(path).kind
        words = f"the {spec_of(path).label} stays where it is, {layout.show(new)} now"
        said[words if kind is None else f"the {kind.plural} stay where they are"] = None
    return list(said)


def offer_words(change: Consequences, offer: Offer) -> str:
    """Return an offer in words and numbers: what to set, to what, and what becomes of the made parts."""
    layout = offer.standing.layout
    if offer.nothing:
        work = "work as they are" if len(offer.saved) > 1 else "works as it is"
        begin = f"Do nothing: {listed(list(offer.saved))} {work}"
        return f"{'; '.join([begin, *_looks(change, offer)])}."
    units = layout.lock.units
    label = spec_of(offer.path).label
    to = shown_at(offer.path, offer.new, units)
    if offer.purpose is None:
        now = shown_at(offer.path, offer.old, units)
        if offer.second is not None:
            path, old, new = offer.second
            to += f" and the {spec_of(path).label} to {shown_at(path, new, units)}"
            now += f" and {shown_at(path, old, units)}"
        begin = f"Set the {label} to {to} as well (now {now})"
    else:
        kept = shown_at(change.path, change.old, units)
        begin = (
            f"Instead, leave the {spec_of(change.path).label} at {kept} and set the {label} to {to}, "
            f"for the same {offer.purpose.label}"
        )
    bad = [f"{v.name} to {v.word}: {_words(layout, v)}" for v in offer.standing.to_work_on()]
    saved = [v.name for v in offer.standing.verdicts if v.name in offer.saved and v.word == "good"]
    said = [f"{listed(saved)} {'stays' if len(saved) == 1 else 'stay'} good"] if saved else []
    works = [v.name for v in offer.standing.verdicts if v.name in offer.saved and v.word == "use"]
    said += [f"{listed(works)} {'works' if len(works) == 1 else 'work'} as it is"] if works else []
    again = [
        f"{v.name}: {marks_words(layout, v)}"
        for v in offer.standing.verdicts
        if v.word in KEPT and marks_words(layout, v)
    ]
    return f"{begin}: {'; '.join([*said, *bad, *again, *_looks(change, offer)])}."


def _looks(change: Consequences, offer: Offer) -> Iterator[str]:
    """Yield what an offer brings that is to be looked at, but for what is said of made parts anyhow."""
    before = {finding.code for finding in gathered.findings(change.before.layout)}
    for finding in gathered.findings(offer.standing.layout):
        if finding.level == "look" and finding.code not in before and finding.step != STEP:
            yield f"look at the {finding.step}: {finding.text.split('. ')[0].rstrip('.')}"


def _words(layout: Layout, verdict: Verdict) -> str:
    said = (verdict_words(layout, verdict), marks_words(layout, verdict))
    return "; ".join(words for words in said if words)
