"""What was measured on the workpieces: which one is at hand, and which of its dimensions.

A state of the working screen's desk, in whose lock all that is made stands; nothing here knows of a screen.
"""

from dataclasses import dataclass, replace

from core.errors import BoltwrightError
from core.lock.facts import record_of, values_of, with_measured, with_note
from core.lock.lock import Lock, spec_of
from core.lock.spec import Spec
from core.made.filed_since import after_filing, filed_off, value_now
from core.made.marking import is_made
from core.sheets.paper import today
from core.whole import assembly
from tui.change.state import Trial, begun
from tui.desk.at_prompt import AtPrompt, Notice
from tui.desk.desk import Desk
from tui.made import state as made_state
from tui.made import text as made_text

NOTE = ";"
"""What is typed behind it is a line of notes."""


@dataclass(frozen=True)
class Measured(AtPrompt):
    """The measured value in a row of a workpiece; rows are counted from 0."""

    desk: Desk
    part: str
    row: int = 0
    notice: Notice | None = None
    MAY_BE_EMPTY = True

    @property
    def lock(self) -> Lock:
        """The lock at hand."""
        return self.desk.lock

    @property
    def name(self) -> str:
        """The name of the workpiece at hand."""
        return assembly.workpieces()[self.part].name

    @property
    def made(self) -> bool:
        """Whether the workpiece at hand is made."""
        return is_made(self.lock, self.part)

    @property
    def paths(self) -> tuple[str, ...]:
        """What can be measured on the workpiece at hand."""
        return made_state.measurable(self.lock, self.part)

    @property
    def path(self) -> str:
        """The path of the row at hand; that of the last one where there are no longer as many."""
        return self.paths[min(self.row, len(self.paths) - 1)]

    @property
    def open(self) -> bool:
        """Whether there is a value to be typed: on a workpiece that is made, and has something to measure."""
        return self.made and bool(self.paths)

    @property
    def spec(self) -> Spec:
        """What the measured value may be."""
        return spec_of(self.path)

    @property
    def units(self) -> str:
        """The units of the lock."""
        return self.lock.units

    @property
    def value(self) -> object:
        """The value that was measured [mm or degrees]; None where none was."""
        record = record_of(self.lock, self.part)
        return dict(record.measured).get(self.path) if record is not None else None

    @property
    def usual(self) -> object:
        """The value that the workpiece was made to [mm or degrees]; else that of the plan."""
        record = record_of(self.lock, self.part)
        if record is None:
            return self.lock.value(self.path)
        ((_, value),) = values_of(self.lock, record, (self.path,), planned=True)
        return value

    def with_value(self, value: object, *, small: bool = False) -> "Measured":
        """Return the state with another measured value, None for none; nudges of one value are one change."""
        day = today().isoformat() if value is not None else ""
        lock = with_measured(self.lock, self.part, self.path, value, day)
        what = (
            f"{self.spec.label}, not measured on the {self.name}" if value is None else self._what
        )
        desk = self.desk.changed(lock, what, self.path if small else "", small=small).silent()
        told = made_text.after(lock, self.part, self.path)
        return replace(self, desk=desk).said(told)

    @property
    def _what(self) -> str:
        """The words by which undo names a value that was measured."""
        return f"{self.spec.label}, measured on the {self.name}"

    def noticed(self, notice: Notice | None) -> "Measured":
        """Return the state with another notice."""
        return replace(self, notice=notice)

    def taken(self, text: str) -> "Measured":
        """Return the state with the entry taken; refused on a workpiece that is not made."""
        if not self.open:
            return self.refusing(self.closed)
        value, noted, note = text.partition(NOTE)
        try:
            off = filed_off(value, self.units)
            if off is not None:
                new = after_filing(self.lock, self.part, self.path, off)
        except BoltwrightError as refusal:
            return self.refusing(f"{refusal}.")
        state = super().taken(value) if off is None else self._filed(off, new)
        return self._noted(state, note) if noted and not state.refused else state

    def _filed(self, off: float, value: float) -> "Measured":
        """Return the state in which so much [mm] was filed off, which left a `value` [mm]."""
        before = value_now(self.lock, self.part, self.path)
        show = self.spec.shown
        state = self.silent().with_value(value)
        told = state.notice.text if state.notice is not None else ""
        how = f"{show(before, self.units)} and {show(off, self.units)} filed off since"
        return state.said(f"{how}. {told}")

    def _noted(self, state: "Measured", note: str) -> "Measured":
        """Return a `state` that this one led to, with a line of notes beside its value: both are one change."""
        if state.value is None:
            return self.refusing(
                "Nothing is measured yet to note it beside: type the value before it."
            )
        lock = with_note(state.lock, self.part, self.path, note)
        if lock == self.lock:
            return state
        same = state.lock == self.lock
        what = f"note on the {self.spec.label}" if same else self._what
        return replace(state, desk=self.desk.changed(lock, what).silent())

    @property
    def closed(self) -> str:
        """Why there is nothing to be typed, in a sentence; nothing where there is."""
        if not self.made:
            return "Not marked as made: Space marks it, with the dimensions as they now stand."
        return "" if self.paths else "Nothing of it is measured here."

    def at_part(self, part: str) -> "Measured":
        """Return the state at the first row of a workpiece."""
        return self if part == self.part else Measured(self.desk, part)

    def at_path(self, path: str) -> "Measured":
        """Return the state at the row of a path."""
        return replace(self, row=self.paths.index(path)).silent()

    def stepped(self, by: int) -> "Measured | None":
        """Return the state so many rows on, saying what it said; None beyond the ends."""
        row = self.row + by
        return replace(self, row=row) if 0 <= row < len(self.paths) else None

    def turned(self) -> "Measured":
        """Return the state with the workpiece marked as made as everything now stands, or as not made."""
        what = made_state.turned_words(self.lock, self.part)
        desk = self.desk.changed(made_state.turned(self.lock, self.part), what).silent()
        how = "what was measured goes too" if self.made else "as everything now stands"
        told = f"{what[0].upper()}{what[1:]}: {how}. Ctrl+Z takes it back."
        return replace(self, desk=desk).said(told)

    def weighed(self, text: str) -> Trial:
        """Return the trial of what is typed, to see what it leads to before it is kept."""
        return begun(self.lock, self.path).taken(text)
