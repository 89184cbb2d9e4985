"""The looks, light letters on dark, dark on light, and of high contrast, with the colours of the drawing.

A terminal of 16 colours shows the nearest that it has of a colour. It therefore gets looks made of these 16 alone, as
the consoles of PCs have them (0, 85, 170 or 255 of red, green and blue); the dark one is the look of high contrast.
"""

import os
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from rich.segment import Segment
from rich.style import Style
from textual.app import App
from textual.color import Color
from textual.filter import LineFilter
from textual.theme import Theme

DARK, LIGHT, CONTRAST, LIGHT_OF_16 = "bench-dark", "bench-light", "bench-contrast", "bench-light-16"
_MANY, _FEW = (DARK, CONTRAST, LIGHT), (CONTRAST, LIGHT_OF_16)


def _tones(**quiet_and_wanted: tuple[str, str]) -> dict[str, str]:
    found = {}
    for name, (quiet, wanted) in quiet_and_wanted.items():
        found[f"tone-{name}"], found[f"tone-{name}-wanted"] = quiet, wanted
    return found


THEMES = (
    Theme(
        name=DARK,
        dark=True,
        primary="#e3ae45",
        secondary="#8fb8d0",
        accent="#e3ae45",
        foreground="#d9d5c9",
        background="#101315",
        surface="#171b1e",
        panel="#20262a",
        success="#8cc084",
        warning="#f0c04c",
        error="#ff8272",
        variables={
            "strong": "#f4f1e8", "quiet": "#9aa4a9", "stop": "#ff8272", "look": "#f0c04c",
            "fine": "#8cc084", "line": "#767676", "foul": "#ff5f4c",
            "input-cursor-background": "#e3ae45", "input-cursor-foreground": "#101315",
            "input-selection-background": "#5a4a22",
            "block-cursor-background": "#303030", "block-cursor-foreground": "#f4f1e8",
        } | _tones(
            plate=("#8d979c", "#f4f1e8"), scribe=("#5f8296", "#9fdcff"),
            key=("#9a86c4", "#dcc6ff"), bolt=("#b08f45", "#ffd56a"),
            guide=("#6f9f6c", "#a9eea2"), shackle=("#7d9fb8", "#c4e6ff"),
            other=("#8d979c", "#f4f1e8"), measure=("#9aa4a9", "#f4f1e8"),
        ),
    ),
    Theme(
        name=LIGHT,
        dark=False,
        primary="#6d4600",
        secondary="#1d4d6b",
        accent="#6d4600",
        foreground="#23272a",
        background="#f6f3ea",
        surface="#efebdf",
        panel="#eeeeee",
        success="#1f5e24",
        warning="#754b00",
        error="#a01616",
        variables={
            "strong": "#0c0e10", "quiet": "#565d61", "stop": "#a01616", "look": "#754b00",
            "fine": "#1f5e24", "line": "#808080", "foul": "#c01010",
            "input-cursor-background": "#23272a", "input-cursor-foreground": "#f6f3ea",
            "input-selection-background": "#e2cf9c",
            "block-cursor-background": "#e2cf9c", "block-cursor-foreground": "#0c0e10",
        } | _tones(
            plate=("#5f5f5f", "#0c0e10"), scribe=("#3f6478", "#0b4f78"),
            key=("#8a72b5", "#4a2390"), bolt=("#875f00", "#6d4600"),
            guide=("#3f6e3c", "#175c1c"), shackle=("#4f6a80", "#143f60"),
            other=("#5f5f5f", "#0c0e10"), measure=("#565d61", "#0c0e10"),
        ),
    ),
    Theme(
        name=CONTRAST,
        dark=True,
        primary="#ffff55",
        secondary="#55ffff",
        accent="#ffff55",
        foreground="#ffffff",
        background="#000000",
        surface="#000000",
        panel="#000000",
        success="#55ff55",
        warning="#ffff55",
        error="#ff55ff",
        variables={
            "strong": "#ffffff", "quiet": "#aaaaaa", "stop": "#ff55ff", "look": "#ffff55",
            "fine": "#55ff55", "line": "#aaaaaa", "foul": "#ff55ff",
            "input-cursor-background": "#ffffff", "input-cursor-foreground": "#000000",
            "input-selection-background": "#0000aa",
            "block-cursor-background": "#0000aa", "block-cursor-foreground": "#ffffff",
        } | _tones(
            plate=("#aaaaaa", "#ffffff"), scribe=("#00aaaa", "#ffffff"),
            key=("#55ffff", "#55ffff"), bolt=("#ffff55", "#ffff55"),
            guide=("#00aa00", "#55ff55"), shackle=("#aaaaaa", "#ffffff"),
            other=("#aaaaaa", "#ffffff"), measure=("#aaaaaa", "#ffffff"),
        ),
    ),
    Theme(
        name=LIGHT_OF_16,
        dark=False,
        primary="#0000aa",
        secondary="#0000aa",
        accent="#0000aa",
        foreground="#000000",
        background="#ffffff",
        surface="#ffffff",
        panel="#ffffff",
        success="#0000aa",
        warning="#aa5500",
        error="#aa0000",
        variables={
            "strong": "#000000", "quiet": "#555555", "stop": "#aa0000", "look": "#aa5500",
            "fine": "#0000aa", "line": "#555555", "foul": "#aa0000",
            "input-cursor-background": "#000000", "input-cursor-foreground": "#ffffff",
            "input-selection-background": "#ffff55",
            "block-cursor-background": "#ffff55", "block-cursor-foreground": "#000000",
        } | _tones(
            plate=("#555555", "#000000"), scribe=("#0000aa", "#0000aa"),
            key=("#aa00aa", "#aa00aa"), bolt=("#aa5500", "#aa5500"),
            guide=("#00aa00", "#000000"), shackle=("#0000aa", "#0000aa"),
            other=("#555555", "#000000"), measure=("#555555", "#000000"),
        ),
    ),
)  # fmt: skip


