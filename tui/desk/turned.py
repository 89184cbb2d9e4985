"""The window at the prompt as a turn of the key at other values narrows it: looked for while the keys rest."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from core.layout.layout import Layout
from core.layout.windows import Window, merged
from core.lock.lock import Lock
from tui.desk.checking import Checked, verdict
from tui.desk.desk import Desk


@dataclass(frozen=True)
class Turned:
    """The window at a prompt of a lock, with the ends that a turn of the key sets; never less than complete."""

    lock: Lock
    path: str
    window: Window
    stopped: bool
    """Whether a stop stood already, which then sets no end."""
    complete: bool = True

    def is_of(self, desk: Desk) -> bool:
        """Say whether it is about the prompt at hand: the window of a lock without stop hangs not on its value."""
        if self.path != desk.path or not desk.lock.has(self.path):
            return False
        if self.stopped:
            return self.lock == desk.lock
        return self.lock.with_value(self.path, desk.lock.value(self.path)) == desk.lock


def turning(layout: Layout, path: str, window: Window) -> Iterator[Turned | None]:
    """Work it out a piece at a time: yields None between, and then what is known."""
    # loaded where it is wanted: it brings the turn of the key along, for which no start waits
    from core.checks.turned_ends import turned_ends

    stopped = any(found.level == "stop" for found in verdict(layout).findings)
    for found in turned_ends(layout, path, window, lambda there: verdict(there).findings):
        yield None if found is None else Turned(layout.plan, path, found, stopped)


def narrowed(found: Checked, turned: Turned | None) -> Checked:
    """Return what was found with the window at the prompt as a turn of the key narrows it."""
    window = found.windows.get(turned.path) if turned is not None else None
    if turned is None or window is None:
        return found
    both = (window, turned.window)
    ends = (end for one in both for end in (one.low, one.high) if end is not None)
    return replace(found, windows={**found.windows, **merged(ends)})


def askable(desk: Desk, found: Checked | None) -> Window | None:
    """Return the window at the prompt where turning the key at other values may narrow it; None where not."""
    window = found.windows.get(desk.path) if found is not None and found.complete else None
    return None if window is None or window.conflict else window
