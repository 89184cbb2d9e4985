"""The desk: the session and the prompt at hand, and what the maker's entries do to them.

Nothing in this module knows of a screen.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from core.files.recovery import Typed
from core.layout.windows import Window
from core.lock.facts import facts
from core.lock.history import Step as Change
from core.lock.in_mirror import unlocking_to
from core.lock.lock import Lock, spec_of
from core.lock.paths import place_at, row_title
from core.lock.spec import Spec
from core.propose.given import SETTLED
from core.text import capital, plain
from tui.desk.at_prompt import AtPrompt, Notice
from tui.desk.no_prompt import none_yet
from tui.desk.session import Session
from tui.steps.step import Guide, Step
from tui.steps.walk import all_steps, place_of

_GUIDED = (
    "Those were the seven steps, and the explanations end here. F5 turns the key, F2 saves the lock; Enter goes on "
    "through the rest of it, which has usual values so far."
)
_UNGUIDED = "No more is explained; the lock stays as it is."
_MIRRORED = "The lock is seen in the mirror now: what lay to the left lies to the right."
_SIDE_ONLY = "Only the side is another one; every part stays where it is."
_FIRST_ONLY = "Only the first steps are explained: F9 leads there."


@dataclass(frozen=True)
class Desk(AtPrompt):
    """The session with the number of the step at hand and the path of the prompt at hand.

    The path is empty in a step that asks for rows while there are none.
    """

    session: Session
    step_number: int = 0
    path: str = "plate.outline"
    notice: Notice | None = None
    fresh: str = ""
    """The path set last whose value has not been held against its window yet."""
    guided: bool = False
    """Whether the maker is told what is decided in each of the first steps, and why."""

    @property
    def lock(self) -> Lock:
        """The lock at hand."""
        return self.session.lock

    @property
    def step(self) -> Step:
        """The step at hand."""
        return all_steps()[self.step_number]

    @property
    def guide(self) -> Guide | None:
        """What there is to tell of the step at hand; None where the guide is away, or has nothing to say."""
        return self.step.guide if self.guided else None

    @property
    def row(self) -> str:
        """The name of the row at hand; empty where the prompt is of none, or there is none."""
        return place_at(self.path).row if self.path else ""

    @property
    def spec(self) -> Spec:
        """What the prompt at hand takes."""
        return spec_of(self.path) if self.path else none_yet(self.step.kind)

    @property
    def value(self) -> object:
        """The value at hand [mm, degrees, N, a choice, a text]; None where there is no prompt."""
        return self.lock.value(self.path) if self.path else None

    @property
    def units(self) -> str:
        """The units of the lock."""
        return self.lock.units

    @property
    def parts(self) -> tuple[str, ...]:
        """What stands out in the drawing: what the step is about, of several rows the one at hand."""
        return (*self.step.parts, *([row_title(self.path)] if self.row else []))

    @property
    def in_view(self) -> tuple[str, ...]:
        """The paths of what was set last and of the prompts in view: what is looked at first."""
        first = (path for path in (self.fresh, self.path) if path and self.lock.has(path))
        return tuple(dict.fromkeys((*first, *self.step.asked(self.lock))))

    def unseen(self, step: Step) -> bool:
        """Say whether a step of a new lock has values that nobody has taken yet."""
        return any(path in self.session.pending for path in step.asked(self.lock))

    def with_value(self, value: object, *, small: bool = False) -> "Desk":
        """Return the desk with another value at hand, in one change; nudges of one value are one.

        A lock that is to unlock to the other side is seen in the mirror.
        """
        if self.path != "unlocks" or value == self.value:
            return self._set(self.lock.with_value(self.path, value), small=small)
        lock = unlocking_to(self.lock, str(value))
        return self._set(lock, small=small).said(
            _SIDE_ONLY if lock == self.lock.with_value(self.path, value) else _MIRRORED
        )

    def noticed(self, notice: Notice | None) -> "Desk":
        """Return the desk with another notice."""
        return replace(self, notice=notice)

    # moves between prompts

    def at_step(self, number: int) -> "Desk":
        """Return the desk at the first prompt of a step, counted round from the ends; there may be none yet."""
        number %= len(all_steps())
        return replace(self, step_number=number, path=_first(all_steps()[number], self.lock))

    def at_path(self, path: str) -> "Desk":
        """Return the desk at the prompt for `path`, or the first one of the row that it names.

        Where the row is gone it is at the step that asks for such rows; where no step asks for the path in
        this lock, unmoved.
        """
        found = place_of(path)
        if found is None:
            return self
        asked = all_steps()[found[0]].asked(self.lock)
        here = [p for p in asked if path in (p, place_at(p).holder)]
        if here:
            return replace(self, step_number=found[0], path=here[0])
        if place_at(path).row and found[0] != self.step_number:
            return self.at_step(found[0])
        return self._settled()

    def at_named(self, name: str) -> "Desk":
        """Return the desk at the step that findings call `name`; unmoved if there is none."""
        for number, step in enumerate(all_steps()):
            if step.name == name:
                return self.at_step(number)
        return self

    def on(self) -> "Desk":
        """Return the desk at the next prompt, if need be the next step's first."""
        desk = replace(self, session=self.session.owned(self.path))
        asked = desk.step.asked(desk.lock)
        here = asked.index(desk.path) if desk.path in asked else -1
        if here + 1 < len(asked):
            return replace(desk, path=asked[here + 1])
        if desk.step_number + 1 < len(all_steps()):
            on = desk.at_step(desk.step_number + 1)
            return replace(on, guided=False).said(_GUIDED) if desk.guide and not on.guide else on
        return desk.noticed(Notice("end", "That was the last prompt."))

    @property
    def ended(self) -> bool:
        """Whether the walk through the prompts has come to its end."""
        return self.notice is not None and self.notice.kind == "end"

    def back(self) -> "Desk":
        """Return the desk at the prompt before, which may be the last one of the step before."""
        asked = self.step.asked(self.lock)
        here = asked.index(self.path) if self.path in asked else 0
        if here > 0:
            return replace(self, path=asked[here - 1])
        if self.step_number == 0:
            return self
        before = self.at_step(self.step_number - 1)
        return replace(before, path=(before.step.asked(self.lock) or ("",))[-1])

    def keep_turned(self) -> "Desk":
        """Return the desk with the size at hand kept in all that is proposed, or no more."""
        name = capital(self.spec.label)
        if self.path not in SETTLED:
            return self.said(f"{name} stays as it is in all that is proposed for a whole lock.")
        kept = self.session.held ^ {self.path}
        desk = replace(self, session=replace(self.session, held=kept))
        if self.path in kept:
            return desk.said(f"{name} is kept: locks that are proposed leave it as it is.")
        return desk.said(f"{name} is kept no more: what is proposed may set it.")

    def guide_turned(self) -> "Desk":
        """Return the desk with the guide put away, or called."""
        desk = replace(self, guided=not self.guided)
        if not desk.guided:
            return desk.said(_UNGUIDED)
        return desk.silent() if desk.guide else desk.said(_FIRST_ONLY)

    # entries

    def accepted(self, text: str) -> "Desk":
        """Return the desk after Enter: the entry taken and the next prompt at hand, or refused."""
        desk = self.taken(text)
        return desk if desk.refused else desk.on()

    def undone(self) -> "Desk":
        """Return the desk with the last change taken back, at its prompt."""
        if not self.session.past:
            return self.said("Nothing to take back.")
        change = self.session.past[-1]
        desk = replace(self, session=self.session.undone())._settled()
        return desk.at_path(change.path).said(f"Taken back: {_named(change, desk.lock)}.")

    def redone(self) -> "Desk":
        """Return the desk with the change last taken back made again, at its prompt."""
        if not self.session.ahead:
            return self.said("Nothing to make again.")
        change = self.session.ahead[-1]
        desk = replace(self, session=self.session.redone())._settled()
        return desk.at_path(change.path).said(f"Made again: {_named(change, desk.lock)}.")

    def changed(self, lock: Lock, what: str, path: str = "", *, small: bool = False) -> "Desk":
        """Return the desk with another lock at hand, in one change that `what` names; small ones add up to one."""
        session = self.session.changed(lock, path, what=what, small=small)
        return replace(self, session=session)._settled()

    def _set(self, lock: Lock, *, small: bool = False) -> "Desk":
        """Return the desk with `lock` at hand, saying so where the new value does not fit."""
        session = self.session.changed(lock, self.path, small=small).owned(self.path)
        desk = replace(self, session=session, fresh=self.path)._settled()
        measured = facts(lock).get(self.path)
        if measured is None:
            return desk
        value = self.spec.shown(measured, lock.units)
        return desk.said(
            f"Plan changed; but {self.spec.label} was measured as {value} on a made part, and everything goes "
            "by that. Ctrl+N wishes it anew; Ctrl+O shows what was measured."
        )

    def judged(self, found: Mapping[str, Window]) -> "Desk":
        """Return the desk with a notice if the value set last does not fit its window in `found`.

        Windows take longer to work out than a drawing, so they are looked at after it.
        """
        window = found.get(self.fresh)
        judged = replace(self, fresh="")
        value = self.lock.value(self.fresh) if self.fresh and self.lock.has(self.fresh) else None
        if window is None or value is None or window.holds(value):
            return judged
        end = window.low if window.low is not None and value < window.low.value else window.high
        if end is None:
            return judged
        spec, units = spec_of(self.fresh), self.lock.units
        side = "below" if end.end == "low" else "above"
        limit = spec.shown(end.value, units)
        text = (
            f"{spec.label} {spec.shown(value, units)} taken, {side} the {limit} "
            f"that fits ({end.by})."
        )
        return replace(judged, notice=Notice("outside", text, end.code.name))

    def _settled(self) -> "Desk":
        """Return the desk at a prompt that still applies to its lock."""
        here = self.path in self.step.asked(self.lock)
        return self if here else replace(self, path=_first(self.step, self.lock))


