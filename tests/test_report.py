"""The report's contract, for sound locks and for every lock that a file may hold."""

import dataclasses
import json
import math
from collections import Counter
from typing import Any

import pytest
import shapely

from core.checks.catalogue import catalogue
from core.files.project_file import load
from core.layout.findings import LEVELS, Finding
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.report.bench_report import bench_report
from core.report.data import FACES, marking, report
from core.shipped import sample_locks
from core.whole import assembly
from tests.counts import seeds, tries
from tests.designs import plausible, stretched
from tests.extremes import extreme
from tests.plates import plate_polygon

NUMBER = (float,)
MAYBE = (float, type(None))
# the keys of the contract page's report section, with their types
CONTRACT: dict[str, dict[str, tuple[type, ...]]] = {
    "tooth": dict.fromkeys(
        ("throw", "pickup_offset", "flank_foot", "lower_edge", "gap_width", "relief_radius", "bridge",
         "driven_travel", "home_travel", "pickup_angle", "release_angle"), NUMBER),
    "plate": dict.fromkeys(("area", "width", "height", "wall_distance"), NUMBER),
    "centreline": dict.fromkeys(("lean", "foot_miss"), NUMBER),
    "turn": {"overlap": NUMBER, "overlap_with": (str, type(None)), "overlap_at": MAYBE, "least_gap": NUMBER,
             "least_gap_at": NUMBER},
}  # fmt: skip
WINDOWS = ("key.radius", "bolt_line.height", "rear_guide.from_centreline", "front_guide.from_centreline",
           "pivot.below", "bolt.depth")  # fmt: skip


def assert_contract(said: dict[str, Any]) -> None:
    assert said["format"] == 1
    assert isinstance(said["title"], str)
    assert said["unlocks"] in ("right", "left")
    for table, keys in CONTRACT.items():
        for key, kinds in keys.items():
            assert isinstance(said[table][key], kinds), (table, key)
    for path in WINDOWS:
        window = said["windows"][path]
        for end in ("low", "high"):
            assert isinstance(window[end], MAYBE)
            assert isinstance(window[f"{end}_by"], str) == (window[end] is not None)
    bolt = said["bolt"]
    assert isinstance(bolt["area"], float)
    assert len(bolt["centroid"]) == 2
    for segment in bolt["contour"]:
        assert set(segment) in ({"line"}, {"arc"})
        if "line" in segment:
            assert [len(point) for point in segment["line"]] == [2, 2]
        else:
            assert set(segment["arc"]) == {"centre", "radius", "from", "to", "turn"}
            assert segment["arc"]["turn"] in ("cw", "ccw")
    for row in said["marking"]:
        assert set(row) == {"what", "face", "across", "below"}
    for found in said["findings"]:
        assert set(found) == {"code", "level", "step", "text", "value", "limit", "remedies"}
        assert found["level"] in LEVELS
        code = catalogue()[found["code"]]
        assert (found["level"], found["step"]) == (code.level, code.step or found["step"])
        assert all(isinstance(found[key], str) and found[key] for key in ("code", "step", "text"))
        assert all(isinstance(found[key], MAYBE) for key in ("value", "limit"))
    levels = [LEVELS.index(found["level"]) for found in said["findings"]]
    assert levels == sorted(levels)


def as_text(said: dict[str, Any]) -> str:
    return json.dumps(said, allow_nan=False)


@pytest.mark.parametrize("make", [plausible, stretched])
def test_contract_of_likely_locks(make: Any) -> None:
    for seed in range(5):
        said = report(Layout(make(seed)))
        assert_contract(said)
        # plain numbers, texts, lists and tables: what is written is what was there
        assert json.loads(as_text(said)) == said


def test_contract_of_the_sample_locks() -> None:
    assert sample_locks()
    for path in sample_locks():
        project = load(path)
        said = report(Layout(project.lock), project.notes)
        assert_contract(said)
        assert json.loads(as_text(said)) == said
    # the one to open first works; others may show what a finding looks like
    first = report(Layout(load(next(p for p in sample_locks() if p.stem == "boathouse")).lock))
    assert not [found for found in first["findings"] if found["level"] == "stop"]


def numbers_in(value: object) -> list[float]:
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        value = [getattr(value, field.name) for field in dataclasses.fields(value)]
    if isinstance(value, (list, tuple)):
        return [number for inner in value for number in numbers_in(inner)]
    return [value] if isinstance(value, float) else []


