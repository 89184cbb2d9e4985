"""Choosing a dimension from all that a lock has: by arrows, or by a few letters of its name."""

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from core.lock.lock import Lock, spec_of
from tui.change.state import dimensions_of
from tui.keys.acts import bindings
from tui.keys.of_change import PICK, PICK_KEYS
from tui.steps.walk import all_steps
from tui.widgets.choice_list import ChoiceList
from tui.widgets.help_text import heading_line
from tui.widgets.hints import Hints
from tui.widgets.keyed import Dialog
from tui.widgets.line import Line

_ABOUT = """\
A few letters find a dimension by its name, or by the step that asks for it: `key cl` finds the clearance round \
the key. Several words may be typed, in any order."""


class Pick(Dialog[str | None]):
    """All dimensions with their values; ends with the path of one, or None at Esc."""

    KEYS = PICK_KEYS
    BINDINGS = bindings(PICK)

    def __init__(self, lock: Lock, path: str) -> None:
        """Offer the dimensions of `lock`, beginning at `path`."""
        super().__init__()
        self._lock, self._path = lock, path
        self._all = tuple(
            (path, step.name)
            for step in all_steps()
            for path in step.asked(lock)
            if path in dimensions_of(lock)
        )
        self._letters = ""
        self._paths: tuple[str, ...] = ()
        self._list = ChoiceList(lambda number: self._end(self._paths[number]), id="dimensions")
        self._list.can_focus = False  # letters are typed all the while

    def compose(self) -> ComposeResult:
        """Show the line for letters over the list."""
        with Vertical(classes="box"):
            yield Static("Which dimension?  A few letters find it.", classes="question")
            yield Line(id="letters")
            yield self._list
            yield Hints(self.KEYS, classes="hint")

    def on_mount(self) -> None:
        """Begin with all of them."""
        self._fill("")

    def _fill(self, letters: str) -> None:
        words = letters.lower().split()
        found = [
            (path, step)
            for path, step in self._all
            if all(word in f"{spec_of(path).label} {step}".lower() for word in words)
        ]
        self._paths = tuple(path for path, _ in found)
        self._list.fill(self._line(*pair) for pair in found)
        here = self._paths.index(self._path) if self._path in self._paths else 0
        self._list.highlighted = here if self._paths else None

    def _line(self, path: str, step: str) -> Content:
        spec = spec_of(path)
        value = spec.shown(self._lock.value(path), self._lock.units)
        return Content.assemble(
            f"{spec.label:<30}{value:>14}", Content.styled(f"   {step}", "$quiet")
        )

    def on_input_changed(self) -> None:
        """Offer those that the letters fit."""
        self._fitted()

    def _fitted(self) -> ChoiceList:
        """Return the list, filled with what the letters fit: word of them may still be on its way."""
        letters = self.query_one("#letters", Line).value
        if letters != self._letters:
            self._letters = letters
            self._fill(letters)
        return self._list

    def help_page(self) -> Content:
        """Return what there is to say of choosing a dimension."""
        return Content("\n").join([heading_line("WHICH DIMENSION"), Content(_ABOUT)])

    # keys

    def action_up(self) -> None:
        """Go to the dimension above."""
        self._fitted().action_cursor_up()

    def action_down(self) -> None:
        """Go to the dimension below."""
        self._fitted().action_cursor_down()

    def action_page_up(self) -> None:
        """Go up by what can be seen at once."""
        self._fitted().action_page_up()

    def action_page_down(self) -> None:
        """Go down by what can be seen at once."""
        self._fitted().action_page_down()

    def action_pick(self) -> None:
        """End with the dimension at the cursor."""
        self._fitted().action_select()

    def action_stay(self) -> None:
        """End without one."""
        self._end(None)

    def _end(self, path: str | None) -> None:
        self.dismiss(path)
