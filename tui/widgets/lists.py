"""The lists of the working screen: the steps and the findings."""

from collections.abc import Sequence
from dataclasses import dataclass

from textual import events
from textual.content import Content
from textual.geometry import Size
from textual.message import Message
from textual.widget import Widget
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from core.layout.findings import Finding
from tui.desk.checking import Checked
from tui.steps.step import Step
from tui.widgets.desk_text import SIGNS, finding_line, level_style


class LeavableList(OptionList):
    """A list to go into from the prompt, and back with Esc."""

    class Left(Message):
        """The maker wants back to the prompt."""

    def on_focus(self) -> None:
        """Begin at the first."""
        if self.highlighted is None:
            self.action_first()

    def on_key(self, event: events.Key) -> None:
        """Go back to the prompt at Esc."""
        if event.key == "escape":
            event.stop()
            self.post_message(self.Left())


class StepList(Widget, can_focus=True):
    """The steps with their signs, in as many rows as it takes."""

    @dataclass
    class Chosen(Message):
        """The maker wants to go to a step, by its number from 0."""

        number: int

    class Left(Message):
        """The maker wants back to the prompt."""

    def __init__(self, steps: Sequence[Step], *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Show `steps`, the first one at hand."""
        super().__init__(id=id)
        self._steps = tuple(steps)
        self._found: Checked | None = None
        self._here = 0
        self._cursor = 0
        self._typed = ""

    def show(self, here: int, found: Checked | None) -> None:
        """Show which step is at hand, and what was found in each."""
        self._here, self._found = here, found
        if not self.has_focus:
            self._cursor = here
        self.refresh()

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Return the rows that the steps take in `width` columns."""
        del container, viewport
        return max((row for _, row, _ in self._places(width)), default=0) + 1

    def _text(self, number: int) -> str:
        step = self._steps[number]
        level = self._found.level(step.name) if self._found is not None else None
        sign = SIGNS[level] if self._found is not None else " "
        return f"{sign}{number + 1} {step.name}"

    def _places(self, width: int) -> list[tuple[int, int, str]]:
        """Return the column, the row and the text of every step."""
        found = []
        column = row = 0
        for number in range(len(self._steps)):
            text = self._text(number)
            if column and column + len(text) + 1 > width:
                column, row = 0, row + 1
            found.append((column, row, text))
            column += len(text) + 2
        return found

    def render(self) -> Content:
        """Return the steps, the one at hand marked."""
        width = self.size.width
        lines: dict[int, Content] = {}
        for number, (column, row, text) in enumerate(self._places(width)):
            line = lines.get(row, Content(""))
            lines[row] = line.pad_right(column - line.cell_length) + self._item(number, text)
        return Content("\n").join(lines[row] for row in sorted(lines))

    def _item(self, number: int, text: str) -> Content:
        level = self._found.level(self._steps[number].name) if self._found is not None else None
        sign, rest = text[:1], text[1:]
        chosen = number == (self._cursor if self.has_focus else self._here)
        style = "$strong" if number == self._here else "$quiet"
        item = Content.styled(sign, level_style(level)) + Content.styled(rest, style)
        if number == self._here:
            item = item.stylize("bold")
        return item.stylize("reverse") if chosen else item

    def on_key(self, event: events.Key) -> None:
        """Move in the list, by arrows or by a step's number; Enter goes there."""
        count, digit = len(self._steps), event.character or ""
        if digit.isdecimal() and digit.isascii():
            # a digit carries the number on, or begins another
            self._typed = next(
                (n for n in (self._typed + digit, digit) if 1 <= int(n) <= count), ""
            )
            self._cursor = int(self._typed) - 1 if self._typed else self._cursor
        else:
            self._typed = ""
            if event.key in ("up", "left"):
                self._cursor = (self._cursor - 1) % count
            elif event.key in ("down", "right"):
                self._cursor = (self._cursor + 1) % count
            elif event.key == "enter":
                self.post_message(self.Chosen(self._cursor))
            elif event.key == "escape":
                self.post_message(self.Left())
            else:
                return
        event.stop()
        self.refresh()

    def on_click(self, event: events.Click) -> None:
        """Go to the step under the mouse."""
        for number, (column, row, text) in enumerate(self._places(self.size.width)):
            if event.y == row and column <= event.x < column + len(text) + 1:
                self.post_message(self.Chosen(number))

    def on_blur(self) -> None:
        """Mark the step at hand again."""
        self._cursor, self._typed = self._here, ""
        self.refresh()


class FindingList(LeavableList):
    """The findings, worst first; Enter or a click goes to what mends one."""

    @dataclass
    class Chosen(Message):
        """The maker wants to mend a finding."""

        finding: Finding

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Start empty."""
        super().__init__(id=id, markup=False)
        self._findings: tuple[Finding, ...] | None = None

    def show(self, findings: tuple[Finding, ...]) -> None:
        """Show other findings."""
        if findings == self._findings:
            return
        self._findings = findings
        self.clear_options()
        if findings:
            self.add_options([Option(finding_line(finding)) for finding in findings])
        else:
            self.add_option(
                Option(Content.styled("+ fine  nothing to mend", "$fine"), disabled=True)
            )

    @property
    def at_cursor(self) -> Finding | None:
        """The finding at the cursor, while the maker is in the list."""
        if not self.has_focus or self.highlighted is None or not self._findings:
            return None
        return self._findings[self.highlighted]

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Tell which finding was chosen."""
        event.stop()
        if self._findings:
            self.post_message(self.Chosen(self._findings[event.option_index]))
