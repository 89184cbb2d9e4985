"""The scale of a picture: which millimetres fall on which dots."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Bounds = tuple[float, float, float, float]
"""Left, bottom, right and top [mm]."""
Dots = NDArray[np.float64]
"""Points in dots, shape (n, 2): x from the left and y from the bottom, dot centres at whole
numbers.
"""

ACROSS, DOWN = 2, 4
"""Dots of one character cell."""
CLOSEST, FARTHEST = 0.01, 50.0
"""Limits of the scale [mm per dot]: closer shows less than a scriber's line, farther no lock at
all.
"""


@dataclass(frozen=True)
class Scale:
    """A picture of `columns` x `rows` cells whose middle shows `centre` [mm] at `mm_per_dot`."""

    columns: int
    rows: int
    centre: tuple[float, float]
    mm_per_dot: float

    @property
    def width(self) -> int:
        """Dots across."""
        return self.columns * ACROSS

    @property
    def height(self) -> int:
        """Dots from bottom to top."""
        return self.rows * DOWN

    def dots(self, points: NDArray[np.float64]) -> Dots:
        """Return where `points`, shape (n, 2) [mm], fall, unrounded [dots]."""
        middle = np.array([(self.width - 1) / 2, (self.height - 1) / 2])
        with np.errstate(over="ignore", invalid="ignore"):
            return np.asarray((points - np.array(self.centre)) / self.mm_per_dot + middle)

    def point(self, column: float, row: float) -> tuple[float, float]:
        """Return the place [mm] under the middle of a cell, counted from the top left."""
        x = (column + 0.5) * ACROSS - self.width / 2
        y = self.height / 2 - (row + 0.5) * DOWN
        return (self.centre[0] + x * self.mm_per_dot, self.centre[1] + y * self.mm_per_dot)


@dataclass(frozen=True)
class Sight:
    """How the maker looks at a region: `zoom` times as large, moved by `pan` [mm]."""

    zoom: float = 1.0
    pan: tuple[float, float] = (0.0, 0.0)

    def closer(self, factor: float) -> "Sight":
        """Return the sight with everything `factor` times as large, within reason."""
        return replace(self, zoom=min(max(self.zoom * factor, 0.25), 40.0))

    def moved(self, right: float, up: float) -> "Sight":
        """Return the sight moved by `right` and `up` [mm]."""
        return replace(self, pan=(self.pan[0] + right, self.pan[1] + up))

    def scale(self, region: Bounds, columns: int, rows: int) -> Scale:
        """Return the scale that fits `region` [mm] into `columns` x `rows` cells, zoomed."""
        columns, rows = max(columns, 1), max(rows, 1)
        if not all(map(math.isfinite, region)):
            region = (-50.0, -50.0, 50.0, 50.0)
        left, bottom, right, top = region
        wide, high = max(right - left, 1e-6), max(top - bottom, 1e-6)
        fit = max(wide / max(columns * ACROSS - 1, 1), high / max(rows * DOWN - 1, 1))
        centre = ((left + right) / 2 + self.pan[0], (bottom + top) / 2 + self.pan[1])
        return Scale(columns, rows, centre, min(max(fit / self.zoom, CLOSEST), FARTHEST))
