"""The order of work: in order, with numbers that hold at the bench, and ticks that the lock keeps.

What the bench test tells the maker to feel is held against a sweep of key angle and travel that knows no law of motion
(`tests/config_space.py`).
"""

import itertools
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely

from core.errors import BadFileError
from core.files.project_file import Project, load, save
from core.files.project_reading import read_text
from core.files.project_text import edited_text, fresh_text
from core.geometry.polygons import polygon
from core.layout.layout import Layout
from core.lock.done import Tick
from core.lock.lock import Lock, checked
from core.lock.ticks import ticked, unticked
from core.parts.bolt_contour import bolt
from core.sheets.gathering import all_holes
from core.sheets.markdown import markdown
from core.sheets.states import marks
from core.sheets.tables import tables
from core.sheets.work_order import STAGES, counts, order_of_work, parts_of_work, tasks
from tests.config_space import follow, rig_of
from tests.designs import plausible
from tests.sheet_reading import ASKEW, SAMPLES, job_for
from tests.test_rows import THREE
from tui.command import main

LOCKS = [*SAMPLES, ASKEW, THREE, *(plausible(seed) for seed in range(700, 708))]
IN_ORDER = (
    "print", "glue", "punch", "clamp", "pivot", "outline", "apart", "front-guide", "top-edge", "outside", "gauge",
    "seats", "relief", "bit", "flanks", "slide", "spring", "riveted", "proved",
)  # fmt: skip


def text_of(lock: Lock, stage: str, key: str) -> str:
    return next(t.text for t in tasks(Layout(lock)) if (t.stage, t.key) == (stage, key))


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.title)
def test_tasks_stand_in_the_order_in_which_they_can_be_done(lock: Lock) -> None:
    found = tasks(Layout(lock))
    keys = [(task.stage, task.key) for task in found]
    assert len(set(keys)) == len(keys)
    assert [stage for stage in STAGES if any(s == stage for s, _ in keys)] == list(
        dict.fromkeys(stage for stage, _ in keys)
    )
    names = [key for stage, key in keys if (stage, key) != ("key", "bit")]
    places = [names.index(key) for key in IN_ORDER]
    assert places == sorted(places)
    for task in found:
        assert not re.search(r"nan|inf\b|-0\.0|\n", task.text)


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.title)
def test_a_pin_stands_in_the_first_hole_before_the_second_is_drilled(lock: Lock) -> None:
    drilled = [task.text for task in tasks(Layout(lock)) if task.stage == "drilling"]
    assert "clamp both" in drilled[0]
    holes = [h for h in all_holes(Layout(lock)) if not h.chained and len(h.plates) == 2]
    assert len(drilled) == 1 + len(holes)
    assert "Put a pin" in drilled[1]
    assert all("The pin stays" in text for text in drilled[2:])
    for text, hole in zip(drilled[1:], holes, strict=True):
        assert hole.what in text


@pytest.mark.parametrize("seed", range(710, 716))
@pytest.mark.first(2)
def test_the_key_lets_go_where_the_bench_test_says(seed: int) -> None:
    layout = Layout(plausible(seed, early=seed % 2 == 1))
    rig = rig_of(layout)
    for stroke, way in (("unlocking", 1), ("locking", -1)):
        text = text_of(layout.lock, "trial", stroke)
        driven, short = (float(n) for n in re.findall(r"([\d.]+) mm", text)[:2])
        (release,) = (float(n) for n in re.findall(r"([\d.]+) degrees past", text))
        at = np.radians(way * (release + np.array([-0.2, 0.2])))
        before, after = follow(rig, stroke, at=np.sort(at)).at(at)  # type: ignore[arg-type]
        begin = 0.0 if way > 0 else rig.throw
        # let go means that turning on moves it no more, or hardly: a tenth of a degree is what is written
        assert abs(before - begin) == pytest.approx(driven, abs=0.1)
        assert abs(after - begin) == pytest.approx(driven, abs=0.1)
        assert driven + short == pytest.approx(rig.throw, abs=0.011)
        early = abs(follow(rig, stroke, at=at - way * 0.1).at(at - way * 0.1) - begin)  # type: ignore[arg-type]
        assert (early < driven - 0.5).all()  # it was being driven until then


def test_a_lock_that_drives_nothing_is_not_promised_a_trial() -> None:
    lock = SAMPLES[0].with_value("bolt.depth", 3.0)
    assert [t.key for t in tasks(Layout(lock)) if t.stage == "trial"] == ["slide"]


# ticks


def all_ticked(lock: Lock) -> Lock:
    return ticked(lock, [entry.tick for entry in order_of_work(Layout(lock))])


def test_a_tick_holds_until_the_numbers_of_its_task_change() -> None:
    lock = all_ticked(SAMPLES[0])
    assert counts(order_of_work(Layout(lock))) == (len(tasks(Layout(lock))),) * 2
    inches = replace(lock, units="in")
    assert {entry.state for entry in order_of_work(Layout(inches))} == {"done"}
    longer = lock.with_value("key.radius", 20.5)
    changed = {e.task.key for e in order_of_work(Layout(longer)) if e.state == "changed"}
    assert {"relief", "bit", "gauge", "unlocking", "keyhole"} <= changed
    assert not {"print", "outline", "pivot", "rear-guide"} & changed
    assert "Done before its numbers changed" in markdown(job_for(longer), tables(job_for(longer)))
    again = all_ticked(longer)
    assert {entry.state for entry in order_of_work(Layout(again))} == {"done"}
    first = order_of_work(Layout(again))[0]
    fewer = unticked(again, [(first.task.stage, first.task.key)])
    assert order_of_work(Layout(fewer))[0].state == "open"


