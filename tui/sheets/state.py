"""What the sheets dialog is set to: for paper or for a cutter, on which paper, for which printer, with which kerf."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from core.sheets.paper import PAPERS

Words = Mapping[str, str]


@dataclass(frozen=True)
class Choice:
    """One thing that can be written: its name in files, its title, and the mark that it would have now."""

    name: str
    title: str
    key: str = ""
    mark: str = ""


@dataclass(frozen=True)
class State:
    """What is set, what there is to write, what of it is chosen, and what has become of it in the folder.

    `kerf` [mm] is None for sheets on paper. `printers` are those that were measured, `printer` the one at hand, "" for
    none. `usual` are the names of what is chosen at first, all but the test page. `found` has a
    word for each choice, by name, that is new or stale in the folder.
    """

    paper: str
    printers: tuple[str, ...] = ()
    printer: str = ""
    kerf: float | None = None
    choices: tuple[Choice, ...] = ()
    usual: frozenset[str] = frozenset()
    chosen: frozenset[str] = frozenset()
    found: Words = field(default_factory=dict)

    @property
    def for_cutter(self) -> bool:
        """Whether files for a cutter are to be written, and no sheets."""
        return self.kerf is not None

    @property
    def names(self) -> tuple[str, ...]:
        """What is chosen, in its order."""
        return tuple(choice.name for choice in self.choices if choice.name in self.chosen)

    def with_paper_turned(self) -> "State":
        """Return the other paper."""
        papers = tuple(PAPERS)
        return replace(self, paper=papers[(papers.index(self.paper) + 1) % len(papers)])

    def with_printer_turned(self) -> "State":
        """Return the next printer; after the last one none."""
        all_of = ("", *self.printers)
        here = all_of.index(self.printer) if self.printer in all_of else 0
        return replace(self, printer=all_of[(here + 1) % len(all_of)])

    def offering(self, choices: tuple[Choice, ...], usual: frozenset[str]) -> "State":
        """Return other things to write, the `usual` ones among them chosen."""
        names = frozenset(choice.name for choice in choices)
        return replace(self, choices=choices, usual=names & usual, chosen=names & usual, found={})

    def turned(self, name: str) -> "State":
        """Return one choice taken, or left out."""
        return replace(self, chosen=self.chosen ^ {name})

    def all_or_none(self) -> "State":
        """Return all chosen that are usually written, or none if they are."""
        return replace(self, chosen=frozenset() if self.usual <= self.chosen else self.usual)