def _first(step: Step, lock: Lock) -> str:
    """Return the first prompt of a step, empty where there is none."""
    return (step.asked(lock) or ("",))[0]


def typed_again(desk: Desk, typed: Typed) -> tuple[Desk, bool]:
    """Return the desk after unsaved work with something `typed` and not entered was taken up again.

    It is at the prompt where that was typed; say whether the text still has to be entered there.
    """
    if not _is_asked(desk, typed.path):
        there = desk.said(
            f"For {plain(typed.path)} was typed, and not entered: {plain(typed.text)}"
        )
        return there, False
    there = desk.at_path(typed.path)
    taken = there.taken(typed.text)
    if not taken.refused and taken.lock == desk.lock:
        counts = (
            "was typed, but not entered, when the program was stopped: look whether it is meant"
        )
        return there.said(f"{there.spec.label} {counts}."), False
    return there.said(
        "This was typed, but not entered, when the program was stopped. Enter takes it."
    ), True


def _is_asked(desk: Desk, path: str) -> bool:
    """Say whether there is a prompt for what may be any text."""
    try:
        return desk.lock.has(path) and desk.at_path(path).path == path != ""
    except KeyError:  # it is no path
        return False


def _named(change: Change, now: Lock) -> str:
    """Return what a change was, with the value that it set as it is now."""
    valued = change.path and place_at(change.path).key and now.has(change.path)
    if not valued or not spec_of(change.path).kind.number:
        return change.what
    value = spec_of(change.path).shown(now.value(change.path), now.units)
    return f"{change.what}, now {value}"
