"""A part of a screen that scrolls what has no room, by the wheel or as the cursor moves in it."""

from textual.containers import VerticalScroll


class Pane(VerticalScroll, can_focus=False, inherit_bindings=False):
    """A part of a screen that scrolls; it has no keys, so that those of the screen stay as they are told."""
