"""What a map shows and what is said of it: signs, text, data, and the command."""

import json
from pathlib import Path

import numpy as np
import pytest
from shapely.affinity import translate
from shapely.geometry import Point

from core.change.clearing import clearings
from core.files.project_file import Project, load, save
from core.files.project_text import fresh_text
from core.layout.layout import Layout
from core.lock.first_lock import first_lock
from core.lock.lock import Lock
from core.propose.map_text import LETTERS, LEVELS, MARK, levels, map_rows, map_text
from core.propose.room_map import beside_key, room_map
from tests.command_line import boltwright, refusal
from tests.plates import inner_wall

DEMO = Lock()


def test_the_map_shows_all_that_works() -> None:
    found = room_map(DEMO)
    assert found.margin.shape == (40, 60)
    works = found.margin >= 0
    assert works.any()
    edge = np.concatenate([works[0], works[-1], works[:, 0], works[:, -1]])
    assert not edge.any()
    row, column = found.cell
    assert abs(found.xs[column] - DEMO.key.radius) <= found.xs[1] - found.xs[0]
    assert abs(found.ys[row] - DEMO.pivot.below) <= found.ys[1] - found.ys[0]


def test_every_sign_is_told() -> None:
    found = room_map(DEMO, columns=50, rows=20)
    rows = list(map_rows(found))
    assert sum(row.count(MARK) for row in rows) == 1
    assert {len(row) for row in rows} == {50}
    told = map_text(found)
    assert [line[-50:] for line in told.split("\n\n")[1].splitlines()[:-1]] == rows
    for sign in set("".join(rows)) - {MARK, *LEVELS}:
        number = found.ruling[LETTERS.index(sign.lower())]
        assert f"  {sign.lower()}  {found.limits[number].by}\n" in told
    small = [[sign.islower() for sign in row] for row in rows[::-1]]
    row, column = found.cell
    small[row][column] = bool(levels(found)[row, column] < 0)
    assert (np.array(small) == (found.margin < 0)).all()


def test_room_beside_the_key_is_how_far_its_circle_can_be_moved() -> None:
    lock = DEMO.with_value("pivot.below", 50.0)
    wall, circle = inner_wall(lock), Point(0.0, 0.0).buffer(lock.key.radius + 0.2, quad_segs=256)
    sides = {side.side: side for side in beside_key(lock)}
    assert set(sides) == {"above", "below", "left", "right"}
    ways = {"above": (0, 1), "below": (0, -1), "left": (-1, 0), "right": (1, 0)}
    for name, (x, y) in ways.items():
        side = sides[name]
        if side.by == "the inner wall":
            assert wall.covers(translate(circle, x * (side.room - 0.01), y * (side.room - 0.01)))
            assert not wall.covers(
                translate(circle, x * (side.room + 0.01), y * (side.room + 0.01))
            )
    # without a guide on the way it is the wall on either side as well
    far = lock
    for guide in ("front_guide", "rear_guide"):
        far = far.with_value(f"{guide}.from_centreline", 60.0)
    for side in (side for side in beside_key(far) if side.side in ("left", "right")):
        assert side.by == "the inner wall"
        for more, clear in ((-0.01, True), (0.01, False)):
            moved = translate(circle, ways[side.side][0] * (side.room + more), 0.0)
            assert wall.covers(moved) is clear, side
    assert sides["below"].by == "the inner wall"
    assert sides["above"].room == pytest.approx(24.0 - 20.2 - 2.5)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_text_is_in_the_locks_units(units: str) -> None:
    told = map_text(room_map(first_lock(units), columns=40, rows=12))
    assert (" mm" in told) == (units == "mm")
    assert "to spare at" in told


def test_command_prints_text_and_data(tmp_path: Path) -> None:
    file = str(tmp_path / "lock.toml")
    save(Project(None, DEMO), tmp_path / "lock.toml")
    text = boltwright("map", file)
    assert text.returncode == 0
    assert "Room beside the key's circle, and what is there" in text.stdout.decode()
    assert "No map shows where the bolt jams" in text.stdout.decode()
    data = json.loads(
        boltwright("map", file, "--up", "bolt_line.height", "--size", "30x20", "--json").stdout
    )
    assert (data["format"], data["up"]["path"]) == (1, "bolt_line.height")
    assert np.array(data["room"]).shape == np.array(data["rules"]).shape == (20, 30)
    assert data["lock"]["room"] == room_map(DEMO, up="bolt_line.height").room
    assert [side["side"] for side in data["beside_key"]] == ["above", "below", "left", "right"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--size", "5x5"], "a size is like 60x40"),
        (["--across", "plate.outline"], "plate.outline is no dimension"),
        (["--across", "nothing.here"], "nothing.here is no dimension"),
        (["--up", "key.radius"], "is given twice"),
        (["--up", "plate.width"], "nothing that the map knows the room for"),
    ],
)
def test_command_refuses_in_one_sentence(tmp_path: Path, words: list[str], said: str) -> None:
    save(Project(None, DEMO), tmp_path / "lock.toml")
    assert said in refusal(boltwright("map", str(tmp_path / "lock.toml"), *words))


@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_largest_key_that_is_made_limits_map_and_ways_out(tmp_path: Path, units: str) -> None:
    lock = DEMO.with_value("units", units).with_value("fit.key_max", 20.01)
    found = room_map(lock, columns=12, rows=8)
    assert found.limits[found.by].by == "the largest key"
    assert found.room == pytest.approx(0.01)
    assert (found.margin[:, found.xs > 20.01] < 0).all()
    small = lock.with_value("fit.key_max", 19.8)
    ways = [way.changes for way in clearings(Layout(small), "key-too-large") if way is not None]
    assert ways
    assert all(dict(way)["key.radius"] <= 19.8 for way in ways)
    # it stands in the lock's file, and a file without it stays as it is
    save(Project(None, small), tmp_path / "new.toml")
    assert load(tmp_path / "new.toml").lock.fit.key_max == 19.8
    old = "".join(
        line
        for line in fresh_text(DEMO).splitlines(keepends=True)
        if "key_max" not in line and "#" not in line[:1]
    )
    (tmp_path / "old.toml").write_text(old)
    project = load(tmp_path / "old.toml")
    assert project.lock.fit.key_max == 0.0
    save(project, tmp_path / "old.toml")
    assert (tmp_path / "old.toml").read_text() == old
