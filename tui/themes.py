"""The two looks, light letters on dark and dark on light, with the colours of the drawing."""

import os
from collections.abc import Mapping

from textual.theme import Theme

DARK, LIGHT = "bench-dark", "bench-light"


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
            "fine": "#8cc084", "line": "#3a4449", "foul": "#ff5f4c",
            "input-cursor-background": "#e3ae45", "input-cursor-foreground": "#101315",
            "input-selection-background": "#5a4a22",
            "block-cursor-background": "#4d4024", "block-cursor-foreground": "#f4f1e8",
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
        panel="#e4dfd0",
        success="#1f5e24",
        warning="#754b00",
        error="#a01616",
        variables={
            "strong": "#0c0e10", "quiet": "#565d61", "stop": "#a01616", "look": "#754b00",
            "fine": "#1f5e24", "line": "#b9b29d", "foul": "#c01010",
            "input-cursor-background": "#23272a", "input-cursor-foreground": "#f6f3ea",
            "input-selection-background": "#e2cf9c",
            "block-cursor-background": "#e2cf9c", "block-cursor-foreground": "#0c0e10",
        } | _tones(
            plate=("#7b8387", "#0c0e10"), scribe=("#5c8196", "#0b4f78"),
            key=("#8a72b5", "#4a2390"), bolt=("#a07a22", "#6d4600"),
            guide=("#5d8a5a", "#175c1c"), shackle=("#6788a0", "#143f60"),
            other=("#7b8387", "#0c0e10"), measure=("#565d61", "#0c0e10"),
        ),
    ),
)  # fmt: skip


def first_theme(environment: Mapping[str, str] | None = None) -> str:
    """Return the look to begin with: light where the terminal says that its ground is light."""
    told = (os.environ if environment is None else environment).get("COLORFGBG", "")
    return LIGHT if told.rpartition(";")[2] in ("7", "15") else DARK


def other_theme(name: str) -> str:
    """Return the other look."""
    return LIGHT if name == DARK else DARK
