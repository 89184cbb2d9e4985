"""The legend: what each style of line means, in words."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from core.layout.drawing import Stroke
from tui.plot.tones import SAMPLES, Ink, Style

_MEANING: dict[Style, str] = {
    "thick": "asked for",
    "solid": "cut",
    "chain": "scribed",
    "broken": "other seat",
    "dotted": "",
}


class Wants(Protocol):
    """Something that knows which parts stand out."""

    def part(self, name: str) -> bool:
        """Say whether a part stands out."""


@dataclass(frozen=True)
class Entry:
    """One entry of the legend: a sample of the line, its tone, and what it is in words."""

    sample: str
    tone: str
    text: str


def legend(seen: Iterable[tuple[Stroke, Ink]], wanted: Wants) -> tuple[Entry, ...]:
    """Return what each style of line in the picture means, the parts asked for by name, first."""
    names: dict[Style, dict[str, str]] = {}
    for stroke, ink in seen:
        names.setdefault(ink.style, {}).setdefault(stroke.part, ink.tone)
    entries = []
    for style, meaning in _MEANING.items():
        parts = names.get(style, {})
        if not parts:
            continue
        named = [part for part in parts if wanted.part(part)] if style == "thick" else []
        text = ", ".join(named) if named else meaning
        tone = parts[named[0]] if named else "scribe" if style == "chain" else "plate"
        if style == "dotted":
            text = next(iter(parts))
        if style == "broken":
            text = ", ".join(f"{part}, other seat" for part in parts)
        entries.append(Entry(SAMPLES[style], tone, text))
    return tuple(entries)


def legend_rows(entries: Iterable[Entry], width: int, most: int) -> list[list[tuple[str, str]]]:
    """Return the legend as at most `most` rows of texts with their tones, broken between entries."""
    rows: list[list[tuple[str, str]]] = [[]]
    used = 0
    for entry in entries:
        pieces = [(" ", ""), (entry.sample, entry.tone), (f" {entry.text} ", "")]
        length = sum(len(text) for text, _ in pieces)
        if used and used + length > width:
            rows.append([])
            used = 0
        rows[-1] += pieces
        used += length
    return rows[:most]
