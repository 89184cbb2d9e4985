"""A part is added by its module alone: everything that parts bring is heard, listed and drawn."""

import importlib
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
import shapely

from core import parts
from core.change.comparison import compare
from core.checks import gathered
from core.checks.catalogue import catalogue
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.made.marking import mark_made
from core.made.verdicts import made_solid
from core.report.bench_report import bench_report
from core.report.data import report
from core.turning.stage import moving_names
from core.turning.turn_check import turn_check
from core.whole import assembly

PEG = '''
"""A peg in the back plate, thick as the bolt, low on the right of the key: the test's own."""

from shapely.geometry import Point

from core.geometry.path import circle
from core.layout.codes import Code
from core.layout.drawing import Stroke
from core.layout.frames import to_plate
from core.layout.loads import Load
from core.layout.outcomes import Outcome
from core.layout.part import BenchTable, Drawn, Fixed, Part, Spot
from core.layout.windows import Bound
from core.layout.workpiece import Cut, Feature, Shape, Suspect, Workpiece

PEG_THIN = Code("peg-thin", "look", "pivot", "A peg as thin as this bends.")
AT = (12.0, -9.0)


def size(layout):
    return layout.lock.bolt.thickness


def findings(layout):
    if size(layout) < 2.0:
        yield PEG_THIN.found(f"The peg is {layout.show(size(layout))} thick.", size(layout), 2.0)


def areas(layout):
    return {"peg": Point(AT).buffer(size(layout) / 2)}


def stroke(layout, *_):
    return [Stroke(circle(AT, size(layout) / 2), "cut", "peg")]


def hole(layout):
    place = to_plate(layout).point(AT)
    return [Cut("peg hole", circle(place, size(layout) / 2), drilled=True)]


PART = Part(
    "peg",
    75,
    codes=(PEG_THIN,),
    findings=findings,
    bounds=lambda _: [Bound("bolt.thickness", "low", 2.0, "the peg", PEG_THIN)],
    outcomes=(Outcome("peg_size", "thickness of the peg", 115, 1, size),),
    report=lambda layout: {"peg": {"size": size(layout)}},
    bench=lambda layout: [BenchTable("The peg", 35, (("thick", layout.show(size(layout))),))],
    fixed=(Fixed("peg", 75, "pivot", areas),),
    drawn=(Drawn("peg", "other"),),
    marks=stroke,
    moving=stroke,
    spots=lambda _: [Spot("peg", 12.0, 63.0)],
    loads=lambda _: [Load(AT, lambda _stroke, _travel, mu: (5.0 * mu, 0.0))],
    workpieces=(
        Workpiece(
            "peg", 45, ("bolt.thickness",), lambda layout: Shape(circle((0.0, 0.0), size(layout) / 2)),
            measurable=("bolt.thickness",), suspects=(Suspect("bolt.thickness", "the peg"),),
        ),
    ),
    features=(Feature("back plate", ("bolt.thickness", "pivot.across", "pivot.below"), hole),),
)
'''


def forget() -> None:
    """Drop what is kept of the parts there are."""
    for kept in (
        assembly.all_parts, assembly.drawn, assembly.fixed, assembly.workpieces, gathered.all_checks,
        gathered.outcomes, gathered.quick_outcomes, catalogue, made_solid,
    ):  # fmt: skip
        kept.cache_clear()


@pytest.fixture
def peg(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    (tmp_path / "peg_for_the_test.py").write_text(PEG, encoding="utf-8")
    monkeypatch.setattr(parts, "__path__", [*parts.__path__, str(tmp_path)])
    importlib.invalidate_caches()
    forget()
    yield
    monkeypatch.undo()
    sys.modules.pop("core.parts.peg_for_the_test", None)
    forget()


@pytest.mark.usefixtures("peg")
def test_all_that_it_brings_is_heard() -> None:
    thin = Lock().with_value("bolt.thickness", 1.5)
    layout = Layout(thin)
    found = {finding.code: finding for finding in gathered.findings(layout)}
    assert found["peg-thin"].step == "pivot"
    assert "peg" in {
        foul.part for foul in turn_check(layout).fouls
    }  # it stands in the key's circle
    assert found["key-fouls-peg"].step == "pivot"
    assert {"peg-thin", "key-fouls-peg", "made-file-peg", "made-remake-peg"} <= set(catalogue())
    assert "made-moved-peg" not in catalogue()  # nothing of it has a place
    low = gathered.windows(layout)["bolt.thickness"].low
    assert low is not None
    assert low.code.name == "peg-thin"
    assert report(layout)["peg"] == {"size": 1.5}
    assert "THE PEG\n  thick" in bench_report(layout)
    changed = {c.outcome.name: c for c in compare(Layout(Lock()), layout).outcomes}["peg_size"]
    assert (changed.old, changed.new, changed.trend) == (3.0, 1.5, "worse")


@pytest.mark.usefixtures("peg")
def test_all_that_it_is_made_of_is_drawn_marked_and_cut() -> None:
    layout = Layout(Lock())
    assert assembly.drawn()["peg"].role == "other"
    assert any(mark.part == "peg" for mark in assembly.marks(layout))
    assert "peg" in moving_names(layout)
    assert any(row["what"] == "peg" for row in report(layout)["marking"])
    assert (12.0, -9.0) in [load.at for load in assembly.loads(layout)]
    pieces = assembly.workpieces()
    assert list(pieces).index("peg") < list(pieces).index("shackle")
    assert "bolt.thickness" in pieces["back_plate"].shaped_by
    assert [cut.name for cut in pieces["back_plate"].shape(layout).cuts] == [
        "pivot hole",
        "peg hole",
    ]
    made = mark_made(Lock(), "peg").with_value("bolt.thickness", 2.5)
    (told,) = [f for f in gathered.findings(Layout(made)) if f.code == "made-file-peg"]
    # what is to come off is a ring: pi (1.5^2 - 1.25^2) mm2
    ring = shapely.Point(0, 0).buffer(1.5, 90).area - shapely.Point(0, 0).buffer(1.25, 90).area
    assert f"{ring:.1f} mm2" in told.text


def test_without_it_nothing_is_left() -> None:
    assert "peg" not in assembly.workpieces()
    assert "peg-thin" not in catalogue()
