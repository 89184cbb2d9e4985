"""SVG at 1:1: sizes in mm, arcs as arcs, one group for each layer.

Written by hand: the record's lines, arcs and texts are four elements of the standard (W3C, Scalable Vector Graphics
1.1, chapters 8 and 10). Letters are left to the viewer's own sans-serif, so nothing is fetched; each text is told how
wide it runs (10.5, `textLength`), as placed for the PDF files' letters, so that none runs over a line.
"""

import math
from collections.abc import Iterable
from xml.sax.saxutils import escape

from core.geometry.path import Arc, Path, Point
from core.layout.drawing import Inked, Label, Layer, Stroke
from core.sheets.lettering import weight_of, width
from core.sheets.styles import GHOST, STYLES, Style
from core.text import plain

MARGIN = 10.0
"""Blank [mm] round the drawing, the least that printers leave."""
CAPITAL = 0.716
"""Height of the capitals over the size of the letters, in the common sans-serifs."""


def svg_text(marks: Iterable[Inked], bounds: tuple[float, float, float, float], title: str) -> str:
    """Return the SVG file of strokes and labels; `bounds` are left, bottom, right and top [mm], y up."""
    left, bottom, right, top = bounds
    width, height = right - left + 2 * MARGIN, top - bottom + 2 * MARGIN
    groups: dict[str, list[str]] = {name: [] for name in (*STYLES, "ghost")}
    for mark in marks:
        if isinstance(mark, Stroke):
            groups[_group(mark)].append(f'<path d="{path_data(mark.path)}"/>')
        elif isinstance(mark, Label):
            groups[mark.layer].append(_text(mark))
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{number(width)}mm" '
            f'height="{number(height)}mm" '
            f'viewBox="{number(left - MARGIN)} {number(-top - MARGIN)} {number(width)} {number(height)}">'
        ),
        *([f"<title>{escape(plain(title))}</title>"] if title else []),
    ]
    for name, drawn in groups.items():
        if drawn:
            style = GHOST if name == "ghost" else STYLES[name]
            lines += [f'<g id="{name}" {_style(style)}>', *drawn, "</g>"]
    return "\n".join([*lines, "</svg>"]) + "\n"


def path_data(path: Path) -> str:
    """Return a path as SVG path data [mm], y turned down; a full circle is written as two arcs."""
    parts = [f"M{_at(path.start)}"]
    for segment in path.segments:
        if not isinstance(segment, Arc):
            parts.append(f"L{_at(segment.end)}")
            continue
        for arc in halved(segment):
            large = int(abs(arc.sweep) > math.pi)
            # y is turned over, so what ran clockwise still looks clockwise: SVG's positive direction
            parts.append(
                f"A{number(arc.radius)} {number(arc.radius)} 0 {large} {int(arc.turn == 'cw')} {_at(arc.end)}"
            )
    return " ".join(parts) + (" Z" if path.closed else "")


def halved(arc: Arc) -> tuple[Arc, ...]:
    """Return an arc of more than three quarters of a turn as two, so that its ends tell it apart."""
    if abs(arc.sweep) <= 1.5 * math.pi:
        return (arc,)
    return (
        Arc(arc.centre, arc.radius, arc.start, arc.middle, arc.turn),
        Arc(arc.centre, arc.radius, arc.middle, arc.end, arc.turn),
    )


def _group(stroke: Stroke) -> Layer | str:
    # what is drawn for orientation only must never be cut
    return "ghost" if stroke.ghost else stroke.layer


def _text(label: Label) -> str:
    anchor = {"left": "start", "middle": "middle", "right": "end"}[label.anchor]
    x, y = label.at[0], -label.at[1]
    turn = (
        f' transform="rotate({number(-label.lean)} {number(x)} {number(y)})"' if label.lean else ""
    )
    wide = width(label.text, label.height, weight_of(label.part, label.height))
    return (
        f'<text x="{number(x)}" y="{number(y + label.height / 2)}" font-size="{number(label.height / CAPITAL)}" '
        f'text-anchor="{anchor}"{turn} fill="#000" stroke="none" font-family="sans-serif" '
        # as wide as it was placed to be: a viewer's own letters are often wider, and would run over lines
        f'textLength="{number(wide)}" lengthAdjust="spacingAndGlyphs">'
        f"{escape(plain(label.text))}</text>"
    )


def _style(style: Style) -> str:
    dash = f' stroke-dasharray="{" ".join(number(d) for d in style.dash)}"' if style.dash else ""
    return f'fill="none" stroke="{style.colour}" stroke-width="{number(style.width)}" stroke-linejoin="round"{dash}'


def _at(point: Point) -> str:
    return f"{number(point[0])} {number(-point[1])}"


def number(value: float, places: int = 6) -> str:
    """Write a number, to a millionth of a mm where nothing else is said, without what says nothing."""
    text = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
