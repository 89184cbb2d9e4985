"""One sheet of paper as it comes out of a printer: its size, its room, and what is drawn larger for the printer's sake.

A page's *room* is the paper less the blank edge that printers leave, in mm as they measure once printed.
"""

from dataclasses import dataclass

from core.geometry.path import Point
from core.sheets.paper import PAPERS
from core.sheets.printers import Printer

MARGIN = 10.0
"""Edge [mm] that printers may leave blank."""
WAYS = ("across the paper", "along the paper")
"""The short way of a sheet of paper, and the long one: a printer is out differently in each."""


@dataclass(frozen=True)
class Leaf:
    """A paper, "A4" or "Letter", and the printer that is to print on it true; None for one that was not measured."""

    paper: str
    printer: Printer | None = None

    def size(self, lying: bool) -> Point:
        """Return width and height of the paper [mm]."""
        wide, high = PAPERS[self.paper]
        return (high, wide) if lying else (wide, high)

    def scale(self, lying: bool) -> Point:
        """Return what lengths are drawn larger by, to the right and up, so that the printer prints them true."""
        if self.printer is None:
            return (1.0, 1.0)
        # a lying page is turned on its way through the printer
        across, along = 1 / self.printer.across, 1 / self.printer.along
        return (along, across) if lying else (across, along)

    def room(self, lying: bool) -> Point:
        """Return width and height [mm] of a page's room, as they measure once printed."""
        size, scale = self.size(lying), self.scale(lying)
        return ((size[0] - 2 * MARGIN) / scale[0], (size[1] - 2 * MARGIN) / scale[1])


def ways(lying: bool) -> tuple[str, str]:
    """Return which way of the paper is level on a page, and which is upright."""
    return (WAYS[1], WAYS[0]) if lying else WAYS
