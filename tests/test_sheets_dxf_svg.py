"""The DXF and SVG files read back by readers of their own, and held against the record that they were drawn from."""

import io
import shutil
import subprocess
from pathlib import Path as FilePath
from typing import Any

import ezdxf.filemanagement
import numpy as np
import pytest
import shapely
from PIL import Image
from shapely.geometry import LineString, Polygon
from svgelements import Arc as SvgArc
from svgelements import Path as SvgPath

from core.geometry.path import Arc
from core.layout.drawing import Label, Stroke
from core.lock.lock import Lock
from core.report.data import FACES
from core.sheets.dxf import dxf_text
from core.sheets.faces import all_sheets
from core.sheets.lettering import weight_of, width
from core.sheets.svg import svg_text
from tests.counts import of_all
from tests.designs import plausible
from tests.sheet_reading import (
    ASKEW,
    SAMPLES,
    arcs,
    circles,
    closed_outlines,
    difference,
    job_for,
    mirrored,
    near,
    points_of,
    read_dxf,
    unbroken,
    written,
)

NAMES = tuple(sheet.name for sheet in all_sheets(job_for(SAMPLES[0]).layout))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.first(4)
def test_dxf_passes_the_audit_and_is_in_millimetres(name: str) -> None:
    doc = read_dxf(SAMPLES[2], name)
    assert [error.message for error in doc.audit().errors] == []
    assert doc.header["$INSUNITS"] == 4  # DXF reference: 4 is millimetres
    assert doc.dxfversion == "AC1024"


@pytest.mark.parametrize(
    "lock", of_all([ASKEW, *SAMPLES, plausible(7)], 2), ids=lambda lock: lock.title
)
@pytest.mark.parametrize("name", ["bolt", "key-gauge", "keyhole", "front-plate-inside"])
@pytest.mark.first(3)
def test_every_arc_of_a_contour_is_an_arc_in_the_dxf(lock: Lock, name: str) -> None:
    _, sheet = written(lock, name)
    wanted = [
        (*segment.centre, segment.radius)
        for mark in sheet.marks
        if isinstance(mark, Stroke)
        and mark.layer == "cut"
        and not mark.ghost
        and len(mark.path.segments) > 2
        for segment in mark.path.segments
        if isinstance(segment, Arc)
    ]
    found = [
        arc
        for entity in read_dxf(lock, name).modelspace().query('LWPOLYLINE[layer=="CUT"]')
        for arc in arcs(entity)
    ]
    # an arc of more than three quarters of a turn is written in two
    assert {tuple(np.round(a, 6) + 0.0) for a in found} == {
        tuple(np.round(a, 6) + 0.0) for a in wanted
    }


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.first(4)
def test_dxf_lines_lie_on_the_record(name: str) -> None:
    job, sheet = written(SAMPLES[1], name)
    drawn = shapely.union_all(
        [_line(mark) for mark in sheet.whole(job)[0] if isinstance(mark, Stroke)]
    )
    read = [LineString(points_of(e)) for e in _shapes(SAMPLES[1], name)]
    assert len(read) == sum(isinstance(mark, Stroke) for mark in sheet.whole(job)[0])
    assert shapely.hausdorff_distance(shapely.union_all(read), drawn) < 3e-3


def _shapes(lock: Lock, name: str) -> list[object]:
    return list(read_dxf(lock, name).modelspace().query("LWPOLYLINE CIRCLE"))


def _line(stroke: Stroke) -> LineString:
    points = [tuple(p) for p in stroke.path.points(1e-3)]
    return LineString(
        points + [points[0] if stroke.path.closed else stroke.path.end][: len(points)]
    )


def test_nothing_for_orientation_only_is_on_a_layer_that_is_cut() -> None:
    _, sheet = written(SAMPLES[0], "back-plate-inside")
    ghosts = sum(isinstance(mark, Stroke) and mark.ghost for mark in sheet.marks)
    doc = read_dxf(SAMPLES[0], "back-plate-inside")
    assert ghosts > 0
    assert len(doc.modelspace().query('*[layer=="GHOST"]')) == ghosts
    assert len(closed_outlines(doc)) == 1  # the plate's own outline


