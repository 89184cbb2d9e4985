"""Boxes set beside and above each other on pages of one size."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from core.geometry.path import Point


@dataclass
class _Shelf:
    """A row of boxes on a page: how far down it begins, how deep it is, and how much of it is taken [mm]."""

    top: float
    depth: float
    taken: float = 0.0


@dataclass
class _Page:
    shelves: list[_Shelf] = field(default_factory=list)
    taken: float = 0.0


@dataclass(frozen=True)
class Place:
    """Where a box stands: its page, and its upper left corner [mm to the right and down]."""

    page: int
    at: Point


def nested(sizes: Sequence[Point], room: Point, apart: float) -> tuple[Place, ...]:
    """Return a place for each box of `sizes`, width and height [mm], on pages with so much `room`.

    The deepest first, each on the first shelf that holds it (first fit by decreasing height). A box larger than the
    room gets a page of its own.
    """
    order = sorted(range(len(sizes)), key=lambda i: (-sizes[i][1], i))
    pages: list[_Page] = []
    found: dict[int, Place] = {}
    for index in order:
        found[index] = _put(pages, sizes[index], room, apart)
    # pages are numbered by the first box that stands on them, so that small parts keep their order as far as it goes
    first = dict.fromkeys(found[index].page for index in range(len(sizes)))
    renumbered = {page: number for number, page in enumerate(first)}
    return tuple(Place(renumbered[found[i].page], found[i].at) for i in range(len(sizes)))


def _put(pages: list[_Page], size: Point, room: Point, apart: float) -> Place:
    wide, deep = size
    for number, page in enumerate(pages):
        for shelf in page.shelves:
            if shelf.taken + wide <= room[0] and deep <= shelf.depth:
                at = (shelf.taken, shelf.top)
                shelf.taken += wide + apart
                return Place(number, at)
        if page.taken + deep <= room[1]:
            break
    else:
        number, page = len(pages), _Page()
        pages.append(page)
    page.shelves.append(_Shelf(page.taken, deep, wide + apart))
    page.taken += deep + apart
    return Place(number, (0.0, page.shelves[-1].top))