# pytest makes every warning an error, so numpy's and shapely's complaints are caught here as well; the
# same was run over many thousand seeds before
@pytest.mark.slow
def test_no_lock_that_a_file_may_hold_breaks_the_report() -> None:
    outlines: Counter[str] = Counter()
    stops = 0
    for seed in seeds(18, 45):
        lock = extreme(seed)
        layout = Layout(lock)
        said = report(layout)
        assert_contract(said)
        as_text(said)
        assert bench_report(layout).endswith("\n")
        assert all(math.isfinite(number) for number in numbers_in(assembly.marks(layout))), seed
        outlines[lock.plate.outline] += 1
        stops += any(found["level"] == "stop" for found in said["findings"])
    assert len(outlines) >= tries(4, 6)
    # such locks do not work, and the report says so
    assert stops > tries(8, 30)


def test_marking_of_the_four_faces() -> None:
    for seed in range(6):
        lock = plausible(seed)
        rows = marking(Layout(lock))
        by_face = {
            face: {
                row["what"]: (row["across"], row["below"]) for row in rows if row["face"] == face
            }
            for face, _ in FACES
        }
        assert [face for face, _ in FACES] == list(by_face)
        inside = by_face["back plate, inside"]
        assert inside["datum mark"] == (0.0, 0.0)
        assert inside["pivot"] == (lock.pivot.across, lock.pivot.below)
        # two of the four faces are seen from behind: design page, section 1
        assert by_face["front plate, outside"] == inside
        mirrored = {what: (-across + 0.0, below) for what, (across, below) in inside.items()}
        assert by_face["back plate, outside"] == by_face["front plate, inside"] == mirrored


def test_marked_places_by_the_definition_of_the_frames() -> None:
    for seed in range(6):
        lock = plausible(seed)
        sign = 1 if lock.unlocks == "right" else -1
        pivot = complex(lock.pivot.across, -lock.pivot.below)
        up = -pivot / abs(pivot)
        right = up / 1j
        rows = marking(Layout(lock))
        inside = {row["what"]: row for row in rows if row["face"] == "back plate, inside"}
        line, rear, front = lock.bolt_line.height, lock.rear_guide, lock.front_guide
        foot = -sign * (abs(lock.shackle.across))
        for what, x, y in (
            ("bolt line on the centreline", 0.0, line),
            ("rear guide, near face on the bolt line", sign * rear.from_centreline, line),
            ("rear guide, outer face on the bolt line", sign * (rear.from_centreline + rear.width), line),
            ("front guide, near face on the bolt line", -sign * front.from_centreline, line),
            ("front guide, outer face on the bolt line", -sign * (front.from_centreline + front.width), line),
            ("shackle end, middle of its underside", foot, line - lock.shackle.drop),
        ):  # fmt: skip
            place = pivot + x * right + y * up
            assert inside[what]["across"] == pytest.approx(place.real, abs=1e-9)
            assert inside[what]["below"] == pytest.approx(-place.imag, abs=1e-9)
        low = inside["lowest point"]
        assert low["below"] == pytest.approx(-plate_polygon(lock).bounds[1], abs=2e-3)


def test_notes_on_the_file_join_the_findings() -> None:
    note = Finding("value-missing", "note", "file", "key.radius is missing.")
    said = report(Layout(Lock()), [note])
    assert said["findings"][-1]["code"] == "value-missing"
    assert "key.radius is missing." in bench_report(Layout(Lock()), [note])


@pytest.mark.slow
def test_bench_report_says_what_the_report_says() -> None:
    for seed in range(4):
        lock = stretched(seed)
        text, said = bench_report(Layout(lock)), report(Layout(lock))
        lines = text.splitlines()
        assert lines[0] == lock.title
        assert max(map(len, lines)) <= 120
        joined = " ".join(text.split())
        for found in said["findings"]:
            assert " ".join(found["text"].split()) in joined
        stops = [found for found in said["findings"] if found["level"] == "stop"]
        assert ("It does not work so." in text) == bool(stops)
        assert "Clamp the work" in joined


def test_bench_report_shows_the_locks_own_units() -> None:
    inches = bench_report(Layout(Lock().with_value("units", "in")))
    assert '"' in inches or " in" in inches
    assert " mm " not in inches.split("FINDINGS")[0].split("ONE TURN")[0]


def test_title_is_shown_as_plain_text() -> None:
    text = bench_report(Layout(Lock().with_value("title", "a\x1b[31mb\u202ec")))
    assert "\x1b" not in text
    assert "\u202e" not in text


def test_bolt_area_is_the_contours() -> None:
    for seed in range(3):
        bolt = report(Layout(plausible(seed, roof="flat")))["bolt"]
        ring = [(s["line"] if "line" in s else [s["arc"]["from"]])[0] for s in bolt["contour"]]
        # without its arcs the contour is a polygon of nearly the same area
        assert bolt["area"] == pytest.approx(shapely.Polygon(ring).area, rel=0.2)


def test_a_bench_report_without_findings_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("core.report.bench_report.gathered.findings", lambda _layout: ())
    assert "\n\nFINDINGS\nnone\n\n" in bench_report(Layout(Lock()))