@pytest.mark.parametrize(
    "lock", of_all([ASKEW, *SAMPLES, plausible(9)], 2), ids=lambda lock: lock.title
)
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.first(6)
def test_the_cut_layer_holds_cuts_only(lock: Lock, name: str) -> None:
    # views and crosses were on it: a cutter would have sawn along them
    doc = read_dxf(lock, name)
    for entity in doc.modelspace().query('*[layer=="CUT"]'):
        assert entity.dxftype() == "CIRCLE" or entity.closed
    assert {e.dxftype() for e in doc.modelspace().query('*[layer=="DRILL"]')} <= {"CIRCLE"}
    for entity in doc.modelspace().query('*[layer=="PUNCH"]'):
        assert len(entity.get_points("xy")) == 2
    views = {"guides": True, "shackle-end": True, "bit": True}
    assert bool(doc.modelspace().query('*[layer=="VIEW"]')) is views.get(name, False)


def test_dxf_text_is_shown_as_it_stands() -> None:
    label = Label((0.0, 0.0), "50%%d ^J \\U+0041 Ø½", "note", "sheet")
    marks = [label, *_square()]
    doc_text = dxf_text(marks, "t")
    assert "%%d" not in doc_text
    assert "^J" not in doc_text
    assert "\\U+" not in doc_text
    assert "Ø½" in doc_text


def test_a_viewer_opens_on_the_middle_of_the_drawing() -> None:
    from core.geometry.path import polyline

    marks = [Stroke(polyline([(10, 20), (30, 20), (30, 60)], closed=True), "cut", "plate")]
    drawing: Any = ezdxf.filemanagement.read(io.StringIO(dxf_text(marks, "t")))
    [view] = drawing.viewports.get("*Active")
    assert tuple(view.dxf.center)[:2] == pytest.approx((20, 40), abs=0.5)
    assert 40 < view.dxf.height < 50


def _square() -> list[Stroke | Label]:
    from core.geometry.path import polyline

    return [Stroke(polyline([(0, 0), (1, 0), (1, 1)], closed=True), "cut", "plate")]


# mirrored faces


@pytest.mark.parametrize(
    "lock",
    of_all([*SAMPLES, ASKEW, *(plausible(s) for s in range(30, 36))], 4),
    ids=lambda lock: lock.title,
)
def test_faces_of_one_plate_are_each_other_turned_over(lock: Lock) -> None:
    for plate in ("back-plate", "front-plate"):
        inside, outside = (read_dxf(lock, f"{plate}-{side}") for side in ("inside", "outside"))
        for one, other in zip(_cut(inside), _cut(outside), strict=True):
            assert difference(mirrored(one), other) < 1e-3
        turned = sorted((round(-x, 3) + 0.0, y, r) for x, y, r in circles(inside))
        assert np.allclose(turned, circles(outside), rtol=0, atol=2e-3)


def test_a_face_that_was_not_mirrored_would_be_noticed() -> None:
    back, front = (
        _cut(read_dxf(ASKEW, "back-plate-inside")),
        _cut(read_dxf(ASKEW, "front-plate-inside")),
    )
    outside = _cut(read_dxf(ASKEW, "front-plate-outside"))
    # the front plate's outside is seen from the same way as the back plate's inside, its inside is not
    assert difference(back[0], outside[0]) < 1e-3
    assert difference(back[0], front[0]) > 100.0
    (pivot,) = circles(read_dxf(ASKEW, "back-plate-inside"))
    assert pivot in circles(read_dxf(ASKEW, "front-plate-outside"))
    assert pivot not in circles(read_dxf(ASKEW, "front-plate-inside"))


def test_every_face_is_named_and_mirrored_ones_say_so() -> None:
    for face, sign in FACES:
        name = face.replace(", ", "-").replace(" ", "-")
        texts = [e.dxf.text for e in read_dxf(SAMPLES[0], name).modelspace().query("TEXT")]
        assert "THIS FACE UP" in texts
        assert face in texts
        assert ("mirrored" in texts) is (sign < 0)
        assert any(text.endswith("(mirrored)") for text in texts) is (sign < 0)


def _cut(doc: object) -> list[Polygon]:
    return sorted(closed_outlines(doc), key=lambda area: -area.area)


# SVG


def svg_of(lock: Lock, name: str) -> str:
    job, sheet = written(lock, name)
    return svg_text(*sheet.whole(job), name)


def paths(text: str, group: str) -> list[SvgPath]:
    """Return the paths of one group as svgelements reads their data, untouched by any scale."""
    body = text.split(f'<g id="{group}"')[1].split("</g>")[0]
    return [SvgPath(part.split('"')[0]) for part in body.split('d="')[1:]]