def test_ticks_stand_in_the_tables_and_make_no_sheet_stale() -> None:
    lock = SAMPLES[0]
    first = order_of_work(Layout(lock))[0]
    some = ticked(lock, [first.tick])
    text = markdown(job_for(some), tables(job_for(some)))
    assert text.count("[x]") == 1
    assert f"1. [x] {first.task.text[:20]}" in text
    assert marks(job_for(some))["tables"] == marks(job_for(lock))["tables"]


def test_every_stage_gives_its_cautions_once() -> None:
    given = [caution for part in parts_of_work(Layout(THREE)) for caution in part.cautions]
    assert len(given) == len(set(given)) >= 4


def test_ticks_come_back_from_a_file_and_its_comments_stay() -> None:
    lock = all_ticked(THREE)
    assert read_text(fresh_text(lock)).lock == lock == checked(lock)
    source = fresh_text(THREE).replace("[pivot]", "# my own words\n[pivot]")
    text = edited_text(source, THREE, lock)
    assert "# my own words" in text
    assert read_text(text).lock == lock
    one = unticked(lock, [("drilling", "pivot")])
    back = edited_text(text, lock, one)
    assert read_text(back).lock == one
    assert read_text(edited_text(back, one, THREE)).lock == THREE


def test_a_task_of_a_newer_program_stays_in_the_file() -> None:
    text = fresh_text(Lock()).replace(
        "# end of lock\n", '[work.gilding.done]\nleaf = "AA-BBBBB"\n\n# end of lock\n'
    )
    read = read_text(text)
    assert read.lock.work == (Tick("gilding", "leaf", "AA-BBBBB"),)
    assert read.notes == ()
    assert counts(order_of_work(Layout(read.lock)))[0] == 0


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("[work.drilling.done]\npivot = 3", "work.drilling.done.pivot = 3"),
        ('[work.drilling]\ndone = "yes"', "work.drilling.done = 'yes'"),
        ("[work.drilling.done]\npivot = ''", "1 to 40 letters"),
    ],
)
def test_a_tick_that_is_none_is_refused_in_a_sentence(line: str, says: str) -> None:
    text = fresh_text(Lock()).replace("# end of lock\n", f"{line}\n\n# end of lock\n")
    with pytest.raises(BadFileError) as refused:
        read_text(text)
    assert says in str(refused.value)


def test_the_command_keeps_ticks_with_the_lock(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "lock.toml"
    save(Project(None, SAMPLES[0]), path)
    assert main(["work", str(path)]) == 0
    assert " 0 of " in capsys.readouterr().out
    assert main(["work", str(path), "--tick", "1, 3-4"]) == 0
    out = capsys.readouterr().out
    assert out.count("[x]") == 3
    assert max(len(line) for line in out.splitlines()) <= 100
    assert main(["work", str(path), "--untick", "3"]) == 0
    assert capsys.readouterr().out.count("[x]") == 2
    assert len(load(path).lock.work) == 2
    before = path.read_bytes()
    for wrong in ("0", "99", "4-2", "x", "1-", "2.5"):
        assert main(["work", str(path), "--tick", wrong]) == 2
        assert capsys.readouterr().err.count("\n") == 1
    assert path.read_bytes() == before
    path.chmod(0o400)
    tmp_path.chmod(0o500)
    try:
        assert main(["work", str(path)]) == 0
    finally:
        tmp_path.chmod(0o700)


def test_notches_are_filed_where_the_contour_has_them_before_the_detent_is_tried() -> None:
    lock = SAMPLES[0].with_value("units", "mm")
    layout = Layout(lock)
    keys = [(task.stage, task.key) for task in tasks(layout)]
    assert keys.index(("tooth", "strip")) < keys.index(("tooth", "notches"))
    assert keys.index(("tooth", "notches")) < keys.index(("trial", "home"))
    # a cut through the bolt just below its top edge, by shapely: what is missing of it are the notches
    body = polygon(bolt(layout).contour, 1e-4)
    left, _, right, top = body.bounds
    cut = body.intersection(shapely.LineString([(left, top - 0.01), (right, top - 0.01)]))
    pieces = sorted((piece.bounds[0], piece.bounds[2]) for piece in cut.geoms)
    gaps = [(end, begin) for (_, end), (begin, _) in itertools.pairwise(pieces)]
    assert len(gaps) == 2
    text = text_of(lock, "tooth", "notches")
    for begin, end in gaps:
        assert f"{(begin + end) / 2 - left:.1f} mm for the" in text
        assert f"each {end - begin:.1f} mm wide" in text
    assert ("tooth", "notches") not in [
        (task.stage, task.key) for task in tasks(Layout(lock.with_value("detent.kind", "as felt")))
    ]
