"""Searching the help by a word: glossary, steps, what is asked, findings and keys, wherever they stand."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from textual.content import Content

from core.checks.catalogue import catalogue
from core.glossary import GLOSSARY
from core.layout.findings import LEVEL_MEANS
from core.lock.lock import spec_of
from core.lock.spec import Spec
from core.systems import in_words
from tui.keys.every_key import all_keys
from tui.steps.step import Step
from tui.steps.walk import all_steps
from tui.widgets.desk_text import practised
from tui.widgets.help_text import heading_line

MOST = 100
"""Entries shown at once: who gets more has a word that is in everything."""


@dataclass(frozen=True)
class Told:
    """One thing that the help tells: its name, where it belongs, and what there is to say of it."""

    name: str
    where: str
    text: str


@cache
def everything(units: str) -> tuple[Told, ...]:
    """Return all that can be found, in the order of the work, for a lock in `units`."""
    found = (*_words(), *_steps(), *_asked(), *_findings(), *_keys())
    return tuple(Told(told.name, told.where, in_words(told.text, units)) for told in found)


def matching(typed: str, units: str) -> tuple[Told, ...]:
    """Return what has a word that begins with each word typed, first what has it in its name."""
    words = [re.compile(rf"(?<!\w){re.escape(word)}", re.IGNORECASE) for word in typed.split()]
    here = [
        told
        for told in everything(units)
        if all(word.search(f"{told.name} {told.where} {told.text}") for word in words)
    ]
    return tuple(sorted(here, key=lambda told: not all(word.search(told.name) for word in words)))


def found_text(typed: str, units: str) -> Content:
    """Return what the help shows for the words typed."""
    found = matching(typed, units)
    if not found:
        return Content(f"Nothing in the help begins with {typed.strip()}. Esc forgets the word.")
    many = f"{len(found)} places" if len(found) > 1 else "one place"
    more = f", the first {MOST} of them here" if len(found) > MOST else ""
    lines = [heading_line(f"IN {many.upper()}{more.upper()}")]
    for told in found[:MOST]:
        head = Content.assemble(
            Content.styled(told.name, "bold $accent"), Content.styled(f"  {told.where}", "$quiet")
        )
        lines += [Content(""), head, Content(told.text)]
    return Content("\n").join(lines)


def _words() -> Iterator[Told]:
    return (Told(term.name, "glossary", term.means) for term in GLOSSARY)


def _steps() -> Iterator[Told]:
    for number, step in enumerate(all_steps(), start=1):
        guide = step.guide
        why = (
            f"Decided here: {guide.decided} Why: {guide.why} Look at: {guide.look}" if guide else ""
        )
        yield Told(step.title, f"step {number}", _joined(step.intro, why, step.caution))


def _asked() -> Iterator[Told]:
    for number, step in enumerate(all_steps(), start=1):
        for spec in _specs(step):
            usual = f"Usual: {practised(spec.usual).rstrip('.')}." if spec.usual else ""
            yield Told(
                spec.label, f"asked in step {number}", _joined(spec.what, spec.measure, usual)
            )


def _specs(step: Step) -> Iterator[Spec]:
    yield from (spec_of(prompt.path) for prompt in step.prompts)
    if step.kind is not None:
        yield from step.kind.specs.values()


def _findings() -> Iterator[Told]:
    for code in catalogue().values():
        where = f"{LEVEL_MEANS[code.level]}; {code.step}".removesuffix("; ")
        yield Told(f"Finding, {code.level}", where, code.meaning)


def _keys() -> Iterator[Told]:
    places: dict[tuple[str, str], list[str]] = {}
    for keys in all_keys():
        for place in keys.places:
            for act in place.acts:
                where = places.setdefault((act.all_shown, act.help), [])
                where += [keys.title] if keys.title not in where else []
    for (shown, text), titles in places.items():
        everywhere = len(titles) > _FEW
        yield Told(shown, "on many screens" if everywhere else ", ".join(titles), text)


_FEW = 3
"""Screens that are named beside a key; what more of them have is on many."""


def _joined(*parts: str) -> str:
    return " ".join(part for part in parts if part)
