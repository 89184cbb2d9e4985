"""DXF with true arcs, in mm: outlines as polylines with bulges, round holes as circles, texts as texts.

AutoCAD 2010 format (AC1024), the DXF reference's group codes; written by `ezdxf`.
"""

import io
import math
from collections.abc import Iterable
from typing import Any

from ezdxf import options  # type: ignore[attr-defined] # the documented name, which the package's own types leave out
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new

from core.geometry.path import JOIN, Arc, Path
from core.layout.drawing import Inked, Label, Stroke
from core.sheets.compose import bounds_of
from core.sheets.styles import GHOST, STYLES
from core.sheets.svg import halved
from core.text import plain

VERSION = "R2010"
MILLIMETRES = 4
"""$INSUNITS of the DXF reference."""
GHOST_LAYER = "GHOST"
_ALIGN = {
    "left": TextEntityAlignment.MIDDLE_LEFT,
    "middle": TextEntityAlignment.MIDDLE_CENTER,
    "right": TextEntityAlignment.MIDDLE_RIGHT,
}


def dxf_text(marks: Iterable[Inked], title: str) -> str:
    """Return the DXF file of strokes and labels [mm], y up; the same marks give the same file, byte for byte.

    What is drawn for orientation only is on the layer GHOST, everything else on the layer of its purpose: CUT what the
    part's metal is cut along, DRILL round holes, PUNCH their centres, SCRIBE lines on the metal, FOLD bends, VIEW the
    part from another side, PAPER where paper is cut, NOTE words and dimensions.
    """
    fixed = options.write_fixed_meta_data_for_testing
    # otherwise time of writing and random marks go into the file, and no two are alike
    options.write_fixed_meta_data_for_testing = True
    try:
        doc = new(VERSION, units=MILLIMETRES)
        doc.header["$MEASUREMENT"] = 1
        if title:
            doc.header.custom_vars.append("Title", _literal(title))
        marks = list(marks)
        left, bottom, right, top = bounds_of(marks)
        # so that a viewer opens on the whole drawing
        doc.header["$EXTMIN"], doc.header["$EXTMAX"] = (left, bottom, 0.0), (right, top, 0.0)
        doc.set_modelspace_vport(1.1 * (top - bottom), ((left + right) / 2, (bottom + top) / 2))
        doc.linetypes.add("DASHED", [4.0, 2.7, -1.3], description="dashed _ _ _")
        for name, style in (*STYLES.items(), (GHOST_LAYER.lower(), GHOST)):
            doc.layers.add(
                name.upper(), color=style.index, linetype="DASHED" if style.dash else "CONTINUOUS"
            )
        space = doc.modelspace()
        for mark in marks:
            if isinstance(mark, Stroke):
                _stroke(space, mark)
            elif isinstance(mark, Label):
                _label(space, mark)
        # the library adds these from a set, in an order that changes from run to run
        doc.classes.add_required_classes(doc.dxfversion)
        doc.classes.classes = dict(sorted(doc.classes.classes.items()))
        out = io.StringIO()
        doc.write(out)
    finally:
        options.write_fixed_meta_data_for_testing = fixed
    return out.getvalue()


def _stroke(space: Any, stroke: Stroke) -> None:
    on = {"layer": GHOST_LAYER if stroke.ghost else stroke.layer.upper()}
    whole = _whole_circle(stroke.path)
    if whole is not None:
        space.add_circle(whole.centre, whole.radius, dxfattribs=on)
        return
    segments = [
        part
        for segment in stroke.path.segments
        for part in (halved(segment) if isinstance(segment, Arc) else (segment,))
    ]
    points = [
        (*segment.start, math.tan(segment.sweep / 4) if isinstance(segment, Arc) else 0.0)
        for segment in segments
    ]
    if not stroke.path.closed:
        points.append((*stroke.path.end, 0.0))
    space.add_lwpolyline(points, format="xyb", close=stroke.path.closed, dxfattribs=on)


def _whole_circle(path: Path) -> Arc | None:
    """Return an arc of the circle that the closed path is, None where it is anything else."""
    first = path.segments[0] if path.segments else None
    if not isinstance(first, Arc) or not path.closed:
        return None
    turned = 0.0
    for segment in path.segments:
        if not isinstance(segment, Arc) or math.dist(segment.centre, first.centre) > JOIN:
            return None
        turned += segment.sweep
    return first if abs(abs(turned) - math.tau) < JOIN else None


def _label(space: Any, label: Label) -> None:
    text = space.add_text(
        _literal(label.text),
        height=label.height,
        rotation=label.lean,
        dxfattribs={"layer": label.layer.upper()},
    )
    text.set_placement(label.at, align=_ALIGN[label.anchor])


def _literal(text: str) -> str:
    """Return `text` so that a reader of DXF shows it as it stands: %% and ^ are codes there."""
    return (
        plain(text)
        .replace("%%", "% %")
        .replace("^", "^ ")
        .replace("\\U+", "\\ U+")
        .replace("\\M+", "\\ M+")
    )
