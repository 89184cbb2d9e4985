"""The lists of the working screen: the steps and the findings."""

from collections.abc import Callable, Iterable, Sequence

from textual import events
from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget
from textual.widgets.option_list import Option

from core.layout.findings import Finding
from tui.desk.checking import Checked
from tui.keys.acts import bindings
from tui.keys.of_work import STEPS
from tui.steps.step import Step
from tui.widgets.choice_list import ChoiceList
from tui.widgets.desk_text import SIGNS, UNSEEN, finding_line, level_style


class StepList(Widget, can_focus=True):
    """The steps with their signs, in as many rows as it takes."""

    BINDINGS = bindings(STEPS)

    def __init__(
        self,
        steps: Sequence[Step],
        chosen: Callable[[int], None],
        *,
        id: str | None = None,  # noqa: A002 - the toolkit's name
    ) -> None:
        """Show `steps`, the first one at hand; `chosen` is told the number of one, from 0."""
        super().__init__(id=id)
        self._steps, self._chosen = tuple(steps), chosen
        self._found: Checked | None = None
        self._here = 0
        self._cursor = 0
        self._typed = ""
        self._unseen: frozenset[int] = frozenset()

    def show(
        self, steps: Sequence[Step], here: int, found: Checked | None, unseen: Iterable[int] = ()
    ) -> None:
        """Show which of some steps is at hand, what was found in each, and which of a new lock nobody has been at."""
        before = self._shown()
        self._here, self._found, self._unseen = here, found, frozenset(unseen)
        if tuple(steps) != self._steps:
            self._steps = tuple(steps)
            self.refresh(layout=True)
        if self.screen.focused is not self:
            self._cursor = here
        if before != self._shown():
            self.refresh()

    def _shown(self) -> tuple[object, ...]:
        """Return all that a row is written from: to write it takes longer than to see that it is the same."""
        found = self._found
        levels = None if found is None else [found.level(step.name) for step in self._steps]
        return (self._here, self._cursor, self._unseen, levels)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Return the rows that the steps take in `width` columns."""
        del container, viewport
        return max((row for _, row, _ in self._places(width)), default=0) + 1

    def _text(self, number: int) -> str:
        step = self._steps[number]
        level = self._found.level(step.name) if self._found is not None else None
        sign = SIGNS[level] if self._found is not None else " "
        if number in self._unseen and level in (None, "note"):
            sign = UNSEEN
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

    def typed(self, character: str) -> bool:
        """Go to the step of the number that is typed."""
        if not (character.isdecimal() and character.isascii()):
            return False
        # a digit carries the number on, or begins another
        count = len(self._steps)
        number = next((n for n in (self._typed + character, character) if 1 <= int(n) <= count), "")
        self._to(int(number) - 1 if number else self._cursor, number)
        return True

    def action_before(self) -> None:
        """Go to the step before."""
        self._to(self._cursor - 1)

    def action_after(self) -> None:
        """Go to the step after."""
        self._to(self._cursor + 1)

    def action_go(self) -> None:
        """Take the step at the cursor to hand."""
        self._chosen(self._cursor)

    def _to(self, number: int, typed: str = "") -> None:
        self._cursor, self._typed = number % len(self._steps), typed
        self.refresh()

    def on_click(self, event: events.Click) -> None:
        """Go to the step under the mouse."""
        for number, (column, row, text) in enumerate(self._places(self.size.width)):
            if event.y == row and column <= event.x < column + len(text) + 1:
                self._chosen(number)

    def on_blur(self) -> None:
        """Mark the step at hand again."""
        if self.screen.focused is not self:  # word of it may come late, when the cursor is back
            self._to(self._here)


class FindingList(ChoiceList):
    """The findings, worst first; Enter or a click goes to what mends one."""

    def __init__(self, chosen: Callable[[Finding], None], *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Start empty, with what is to happen with a finding that is chosen."""
        super().__init__(lambda number: chosen(self._findings[number]), id=id)
        self._findings: tuple[Finding, ...] = ()
        self._filled = False

    def show(self, findings: tuple[Finding, ...]) -> None:
        """Show other findings."""
        if self._filled and findings == self._findings:
            return
        before, self._findings = self._findings, findings
        if self._filled and len(before) == len(findings):
            # mostly a number is another one: to fill the list would lay the screen out anew
            tall = self._rows()
            for index, (old, new) in enumerate(zip(before, findings, strict=True)):
                if not finding_line(old).is_same(finding_line(new)):
                    self.replace_option_prompt_at_index(index, finding_line(new))
            if self._rows() != tall:
                self.refresh(layout=True)
            return
        self._filled = True
        self.fill(finding_line(finding) for finding in findings)
        if not findings:
            fine = Content.styled("+ fine  nothing to mend", "$fine")
            self.add_option(Option(fine, disabled=True))

    def _rows(self) -> int:
        """Return how many rows the findings take."""
        width = self.scrollable_content_region.width
        return self.get_content_height(self.size, self.size, width)

    @property
    def at_cursor(self) -> Finding | None:
        """The finding at the cursor, while the maker is in the list."""
        if self.screen.focused is not self or self.highlighted is None or not self._findings:
            return None
        return self._findings[self.highlighted]
