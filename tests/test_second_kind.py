"""A second kind of rows is added by new modules alone, and with it a kind of value that nobody has heard of.

The modules stand in `tests/second_kind`; here they are laid into the rooms of the program, each where it would
stand: value, part, step and sheet. Nothing that is there already is touched.
"""

import importlib
import json
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import core.lock.rows
import core.parts
import core.sheets.pieces
import tui.steps
from core.change.comparison import compare
from core.change.comparison_text import comparison_text
from core.checks import gathered
from core.errors import BadFileError
from core.files.history_file import load_history, save_history
from core.files.project_file import Project, load, save
from core.files.project_reading import read_text
from core.layout.drawing import Stroke
from core.layout.layout import Layout
from core.lock import row_kinds
from core.lock.lock import Lock, paths, spec_of
from core.lock.paths import place_at
from core.lock.row_changes import names_in, without_row
from core.made.marking import mark_made
from core.made.verdicts import made_solid, verdicts
from core.report.bench_report import bench_report
from core.report.data import report
from core.sheets import gathering
from core.sheets.drill_table import drill_schedule
from core.sheets.faces import all_sheets
from core.turning.turn_check import turn_check
from core.whole import assembly
from tests.locks import posted
from tests.sure import sure
from tests.tui_driving import program
from tui.change.state import dimensions_of
from tui.desk import row_moves
from tui.desk.checking import checked
from tui.desk.checks import checks_of
from tui.desk.desk import Desk
from tui.desk.mending import mended_at
from tui.desk.session import Session, layout_of
from tui.plot.tones import family
from tui.plot.views import upright
from tui.steps import walk
from tui.widgets.desk_text import fit
from tui.work.help import help_page

HERE = Path(__file__).parent / "second_kind"
ROOMS = {
    "rivets_value.py": core.lock.rows, "rivets_part.py": core.parts, "rivets_step.py": tui.steps,
    "rivets_piece.py": core.sheets.pieces,
}  # fmt: skip
FINDERS = (
    row_kinds.row_kinds, assembly.all_parts, assembly.drawn, assembly.fixed, assembly.workpieces, gathered.all_checks,
    gathering.all_pieces, walk.all_steps, made_solid, layout_of, checks_of, dimensions_of, place_at, read_text,
)  # fmt: skip
TEXT = """\
title = "Boat shed"

# the first one
[rivets.a]       # by hand
across = -15
above = -22.5
head = "flat"
blows = 4
screw = "M3x0.5"
colour = "blue"

[rivets.B-2]
across = "1 in"
above = 40
"""


def forget() -> None:
    for finder in FINDERS:
        finder.cache_clear()
    importlib.invalidate_caches()


