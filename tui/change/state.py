"""The state of the change view: one dimension, the value that is tried, and how it is meant.

Frozen like the desk, and nothing here knows of a screen. A change is *meant* as a wish, or as a fact: it came
out so on parts that are made. A *remedy* is an offer that is taken along with the change, or instead.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from core.change.comparison import Comparison, compare
from core.change.consequences import Consequences, Kind, Reading, as_fact, as_wish, consequences
from core.change.rescue import Offer
from core.errors import BoltwrightError
from core.layout.layout import Layout
from core.layout.windows import Window
from core.lock.facts import came_out
from core.lock.lock import Lock, of_metal_alone, spec_of
from core.lock.spec import Spec
from core.made.standing import Standing
from tui.desk.at_prompt import AtPrompt, Notice
from tui.desk.checking import checking
from tui.desk.session import layout_of
from tui.steps.walk import all_steps


@lru_cache(maxsize=16)
def dimensions_of(lock: Lock) -> tuple[str, ...]:
    """Return the paths that can be tried in this lock, in the order of the steps."""
    asked = (path for step in all_steps() for path in step.asked(lock))
    return tuple(path for path in asked if spec_of(path).kind.tried and path != "units")


@dataclass(frozen=True)
class Trial(AtPrompt):
    """A value `tried` at `path` in the lock `base` [mm, degrees, N or a choice]; `offer` is a remedy taken."""

    base: Lock
    path: str
    tried: object
    kind: Kind
    offer: Offer | None = None
    notice: Notice | None = None

    @property
    def spec(self) -> Spec:
        """What the value may be."""
        return spec_of(self.path)

    @property
    def old(self) -> object:
        """The value before the change, as it was measured where it was."""
        return came_out(self.base, self.path)

    @property
    def changed(self) -> bool:
        """Whether there is anything to keep."""
        return self.value != self.old

    @property
    def can_be_fact(self) -> bool:
        """Whether a part on which the dimension can be measured is made."""
        return as_fact(self.base, self.path, self.value) is not None

    @property
    def lock(self) -> Lock:
        """The lock to go on with when this is kept."""
        if self.offer is not None:
            return self.offer.lock
        if not self.changed:
            return self.base
        fact = as_fact(self.base, self.path, self.value) if self.kind == "fact" else None
        return as_wish(self.base, self.path, self.value) if fact is None else fact

    @property
    def units(self) -> str:
        """The units of the lock."""
        return self.base.units

    @property
    def value(self) -> object:
        """The value that is tried [mm, degrees, N or a choice]."""
        return self.tried

    def with_value(self, value: object, *, small: bool = False) -> "Trial":
        """Return the trial of another value, without the remedy that belonged to the one before."""
        del small
        return replace(self, tried=value, offer=None)

    def noticed(self, notice: Notice | None) -> "Trial":
        """Return the trial with another notice."""
        return replace(self, notice=notice)

    def following(self, text: str) -> "Trial":
        """Return the trial of what is being typed; the same one where that makes no value yet, or no other."""
        if self.spec.kind.entering != "typed" or self.untouched(text):
            return self
        if text.strip() == self.spec.written(self.old, self.units):
            return self.silent().with_value(self.old)
        try:
            value = self.spec.entered(text, self.units)
        except BoltwrightError:
            return self
        return self if value == self.value else self.silent().with_value(value)

    def turned(self) -> "Trial":
        """Return the trial meant the other way; the same with a notice where there is only one."""
        if not self.can_be_fact:
            label = self.spec.label
            return self.said(f"No part that is made has the {label} on it: it can only be a wish.")
        if self.path in of_metal_alone():
            return self.said("No plan has it: it can only have come out so.")
        kind: Kind = "wish" if self.kind == "fact" else "fact"
        return replace(self, kind=kind, offer=None, notice=None)

    def with_offer(self, offer: Offer) -> "Trial":
        """Return the trial with a remedy taken, or without it where it was taken before."""
        same = self.offer is not None and self.offer.lock == offer.lock
        return replace(self, offer=None if same else offer, notice=None)

    def at(self, steps: int) -> "Trial":
        """Return a trial of the dimension that stands `steps` on; nothing of this one is kept."""
        paths = dimensions_of(self.base)
        here = paths.index(self.path) if self.path in paths else 0
        return begun(self.base, paths[(here + steps) % len(paths)])

    @property
    def what(self) -> str:
        """What the change is, in the words that undo names it by."""
        label = self.spec.label
        as_meant = f"{label} as it came out" if self.kind == "fact" else label
        if self.offer is not None and self.offer.nothing:
            return f"{as_meant}, nothing else"
        if self.offer is not None and self.offer.purpose is not None:
            return f"{spec_of(self.offer.path).label} instead of {label}"
        if self.offer is not None:
            return f"{label} and {spec_of(self.offer.path).label}"
        return as_meant

    @property
    def goes_to(self) -> str:
        """The path that is set: of the change itself, or of what is done instead."""
        instead = self.offer is not None and self.offer.purpose is not None
        return self.offer.path if self.offer is not None and instead else self.path


def begun(base: Lock, path: str) -> Trial:
    """Return the trial of a dimension before anything is changed.

    A path that cannot be tried gives the first one that can. What can be measured on a part that is made is
    taken to have come out so, until the maker says that it is a wish. What no plan has can only have come out so.
    """
    paths = dimensions_of(base)
    alone = path in of_metal_alone() and as_fact(base, path, base.value(path)) is not None
    path = path if alone or path in paths else paths[0]
    value = came_out(base, path)
    kind: Kind = "wish" if as_fact(base, path, value) is None else "fact"
    return Trial(base, path, value, kind)


@dataclass(frozen=True)
class Weighed:
    """What has been worked out of a trial so far; `complete` once nothing more is to come."""

    consequences: Consequences
    comparison: Comparison | None = None
    window: Window | None = None
    offers: tuple[Offer, ...] = ()
    complete: bool = False

    def reading(self, kind: Kind) -> Reading:
        """Return the change as it is meant, a wish where it can be no fact."""
        fact = self.consequences.fact
        return fact if kind == "fact" and fact is not None else self.consequences.wish

    def standing(self, trial: Trial) -> Standing:
        """Return how the made parts stand in what is shown."""
        return trial.offer.standing if trial.offer else self.reading(trial.kind).standing


def weighing(
    trial: Trial, before: Standing, known: Weighed | None = None
) -> Iterator[Weighed | None]:
    """Work out what a trial leads to, one piece at a time; yields None between, and what is known so far.

    First how the made parts stand, then outcomes and findings, then the remedies. `before` is how they
    stand in the base; `known` is what is known of the same trial already, perhaps with another remedy.
    """
    found = known or Weighed(consequences(trial.base, trial.path, trial.value, before))
    yield replace(found, complete=False, comparison=None)
    layout = found.standing(trial).layout
    for checked in checking(layout, asked=(trial.path,)):
        if checked is not None:
            found = replace(found, window=checked.windows.get(trial.path))
            if checked.heard:
                break  # all other windows are worked out by the comparison
        yield None
    found = replace(found, comparison=compare(before.layout, layout))
    yield found
    if known is None and trial.changed:
        for offer in found.consequences.seek(found.reading(trial.kind)):
            if offer is not None:
                found = replace(found, offers=(*found.offers, offer))
                yield found
            else:
                yield None
    yield replace(found, complete=True)


def layout_shown(trial: Trial) -> Layout:
    """Return the layout that is drawn."""
    return layout_of(trial.lock)