@pytest.mark.parametrize("lock", of_all([*SAMPLES, plausible(8)], 2), ids=lambda lock: lock.title)
@pytest.mark.parametrize("name", ["bolt", "key-gauge", "keyhole"])
def test_svg_arcs_read_back_as_the_contours(lock: Lock, name: str) -> None:
    _, sheet = written(lock, name)
    strokes = [m for m in sheet.marks if isinstance(m, Stroke) and m.layer == "cut" and not m.ghost]
    for stroke, path in zip(strokes, paths(svg_of(lock, name), "cut"), strict=True):
        wanted = [s for s in stroke.path.segments if isinstance(s, Arc)]
        found = [s for s in path if isinstance(s, SvgArc)]
        for arc in found:
            assert any(
                near((arc.center.x, -arc.center.y, arc.rx), (*w.centre, w.radius), 1e-4)
                for w in wanted
            )
        assert sum(abs(a.sweep) for a in found) == pytest.approx(
            sum(abs(w.sweep) for w in wanted), abs=1e-5
        )
        assert path.length(error=1e-6) == pytest.approx(stroke.path.length, abs=1e-3)
        middle = [(p.x, -p.y) for p in (a.point(0.5) for a in found)]
        assert all(stroke.path.distance(np.array([p]))[0] < 1e-4 for p in middle)


@pytest.mark.parametrize("name", NAMES)
def test_svg_is_one_to_one_in_millimetres(name: str) -> None:
    from xml.etree import ElementTree

    root = ElementTree.fromstring(svg_of(SAMPLES[0], name))  # noqa: S314 - our own text
    _, _, width, height = (float(x) for x in root.attrib["viewBox"].split())
    assert root.attrib["width"] == f"{width:g}mm" or float(root.attrib["width"][:-2]) == width
    assert float(root.attrib["height"].removesuffix("mm")) == height
    bars = [p for p in paths(svg_of(SAMPLES[0], name), "note") if len(list(p)) == 2]
    lengths = {round(p.length(), 6) for p in bars}
    assert {50.0, 50.8} <= lengths
    assert "http" not in svg_of(SAMPLES[0], name).replace("http://www.w3.org/2000/svg", "")


@pytest.mark.parametrize("name", NAMES)
def test_every_text_of_an_svg_runs_as_wide_as_it_was_placed(name: str) -> None:
    # SVG 1.1, 10.5: a viewer fits the letters into `textLength`, whatever its own are
    from xml.etree import ElementTree

    _, sheet = written(SAMPLES[1], name)
    root = ElementTree.fromstring(svg_of(SAMPLES[1], name))  # noqa: S314 - our own text
    texts = root.iter("{http://www.w3.org/2000/svg}text")
    found = [(t.text, float(t.get("textLength", "nan"))) for t in texts]
    placed = [m for m in sheet.marks if isinstance(m, Label) and m.text.strip()]
    assert placed
    for mark in placed:
        wide = width(mark.text, mark.height, weight_of(mark.part, mark.height))
        assert any(text == mark.text and abs(wide - told) < 1e-5 for text, told in found), mark.text


CHROMIUM = shutil.which("chromium") or ""


@pytest.mark.skipif(not CHROMIUM, reason="Chromium is not installed: apt-get install chromium")
def test_svg_in_a_browser_has_its_size(tmp_path: FilePath) -> None:
    file, picture = tmp_path / "bolt.svg", tmp_path / "bolt.png"
    file.write_text(svg_of(SAMPLES[0], "bolt"), encoding="utf-8")
    # CSS Values 3: 1 in is 96 px; four device pixels to each
    subprocess.run(
        [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
         "--disable-background-networking", "--disable-component-update", "--disable-sync",
         f"--user-data-dir={tmp_path / 'profile'}", "--force-device-scale-factor=4", "--window-size=800,700",
         "--default-background-color=FFFFFFFF", f"--screenshot={picture}", file.as_uri()],
        check=True, capture_output=True, timeout=60,
    )  # fmt: skip
    pixels = np.asarray(Image.open(picture).convert("L"))
    per_mm = 4 * 96 / 25.4
    runs = [run / per_mm for run in unbroken(pixels < 150)]
    _, sheet = written(SAMPLES[0], "bolt")
    contour = next(
        m.path
        for m in sheet.marks
        if isinstance(m, Stroke) and m.part == "bolt" and m.layer == "cut"
    )
    left, _, right, _ = contour.bounds()
    # both bars, and the bolt's top edge, are unbroken rows of dark pixels as long as they should be and a line's width
    for wanted in (50.0, 50.8, right - left):
        assert any(abs(run - wanted) <= 0.26 for run in runs)