@pytest.fixture
def rivets(
    tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> Iterator[None]:
    names = []
    for file, package in ROOMS.items():
        folder = tmp_path_factory.mktemp(package.__name__)
        shutil.copy(HERE / file, folder / "second_kind.py")
        monkeypatch.setattr(package, "__path__", [*package.__path__, str(folder)])
        names.append(f"{package.__name__}.second_kind")
    forget()
    yield
    for name in names:
        sys.modules.pop(name, None)
    monkeypatch.undo()
    for package in ROOMS.values():
        vars(package).pop("second_kind", None)
    forget()


@pytest.fixture
def shed(rivets: None, tmp_path: Path) -> Project:
    path = tmp_path / "shed.toml"
    path.write_text(TEXT, encoding="utf-8")
    return load(path)


def test_the_file_is_read_with_notes_and_refusals(shed: Project, tmp_path: Path) -> None:
    lock = shed.lock
    assert names_in(lock, "rivets") == ("a", "B-2")
    assert lock.value("rivets.B-2.across") == 25.4
    assert lock.value("rivets.a.screw") == (3.0, 0.5)
    assert lock.value("rivets.a.blows") == 4
    told = [note.text for note in shed.notes if note.step == "rivets"]
    assert "The file has no rivets.B-2.screw: M4x0.7 is taken." in told
    assert "rivets.a.colour is unknown to this program; it is kept in the file." in told
    for bad, says in (
        ('screw = "M9x9"', "it takes a thread such as M4x0.7"), ("blows = 2.5", "a whole number from 1 to 1000"),
        ('head = "square"', "one of round, countersunk, flat"),
    ):  # fmt: skip
        path = tmp_path / "bad.toml"
        path.write_text(f"[rivets.a]\nacross = 1\nabove = 2\n{bad}\n", encoding="utf-8")
        with pytest.raises(BadFileError, match=says):
            load(path)


def at(desk: Desk, path: str) -> Desk:
    found = desk.at_path(path)
    assert found.path == path
    return found


def test_from_file_to_prompt_to_file(shed: Project) -> None:
    desk = Desk(Session(shed.lock, shed)).at_named("rivets")
    assert desk.step.asked(desk.lock) == paths(shed.lock)[-12:]
    assert at(desk, "rivets.a.screw").text == "M3x0.5"
    assert "M, the diameter" in fit(spec_of("rivets.a.screw"), (3.0, 0.5), None, "mm", 40).plain
    assert "a thread such as" in help_page(at(desk, "rivets.a.screw")).plain
    desk = at(desk, "rivets.a.screw").accepted("m5x0.8")
    assert desk.lock.value("rivets.a.screw") == (5.0, 0.8)
    refused = at(desk, "rivets.a.screw").accepted("quarter inch")
    assert refused.notice is not None
    assert (
        refused.notice.text == "quarter inch is not allowed here: it takes a thread such as M4x0.7"
    )
    desk = at(desk, "rivets.B-2.screw").nudged(-1)
    assert desk.lock.value("rivets.B-2.screw") == (3.0, 0.5)
    desk = at(desk, "rivets.a.blows").nudged(10).accepted("=14-1")
    assert desk.lock.value("rivets.a.blows") == 13
    desk = at(desk, "rivets.a.head").picked("c")
    desk = row_moves.added(at(desk, "rivets.a.blows"))
    assert names_in(desk.lock, "rivets") == ("a", "b", "B-2")
    saved = save(shed.with_lock(desk.lock))
    assert saved.path is not None
    text = saved.path.read_text(encoding="utf-8")
    assert "# the first one\n[rivets.a]       # by hand\n" in text
    assert 'screw = "M5x0.8"' in text
    assert 'colour = "blue"' in text
    again = load(saved.path)
    assert again.lock == desk.lock
    save_history(desk.session.history, desk.lock, saved.path, text)
    kept = load_history(again.lock, saved.path, text)
    assert kept.history == desk.session.history.closed()
    back = Session(again.lock, again, kept.history)
    while back.past:
        back = back.undone()
    assert back.lock == shed.lock


def test_drawing_findings_and_windows(shed: Project) -> None:
    lock = posted((-14.0, -22.0), lock=shed.lock)
    layout = Layout(lock)
    marks = upright(layout)
    assert {m.part for m in marks if isinstance(m, Stroke)} >= {"rivet a", "rivet B-2", "post a"}
    assert family("rivet B-2") == "other"
    found = checked(layout)
    # a rivet and a post keep clear of each other, though neither module knows of the other
    (both,) = (f for f in found.findings if f.code == "post-in-another:a,rivet-a")
    assert both.text == "Post a and rivet a stand 2.38 mm inside each other."
    window = found.windows["rivets.a.across"]
    assert window.high is not None
    assert window.high.by == "post a" or not window.holds(-15.0)
    assert mended_at(Desk(Session(lock)), both, found).row == "a"
    assert set(paths(lock)[-12:]) <= set(dimensions_of(lock))
    fouled = lock.with_value("rivets.B-2.above", 5.0).with_value("rivets.B-2.across", 10.0)
    assert "rivet B-2" in [foul.part for foul in turn_check(Layout(fouled)).fouls]
    assert "rivets" in {f.step for f in gathered.findings(Layout(fouled))}


def test_report_sheets_and_comparison(shed: Project) -> None:
    layout = Layout(shed.lock)
    said: Any = json.loads(json.dumps(report(layout, shed.notes), allow_nan=False))
    assert sum(row["what"] == "rivet B-2" for row in said["marking"]) == 4
    assert "rivets.B-2.above" in said["windows"]
    assert "rivet B-2" in bench_report(layout)
    assert any(row[0].startswith("rivet") and row[1] == "4" for row in drill_schedule(layout).rows)
    back = next(sheet for sheet in all_sheets(layout) if sheet.name == "back-plate-outside")
    assert any(isinstance(mark, Stroke) and mark.part == "rivet a" for mark in back.marks)
    text = comparison_text(compare(layout, Layout(without_row(shed.lock, "rivets", "a"))))
    assert "rivet a removed -15.0 mm across" in " ".join(text.split())
    assert "M3x0.5 screw" in " ".join(text.split())


def test_a_plate_that_is_made_remembers_them(shed: Project) -> None:
    lock = mark_made(shed.lock, "back_plate")
    moved = lock.with_value("rivets.a.across", -14.0)
    (found,) = verdicts(Layout(moved))
    # the hole stands elsewhere, but a rivet goes through it where it is
    assert found.word == "use"
    assert found.strays[0].name == "rivet a hole"
    assert found.fitting.missing[0].where == "rivet a hole"
    saved = save(shed.with_lock(lock))
    assert saved.path is not None
    assert load(saved.path).lock == lock


@pytest.mark.usefixtures("rivets", "own_folder")
@pytest.mark.slow
async def test_the_step_on_the_screen(tmp_path: Path) -> None:
    path = save(Project(None, Lock()), tmp_path / "lock.toml").path
    async with program(tmp_path, path) as driver:
        number = next(n for n, step in enumerate(walk.all_steps()) if step.rows == "rivets")
        await driver.press("f9", *str(number + 1), "enter")
        assert "no rivets yet" in driver.words()
        await driver.press("ctrl+f", "enter", "enter", "enter", "down")
        assert driver.desk.lock.value("rivets.a.head") == "countersunk"
        await driver.press("enter", "up", "enter")
        assert driver.desk.lock.value("rivets.a.blows") == 7
        await driver.type("M5x0.8\n")
        assert driver.desk.lock.value("rivets.a.screw") == (5.0, 0.8)
        await driver.press("f2")
        assert 'screw = "M5x0.8"' in sure(path).read_text(encoding="utf-8")


def test_afterwards_nothing_of_it_is_left() -> None:
    assert "rivets" not in row_kinds.row_kinds()
    assert "rivets" not in {part.name for part in assembly.all_parts()}
    with pytest.raises(KeyError):
        spec_of("rivets.a.across")
