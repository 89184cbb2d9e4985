"""What can be measured on a made part: how it is told, where it is drawn, and what it does, held against shapely."""

import asyncio
import math
from pathlib import Path

import pytest
import shapely

from core.change.consequences import as_fact
from core.checks import gathered
from core.files.project_file import Project, load, save
from core.layout.drawing import Measure
from core.layout.layout import Layout
from core.lock.facts import as_made, came_out, record_of, with_measured
from core.lock.lock import Lock, of_metal_alone, spec_of
from core.made.fitting import KEPT
from core.made.marking import mark_made
from core.made.verdicts import verdicts
from core.parts.bolt_contour import bolt
from core.parts.cut_sides import SIDES
from core.whole import assembly
from core.whole.as_built import as_built
from core.whole.dimensions import dimension
from tests.config_space import outline
from tests.counts import of_all
from tests.designs import plausible
from tests.made_cases import referee
from tests.sure import sure
from tests.test_dimensions import locks
from tests.tui_driving import SIZES, Driver, program
from tui.made import state as made_state
from tui.made.screen import MadeScreen

pytestmark = pytest.mark.usefixtures("own_folder")

OFF = 0.4


def made(lock: Lock, *parts: str) -> Lock:
    for part in parts or assembly.workpieces():
        lock = mark_made(lock, part)
    return lock


def asked(lock: Lock) -> list[tuple[str, str]]:
    return [
        (part, path)
        for part, _ in made_state.workpieces()
        for path in made_state.measurable(lock, part)
    ]


def test_all_that_the_bench_can_measure_is_asked_for() -> None:
    found = set(asked(made(Lock())))
    bolt_alone = {
        f"as_cut.{side}_{what}" for side in SIDES for what in ("flank", "foot", "relief", "lobe")
    }
    assert found >= {
        *(("bolt", path) for path in bolt_alone),
        *(("bolt", f"as_cut.{what}") for what in ("roof", "nose", "tail")),
        ("bolt", "bolt.thickness"), ("bolt", "bolt.lobe_width"),
        ("back_plate", "bolt_line.height"), ("back_plate", "pivot.across"), ("back_plate", "pivot.below"),
        ("back_plate", "front_guide.from_centreline"), ("back_plate", "rear_guide.from_centreline"),
        ("back_plate", "shackle.across"), ("back_plate", "plate.thickness"), ("front_plate", "plate.thickness"),
        ("front_guide", "front_guide.from_centreline"), ("rear_guide", "rear_guide.from_centreline"),
        ("key", "key.radius"), ("key", "key.bit_thickness"), ("shackle", "shackle.across"),
    }  # fmt: skip
    assert of_metal_alone() <= {path for _, path in found}


def test_each_dimension_has_a_text_of_its_own_that_says_where_the_calliper_goes() -> None:
    told: dict[str, set[str]] = {}
    for lock in locks():
        for part, path in asked(lock):
            text = assembly.workpieces()[part].how_at(path)
            assert len(text.split()) > 2, (part, path)
            assert text.endswith(".")
            key = path.split(".")
            # rows are alike, and so is a place on both plates
            told.setdefault(text, set()).add(f"{key[0]}.{key[-1]}")
    borrowed = {text: paths for text, paths in told.items() if len(paths) > 1}
    assert borrowed == {}


def test_a_mark_on_the_plate_is_told_as_a_mark_and_the_part_as_a_part() -> None:
    known = assembly.workpieces()
    for path, part in (
        ("front_guide.from_centreline", "front_guide"), ("rear_guide.from_centreline", "rear_guide"),
        ("shackle.across", "shackle"),
    ):  # fmt: skip
        assert "line scribed" in known["back_plate"].how_at(path)
        assert "line scribed" not in known[part].how_at(path)


@pytest.mark.parametrize("number", of_all(range(len(locks())), 4))
def test_each_is_drawn_as_long_as_it_came_out(number: int) -> None:
    lock = made(locks()[number])
    for part, path in asked(lock):
        if path in of_metal_alone():
            lock = with_measured(lock, part, path, OFF)
    layout = Layout(lock)
    for _, path in asked(lock):
        lines = [mark for mark in dimension(layout, path) if isinstance(mark, Measure)]
        assert [line.path for line in lines] == [path]
        if path in of_metal_alone() and spec_of(path).kind.name in ("length", "position", "across"):
            (line,) = lines
            assert math.dist(line.start, line.end) == pytest.approx(OFF)
            assert line.text.startswith(spec_of(path).shown(OFF, lock.units))


@pytest.mark.parametrize("path", sorted(p for p in of_metal_alone() if p.startswith("as_cut.")))
def test_the_line_ends_on_the_metal_as_it_came_out(path: str) -> None:
    """The end of the drawn line lies on the outline of a bolt cut so, its start on that of one cut as planned."""
    lock = Lock()
    layouts = [Layout(lock), Layout(lock.with_value(path, OFF))]
    new = with_measured(made(lock), "bolt", path, OFF)
    (line,) = [m for m in dimension(Layout(new), path) if isinstance(m, Measure)]
    lies = sure(assembly.workpieces()["bolt"].lies)(Layout(new))
    for at, layout in zip((line.start, line.end), layouts, strict=True):
        body = assembly.workpieces()["bolt"].shape(layout).body
        edge = shapely.LinearRing(lies.points(sure(body).points(1e-4)))
        # the foot of a flank that is rounded is where it ceases to be straight, 0.4 up
        assert edge.distance(shapely.Point(at)) < 2e-3


