"""Choosing a dimension from all that a lock has: by arrows, or by a few letters of its name."""

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from core.lock.lock import Lock, spec_of
from tui.change.state import dimensions_of
from tui.steps.walk import all_steps
from tui.widgets.line import Line

_MOVES = {
    "up": "cursor_up", "down": "cursor_down", "pageup": "page_up", "pagedown": "page_down",
}  # fmt: skip


class Pick(ModalScreen[str | None]):
    """All dimensions with their values; ends with the path of one, or None at Esc."""

    BINDINGS: ClassVar = [("escape", "stay", "stay"), ("f9", "stay", "stay")]

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
        self._paths: tuple[str, ...] = ()

    def compose(self) -> ComposeResult:
        """Show the line for letters over the list."""
        with Vertical(classes="box"):
            yield Static("Which dimension?  A few letters find it.", classes="question")
            yield Line(id="letters")
            yield OptionList(id="dimensions", markup=False)
            yield Static(
                "Up and Down, then Enter.  Esc: go back.", classes="hint", markup=False
            )  # fmt: skip

    def on_mount(self) -> None:
        """Begin with all of them."""
        self._fill("")
        self.query_one("#letters").focus()

    def _fill(self, letters: str) -> None:
        words = letters.lower().split()
        found = [
            (path, step)
            for path, step in self._all
            if all(word in f"{spec_of(path).label} {step}".lower() for word in words)
        ]
        self._paths = tuple(path for path, _ in found)
        dimensions = self.query_one("#dimensions", OptionList)
        dimensions.clear_options()
        dimensions.add_options([Option(self._line(*pair)) for pair in found])
        here = self._paths.index(self._path) if self._path in self._paths else 0
        dimensions.highlighted = here if self._paths else None

    def _line(self, path: str, step: str) -> Content:
        spec = spec_of(path)
        value = spec.shown(self._lock.value(path), self._lock.units)
        return Content.assemble(
            f"{spec.label:<30}{value:>14}", Content.styled(f"   {step}", "$quiet")
        )

    def on_input_changed(self, event: Input.Changed) -> None:
        """Offer those that the letters fit."""
        self._fill(event.value)

    def on_key(self, event: events.Key) -> None:
        """Move in the list while letters are typed."""
        if event.key in _MOVES:
            event.stop()
            getattr(self.query_one("#dimensions"), f"action_{_MOVES[event.key]}")()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """End with the dimension at the cursor."""
        event.stop()
        here = self.query_one("#dimensions", OptionList).highlighted
        if here is not None and self._paths:
            self.dismiss(self._paths[here])

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """End with the dimension that was chosen."""
        self.dismiss(self._paths[event.option_index])

    def action_stay(self) -> None:
        """End without one."""
        self.dismiss(None)