def few_colours(app: App[Any]) -> bool:
    """Say whether the terminal of a running program has 16 colours or fewer."""
    return not app.is_headless and app.console.color_system in ("standard", "windows")


class Colourless(LineFilter):
    """Sends no colour at all, for who has set NO_COLOR: bold, italic and reversed letters say the rest.

    What stands on a ground of its own, such as the line at a cursor, is reversed. That holds in the look of high
    contrast, in which all the rest stands on one ground.
    """

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Return segments without their colours."""
        return [
            Segment(text, _colourless(style, background) if style is not None else None, control)
            for text, style, control in segments
        ]


@lru_cache(1024)
def _colourless(style: Style, background: Color) -> Style:
    ground = Color.from_rich_color(style.bgcolor) if style.bgcolor is not None else background
    turned = bool(style.reverse) or ground.rgb != background.rgb
    return Style(
        bold=style.bold,
        italic=style.italic,
        underline=style.underline,
        reverse=turned,
        meta=style.meta,
    )


COLOURLESS = Colourless()


def first_theme(
    environment: Mapping[str, str] | None = None, *, few: bool = False, none: bool = False
) -> str:
    """Return the look to begin with: light where the terminal says that its ground is light.

    `few` says that the terminal has 16 colours or fewer, `none` that it is to be sent none.
    """
    if none:
        return CONTRAST
    told = (os.environ if environment is None else environment).get("COLORFGBG", "")
    light = told.rpartition(";")[2] in ("7", "15")
    if few:
        return LIGHT_OF_16 if light else CONTRAST
    return LIGHT if light else DARK


def other_theme(name: str, *, few: bool = False, none: bool = False) -> str:
    """Return the next look, round and round; without colours there is but one."""
    if none:
        return CONTRAST
    looks = _FEW if few else _MANY
    return looks[(looks.index(name) + 1) % len(looks)] if name in looks else looks[0]