@pytest.mark.parametrize("side", SIDES)
def test_each_lobe_by_itself_makes_the_body_wider_on_its_side(side: str) -> None:
    lock = plausible(3, roof="flat", early=False)
    own = lock.with_value(f"as_cut.{side}_lobe", OFF)
    before, after = (outline(Layout(each)) for each in (lock, own))
    added = after.difference(before)
    low = lock.bolt_line.height - lock.bolt.depth
    leg = lock.bolt.tail_height if side == "unlocking" else lock.bolt.nose_height
    assert added.area == pytest.approx(OFF * (lock.bolt_line.height - leg - low), rel=1e-3)
    assert (added.centroid.x > 0) is (side == "unlocking")
    assert before.difference(after).area < 1e-6


@pytest.mark.parametrize(
    ("side", "guide"), [("unlocking", "rear_guide"), ("locking", "front_guide")]
)
@pytest.mark.slow
def test_a_lobe_too_wide_for_its_guide_is_told_and_one_with_room_is_left(
    side: str, guide: str
) -> None:
    lock = made(plausible(5, roof="flat", outline="rectangle"))
    room = gathered.windows(Layout(lock))[f"{guide}.from_centreline"].low
    spare = lock.value(f"{guide}.from_centreline") - sure(room).value
    for by, works in ((spare - 0.05, True), (spare + 0.6, False)):
        new = with_measured(lock, "bolt", f"as_cut.{side}_lobe", by)
        found = {v.part: v for v in verdicts(Layout(new))}
        assert (found["bolt"].word in KEPT) is works is (referee(new) == ""), (by, referee(new))
        assert all(v.word in KEPT for part, v in found.items() if part != "bolt")


def test_a_bolt_line_that_was_scribed_elsewhere_counts_where_it_is() -> None:
    lock = made(Lock(), "back_plate")
    new = sure(as_fact(lock, "bolt_line.height", 24.3))
    assert as_made(new).bolt_line.height == 24.3
    assert as_built(Layout(new)).lock.bolt_line.height == 24.3
    (plate,) = verdicts(Layout(new))
    # it is there, and nothing is to be scribed again
    assert (plate.word, plate.scribe) == ("good", ())
    # an undrilled, unmeasured mark moves with the wish
    wished = lock.with_value("bolt_line.height", 24.3).with_value(
        "rear_guide.from_centreline", 20.5
    )
    built = as_built(Layout(wished)).lock
    assert (built.bolt_line.height, built.rear_guide.from_centreline) == (24.3, 20.5)


def test_a_mark_of_a_guide_counts_until_the_guide_itself_is_measured() -> None:
    lock = with_measured(
        made(Lock(), "back_plate"), "back_plate", "rear_guide.from_centreline", 20.4
    )
    assert as_made(lock).rear_guide.from_centreline == 20.4
    lock = with_measured(
        mark_made(lock, "rear_guide"), "rear_guide", "rear_guide.from_centreline", 20.2
    )
    assert as_made(lock).rear_guide.from_centreline == 20.2
    assert any(f.code == "made-differ" for f in gathered.findings(Layout(lock)))


async def in_sight(driver: Driver) -> bool:
    """Wait until what is said of the measure stands above the key line: it scrolls there once it has been drawn."""
    for _ in range(500):
        at = driver.screen.query_one("#how").region
        hints = driver.screen.query_one("#hints").region
        if 0 < at.y <= hints.y - at.height:
            return True
        await asyncio.sleep(0.01)
    return False


@SIZES
@pytest.mark.slow
async def test_several_are_entered_one_after_the_other_and_kept(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    file = sure(save(Project(None, made(Lock())), tmp_path / "made.toml").path)
    rows = made_state.measurable(made(Lock()), "bolt")
    wanted = {"bolt.depth": 10.1, "as_cut.unlocking_flank": 0.2, "as_cut.locking_lobe": -0.1}
    async with program(tmp_path, file, size=size) as driver:
        await driver.press("ctrl+o", "down", "down", "down", "enter")
        assert isinstance(driver.screen, MadeScreen)
        for path in rows:
            how = assembly.workpieces()["bolt"].how_at(path)
            await driver.until(" ".join(how.split()), "#how")
            assert await in_sight(driver), path
            await driver.type(f"{wanted.get(path, '')}\n")
        lock = driver.screen.at_hand
        assert dict(sure(record_of(lock, "bolt")).measured) == wanted
        await driver.press("escape", "f2")
    assert load(file).lock == lock
    assert came_out(lock, "as_cut.locking_lobe") == -0.1


@pytest.mark.slow
async def test_what_no_plan_has_is_weighed_as_it_came_out(tmp_path: Path) -> None:
    file = sure(save(Project(None, made(Lock())), tmp_path / "made.toml").path)
    row = made_state.measurable(made(Lock()), "bolt").index("as_cut.roof")
    async with program(tmp_path, file) as driver:
        await driver.press("ctrl+o", "down", "down", "down", "enter", *["enter"] * row)
        await driver.press("0", ".", "3", "f6")
        trial = driver.screen.trial
        assert (trial.path, trial.kind, trial.value) == ("as_cut.roof", "fact", 0.3)
        assert "0.3 mm" in driver.words("#drawing") or "0.3" in driver.text()
        await driver.press("f2")
        assert came_out(driver.screen.at_hand, "as_cut.roof") == 0.3


def test_the_bolt_as_built_has_what_was_measured_on_it() -> None:
    lock = with_measured(made(Lock()), "bolt", "as_cut.unlocking_lobe", OFF)
    assert bolt(as_built(Layout(lock))).right == pytest.approx(bolt(Layout(lock)).right + OFF)
