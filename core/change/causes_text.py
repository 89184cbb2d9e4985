"""The likely causes of what was read off at the bench, in words and numbers."""

from core.change.causes import Cause, Diagnosis
from core.change.readings import READ_OFF
from core.layout.layout import Layout
from core.lock.lock import Lock, spec_of
from core.made.wording import shown_at
from core.systems import in_words
from core.text import capital, listed
from core.units import show_angle

MOST = 4
"""Causes that are listed; those that explain nothing are not."""

TIE = 0.1
"""Share by which a cause may be less sure than another and still count as tied with it."""

CORRECTION = (
    "Then correct it by as much as it is off, or leave it so: marked as measured, it is what all checks "
    "go by, and the change of a dimension says which other one meets it."
)


def cause_words(lock: Lock, cause: Cause) -> str:
    """Return a cause with its number, how far off that is, and how sure it is."""
    suspect, layout = cause.suspect, Layout(lock)
    off, outwards = layout.show(abs(cause.off)), cause.outwards(lock)
    said = (suspect.more if outwards > 0 else suspect.less).format(off=off)
    if not said:
        value, planned = (
            shown_at(suspect.path, v, lock.units) for v in (cause.value, cause.planned)
        )
        said = f"{suspect.words} is {value}, {off} {'more' if cause.off > 0 else 'less'} than {planned}"
    sure = (
        f"{cause.share * 100:.0f} %"
        if cause.explains
        else f"misses by {cause.worst:.0f} times what can be read"
    )
    return f"{sure}: {said}"


def next_words(lock: Lock, diagnosis: Diagnosis) -> str:
    """Return what to measure next."""
    if not diagnosis.causes:
        return "None of the dimensions that are not measured yet bears on this reading."
    first = diagnosis.causes[0]
    if not first.explains:
        return (
            "Two dimensions or more are off, or a reading is wrong: measure the parts themselves."
        )
    alike = tied(diagnosis)
    measure = in_words(spec_of(first.suspect.path).measure, lock.units)
    names = [cause.suspect.words for cause in alike]
    if diagnosis.ask is not None:
        read = READ_OFF[diagnosis.ask]
        values = [
            _shown(Layout(lock), read.name, c.expected[read.name]) for c in diagnosis.causes[:2]
        ]
        begin = f"{capital(listed(names))} are as likely. " if len(alike) > 1 else ""
        return f"{begin}To tell the first two apart, read off: {read.label}, {values[0]} or {values[1]}. {read.how}"
    if len(alike) > 1:
        return (
            f"Alike: {listed(names)} explain this equally well, and no reading tells them apart. "
            f"Measure {names[0]} itself. {measure}"
        ).strip()
    return f"To be sure, measure {first.suspect.words} itself. {measure}".strip()


def tied(diagnosis: Diagnosis) -> tuple[Cause, ...]:
    """Return the likeliest cause with all that explain the readings as well as it does."""
    first = diagnosis.causes[0]
    return tuple(c for c in diagnosis.likely if first.share - c.share < TIE * first.share)


def _shown(layout: Layout, name: str, value: float) -> str:
    return show_angle(value) if READ_OFF[name].angle else layout.show(value)
