"""Rows and parts that are made: what a row that moved, came or went does to plates; before and after; rescue."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
import shapely
from shapely.geometry import Point

from core.change.causes import diagnose
from core.change.comparison import compare
from core.change.comparison_data import comparison_data
from core.change.comparison_text import comparison_text
from core.change.consequences import consequences
from core.change.offers_text import held_words
from core.files.project_file import Project, load, save
from core.layout.codes import rows_in
from core.layout.frames import to_plate
from core.layout.layout import Layout
from core.lock.facts import as_made, facts, record_of, with_measured
from core.lock.lock import Lock
from core.lock.row_changes import renamed_row, rows_of, with_row, without_row
from core.lock.rows.posts import Post
from core.made.holding import made_values
from core.made.marking import mark_made
from core.made.verdicts import Verdict, by_shape, verdicts
from core.made.wording import stray_words
from core.report.bench_report import bench_report
from core.report.data import report
from core.shipped import sample_locks
from core.whole import assembly
from tests.command_line import boltwright
from tests.locks import posted
from tests.sure import sure

POSTED = posted((0.0, -26.0), (30.0, 40.0), (-25.0, -6.0, 5.0))
PLATES = ("back_plate", "front_plate")


def made(lock: Lock, *parts: str) -> Lock:
    for part in parts or assembly.workpieces():
        lock = mark_made(lock, part)
    return lock


def words(lock: Lock) -> dict[str, Verdict]:
    """Return the verdicts by shape alone."""
    return {verdict.part: verdict for verdict in by_shape(Layout(lock))}


DONE = made(POSTED)


def test_everything_as_it_was_made_is_good() -> None:
    assert {v.word for v in words(DONE).values()} == {"good"}
    record = record_of(DONE, "back_plate")
    assert record is not None
    assert dict(record.planned)["posts.c.diameter"] == 5.0
    assert not [p for p, _ in sure(record_of(DONE, "bolt")).planned if p.startswith("posts")]


@pytest.mark.parametrize("key", ["across", "above"])
def test_a_post_that_moved_leaves_no_plate_good(key: str) -> None:
    found = words(DONE.with_value(f"posts.b.{key}", DONE.value(f"posts.b.{key}") + 0.5))
    for part in PLATES:
        assert found[part].word == "plug"
        # one circle of 4 mm less the same one half a millimetre on: deepest by that half millimetre
        (patch,) = found[part].fitting.missing
        assert patch.where == "post b hole"
        assert patch.depth == pytest.approx(0.5, abs=2e-3)
        one = Point(0, 0).buffer(2, quad_segs=720)
        other = Point(0.5, 0).buffer(2, quad_segs=720)
        assert patch.area == pytest.approx(one.difference(other).area, abs=2e-3)
        assert "plug it" in stray_words(Layout(DONE), found[part].strays[0])
    assert all(v.word == "good" for part, v in found.items() if part not in PLATES)


def test_within_the_tolerance_it_is_still_good() -> None:
    assert words(DONE.with_value("posts.b.across", 30.05))["back_plate"].word == "good"


def test_a_larger_post_is_drilled_out_and_a_smaller_one_is_not() -> None:
    assert words(DONE.with_value("posts.b.diameter", 5.0))["back_plate"].word == "file"
    assert words(DONE.with_value("posts.b.diameter", 3.0))["back_plate"].word == "remake"


def test_a_post_that_came_is_to_be_drilled_and_one_that_went_has_left_its_hole() -> None:
    came = words(with_row(DONE, "posts", "d", Post(-20.0, 37.0)))
    gone = words(without_row(DONE, "posts", "b"))
    for part in PLATES:
        assert came[part].word == "file"
        assert came[part].fitting.spare[0].where == "post d hole"
        assert came[part].fitting.spare_area == pytest.approx(3.14159 * 4, abs=2e-3)
        assert gone[part].word == "remake"
        assert gone[part].fitting.missing_area == pytest.approx(3.14159 * 4, abs=2e-3)
    assert words(DONE)["back_plate"].word == "good"


def test_order_and_name_are_nothing_to_a_plate() -> None:
    turned = replace(DONE, rows=DONE.rows.with_table("posts", DONE.rows.of("posts")[::-1]))
    assert words(turned)["back_plate"].word == "good"
    assert words(renamed_row(DONE, "posts", "b", "top"))["back_plate"].word == "good"
    # a name given to another post: the hole of the first is still there
    gone = without_row(DONE, "posts", "b")
    assert words(renamed_row(gone, "posts", "a", "b"))["back_plate"].word == "remake"


def test_a_plate_made_before_there_were_posts_has_no_holes_for_them() -> None:
    before = made(Lock())
    after = posted((0.0, -26.0), lock=before)
    assert words(after)["back_plate"].word == "file"
    assert made_values(after, sure(record_of(after, "back_plate")), ("posts",)) == ()


def test_what_was_measured_of_a_post_goes_before_its_plan() -> None:
    lock = with_measured(DONE, "back_plate", "posts.b.across", 30.4)
    assert as_made(lock).value("posts.b.across") == 30.4
    assert lock.value("posts.b.across") == 30.0
    # the posts go by the back plate now, and the front plate's hole is not in line with it
    found = {verdict.part: verdict for verdict in verdicts(Layout(lock))}
    assert found["back_plate"].word == "use"
    assert found["front_plate"].word == "plug"
    assert "0.4 mm apart" in (found["front_plate"].fault or "")
    assert "post b across 30.4 mm" in bench_report(Layout(lock))
    # of a post that has gone nothing is said any more, and nothing breaks
    gone = without_row(lock, "posts", "b")
    assert "posts.b.across" not in facts(gone)
    assert words(gone)["back_plate"].word == "remake"
    bench_report(Layout(gone))


@pytest.mark.slow
def test_a_hole_stays_in_its_plate_when_the_pivot_is_measured_elsewhere() -> None:
    lock = with_measured(DONE, "back_plate", "pivot.below", DONE.pivot.below + 0.6)
    # the posts now wanted go with the pivot; the holes were drilled where the plan had them
    assert words(lock)["back_plate"].word == "plug"
    change = consequences(DONE, "pivot.below", DONE.pivot.below + 0.6)
    fact = change.fact
    assert fact is not None
    kept = {v.part: v.word for v in fact.standing.verdicts}
    assert kept["back_plate"] == "use"
    for name, post in rows_of(DONE, Post).items():
        there = to_plate(Layout(DONE)).point((post.across, post.above))
        held = rows_of(as_made(fact.lock), Post)[name]
        now = to_plate(Layout(fact.lock)).point((held.across, held.above))
        assert now == pytest.approx(there, abs=1e-9)
    assert "the posts stay where they are" in held_words(fact)


def test_a_lean_pivot_turns_the_frame_and_the_holes_still_stay() -> None:
    lock = with_measured(made(POSTED, "back_plate"), "back_plate", "pivot.across", 0.8)
    record = record_of(lock, "back_plate")
    values = dict(made_values(lock, sure(record), ("pivot.across", "pivot.below", "posts")))
    for name, post in rows_of(POSTED, Post).items():
        there = to_plate(Layout(POSTED)).point((post.across, post.above))
        real = Layout(POSTED.with_value("pivot.across", 0.8))
        now = to_plate(real).point((values[f"posts.{name}.across"], values[f"posts.{name}.above"]))
        assert now == pytest.approx(there, abs=1e-9)


def test_changes_of_a_post_lead_to_verdicts_and_ways_out() -> None:
    change = consequences(DONE, "posts.b.across", 30.5)
    assert {v.part: v.word for v in change.wish.standing.verdicts}["back_plate"] == "use"
    assert change.fact is not None
    assert {v.part: v.word for v in change.fact.standing.verdicts}["back_plate"] == "use"
    # where the plates work as they are, there is nothing to do
    assert [offer.nothing for offer in (*change.wish_offers, *change.fact_offers)] == [True, True]


@pytest.mark.slow
def test_what_is_drilled_in_a_made_plate_is_no_way_out_of_another_change() -> None:
    for path, value in (("key.radius", 20.3), ("pivot.below", 54.4), ("bolt_line.height", 24.3)):
        change = consequences(DONE, path, value)
        for offer in change.wish_offers:
            before = {v.part: v.word for v in change.wish.standing.verdicts}
            after = {v.part: v.word for v in offer.standing.verdicts}
            assert offer.nothing or before != after
            if offer.purpose is not None:
                assert not offer.path.startswith("posts")


def test_causes_are_found_with_posts_in_a_made_plate() -> None:
    lock = with_row(DONE, "posts", "d", Post(-20.0, 37.0))
    plain = diagnose(made(Lock()), {"unlocking_left": 0.9})
    found = diagnose(lock, {"unlocking_left": 0.9})
    assert [c.suspect for c in found.causes] == [c.suspect for c in plain.causes]


# before and after


def test_rows_that_came_and_went_are_named() -> None:
    new = with_row(without_row(POSTED, "posts", "b"), "posts", "top", Post(-20.0, 37.0))
    new = new.with_value("posts.c.above", -7.0)
    comparison = compare(Layout(POSTED), Layout(new))
    data = {c.path: (c.old, c.new) for c in comparison.changed}
    assert data == {
        "posts.b.across": (30.0, None), "posts.b.above": (40.0, None), "posts.b.diameter": (4.0, None),
        "posts.c.above": (-6.0, -7.0),
        "posts.top.across": (None, -20.0), "posts.top.above": (None, 37.0), "posts.top.diameter": (None, 4.0),
    }  # fmt: skip
    text = comparison_text(comparison)
    told = " ".join(text.split())
    assert (
        "post c above -6.0 mm -> -7.0 mm post b removed 30.0 mm right, 40.0 mm above, 4.0 mm diameter"
        in told
    )
    assert "post top added 20.0 mm left, 37.0 mm above, 4.0 mm diameter" in told
    assert max(map(len, text.splitlines())) <= 80
    found = json.loads(json.dumps(comparison_data(comparison), allow_nan=False))
    assert {"path": "posts.b.across", "old": 30.0, "new": None} in found["changed"]
    window = next(w for w in found["windows"] if w["path"] == "posts.b.across")
    assert window["new"] == {"value": None, "low": None, "high": None, "fits": True}
    back = compare(Layout(new), Layout(POSTED))
    assert {c.path: (c.new, c.old) for c in back.changed} == data


def test_a_row_that_came_and_does_not_fit_is_worse() -> None:
    new = with_row(POSTED, "posts", "d", Post(0.0, 22.0))
    comparison = compare(Layout(POSTED), Layout(new))
    assert {"post-in-bolt:d", "post-in-key-circle:d"} <= {f.code for f in comparison.came}
    assert comparison.worse
    assert "posts.d.across" in {getattr(c, "path", "") for c in comparison.worse}


def test_the_findings_of_two_posts_are_not_taken_for_one_another() -> None:
    both = posted((0.0, 22.0), (1.0, -26.0), (5.0, 5.0))
    first_mended = both.with_value("posts.a.above", 40.0)
    comparison = compare(Layout(both), Layout(first_mended))
    assert all(rows_in(f.code)[0] == "a" for f in comparison.went)
    assert "post-in-key-circle:c" in {c.new.code for c in comparison.stayed if c.new}


def test_the_compare_command_on_rows(tmp_path: Path) -> None:
    old = save(Project(None, POSTED), tmp_path / "old.toml").path
    new = save(Project(None, without_row(POSTED, "posts", "a")), tmp_path / "new.toml").path
    done = boltwright("compare", str(old), str(new))
    assert done.returncode in (0, 1)
    assert "post a removed 0.0 mm across" in " ".join(done.stdout.decode().split())
    assert (
        json.loads(boltwright("compare", str(old), str(new), "--json").stdout)["changed"][0]["new"]
        is None
    )


# report and file


@pytest.mark.slow
def test_posts_are_in_the_report_and_only_where_there_are_any() -> None:
    said = report(Layout(POSTED))
    assert [row["name"] for row in said["posts"]] == ["a", "b", "c"]
    inside = {r["what"]: r for r in said["marking"] if r["face"] == "back plate, inside"}
    assert (inside["post b"]["across"], inside["post b"]["below"]) == pytest.approx((30.0, 14.0))
    outside = {r["what"]: r for r in said["marking"] if r["face"] == "back plate, outside"}
    assert outside["post b"]["across"] == pytest.approx(-30.0)
    assert {"posts.a.across", "posts.a.above", "posts.a.diameter"} <= said["windows"].keys()
    assert json.loads(json.dumps(said, allow_nan=False)) == said
    assert "post b" in bench_report(Layout(POSTED))
    for path in sample_locks():
        assert "posts" not in report(Layout(load(path).lock))


def test_the_command_reports_posts_and_what_stops_them(tmp_path: Path) -> None:
    good = save(Project(None, POSTED), tmp_path / "good.toml").path
    bad = save(Project(None, posted((0.0, 22.0))), tmp_path / "bad.toml").path
    assert boltwright("report", str(good)).returncode == 0
    done = boltwright("report", str(bad), "--json")
    assert done.returncode == 1
    assert "post-in-bolt:a" in {f["code"] for f in json.loads(done.stdout)["findings"]}


def test_what_is_made_with_posts_comes_back_from_its_file(tmp_path: Path) -> None:
    lock = with_measured(DONE, "back_plate", "posts.b.across", 30.4)
    place = save(Project(None, lock), tmp_path / "lock.toml").path
    assert load(sure(place)).lock == lock
    text = sure(place).read_text(encoding="utf-8")
    assert "[made.back_plate.planned]" in text
    assert "posts.b.across = 30.0" in text
    renamed = renamed_row(load(sure(place)).lock, "posts", "b", "top")
    save(load(sure(place)).with_lock(renamed))
    assert load(sure(place)).lock == renamed


def test_the_shape_of_a_plate_is_its_area_less_the_holes() -> None:
    back = assembly.workpieces()["back_plate"].shape(Layout(POSTED))
    centres = {cut.name: shapely.Polygon(cut.path.points()).centroid for cut in back.cuts}
    for name, post in rows_of(POSTED, Post).items():
        there = to_plate(Layout(POSTED)).point((post.across, post.above))
        assert centres[f"post {name} hole"].distance(Point(there)) < 1e-6
