"""What the drawing is of: the lock at hand, or while a way out is looked at, the lock as that would leave it."""

from dataclasses import dataclass

from core.layout.layout import Layout
from tui.desk.desk import Desk
from tui.desk.opening import Opened
from tui.desk.session import layout_of
from tui.widgets.desk_text import WAY_KEYS


@dataclass(frozen=True)
class LookedAt:
    """A lock to draw, the paths whose dimensions are drawn with it, and what it is; nothing for the lock at hand."""

    layout: Layout
    paths: tuple[str, ...]
    told: str = ""


def looked_at(desk: Desk, opened: Opened | None) -> LookedAt:
    """Return what is to be drawn: exactly the lock that the key of the way would give, or the lock at hand."""
    one = opened.looked_at if opened is not None else None
    if opened is None or one is None:
        return LookedAt(layout_of(desk.lock), (desk.path,))
    told = f"As {WAY_KEYS[opened.looked].upper()} would leave it; Esc: as it is"
    return LookedAt(layout_of(one.lock), one.paths, told)
