"""What a step proposes for the lock at hand, taken in one change."""

from core.layout.layout import Layout
from core.text import listed
from tui.desk.desk import Desk
from tui.keys.common import UNDO
from tui.steps.walk import all_steps


def proposed(desk: Desk) -> Desk:
    """Return the desk with what its step proposes, and why; or saying what stands in the way."""
    if desk.step.propose is None:
        those = listed([f"the {step.name}'s" for step in all_steps() if step.propose is not None])
        return desk.said(f"This step has nothing to propose: {those} have.")
    found = desk.step.propose(Layout(desk.lock))
    why = " ".join(found.reasons)
    if not found.values:
        return desk.said(f"Nothing to propose. {why}")
    lock = found.taken(desk.lock)
    if lock == desk.lock:
        return desk.said(f"It stands as proposed already. {why}")
    return desk.changed(lock, found.what, desk.path).said(f"{why} {UNDO.shown} takes it back.")
