"""The posts: their holes in both plates, and the stock that they are cut from."""

import math
from collections.abc import Iterable

from core.geometry.path import Point
from core.layout.drawing import Label
from core.layout.frames import hand
from core.layout.layout import Layout
from core.lock.rows.posts import ROWS
from core.parts.discs import Disc, discs_of
from core.sheets.record import Hole, OnPlate, Piece, Setting, Stock, Task
from core.sheets.sizes import size
from core.text import capital


def _posts(layout: Layout) -> Iterable[tuple[Disc, Point]]:
    """Yield each post with its middle in the mechanism frame [mm]."""
    for post in discs_of(layout, ROWS):
        yield post, hand(layout).point(post.at)


def _holes(layout: Layout) -> Iterable[Hole]:
    for post, at in _posts(layout):
        diameter = 2 * post.radius
        yield Hole(
            post.title, at, diameter, fit=f"post {size(layout, diameter)}", group=ROWS.singular
        )


def _on_plates(layout: Layout) -> Iterable[OnPlate]:
    for post, (x, y) in _posts(layout):
        beside = (x + post.radius + 1.6, y + 1.6)
        yield OnPlate(Label(beside, post.title, "note", post.title, 2.0, "left"))


def _settings(layout: Layout) -> Iterable[Setting]:
    for post, at in _posts(layout):
        yield Setting(post.title, math.hypot(*at), "pivot", f"a short arc at {post.title}")


def _stock(layout: Layout) -> Iterable[Stock]:
    counts: dict[float, int] = {}
    for post, _ in _posts(layout):
        diameter = round(2 * post.radius, 6)
        counts[diameter] = counts.get(diameter, 0) + 1
    for diameter, count in counts.items():
        yield Stock(
            ROWS.singular, count, (None, diameter), "round bar", "mild steel or brass",
            "long enough to be riveted over on the outside of both plates",
        )  # fmt: skip


def _steps(layout: Layout) -> Iterable[str]:
    for post, (x, y) in _posts(layout):
        side = f"{size(layout, abs(x))} to the {'right' if x > 0 else 'left'} of the centreline"
        level = f"{size(layout, abs(y))} {'above' if y >= 0 else 'below'} the pivot"
        yield (
            f"{capital(post.title)}: {side if x else 'on the centreline'}, {level}; drill it "
            f"{size(layout, 2 * post.radius)} through both plates, clamped together with their edges flush."
        )
    if discs_of(layout, ROWS):
        yield (
            "Posts: rivet them into the back plate first, on a solid anvil, eye protection on; the front plate goes "
            "on last, when everything between the plates runs."
        )


def _work(layout: Layout) -> Iterable[Task]:
    if discs_of(layout, ROWS):
        yield Task(
            "assembly", "posts",
            "Rivet the posts into the back plate, on a solid anvil, eye protection on; try the front plate on them.",
        )  # fmt: skip


PIECE = Piece(
    "posts",
    88,
    on_plates=_on_plates,
    holes=_holes,
    settings=_settings,
    stock=_stock,
    steps=_steps,
    work=_work,
)
