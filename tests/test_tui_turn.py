"""The turn view on the screen: what it shows is what the core works out."""

import math
from pathlib import Path
from typing import Any

import pytest

from core.files.project_file import Project, load, save
from core.parts.tooth import tooth
from core.systems import show_torque
from core.turning.binding import binding
from core.turning.follow import moment
from core.turning.turn_check import fouls_by_stroke, turn_check
from core.turning.turned_on import turn_words
from tests.loaded_locks import early
from tests.sure import sure
from tests.tui_driving import NARROW_BY_DEFAULT, SIZES, WIDE, program, stored
from tests.turn_driving import HANDS, now, sample, words
from tui.desk.session import layout_of
from tui.turn import scene as turn_scene
from tui.turn import screen as turn_screen
from tui.turn.moving_drawing import TurnDrawing
from tui.turn.screen import TurnScreen

pytestmark = pytest.mark.usefixtures("own_folder")


@SIZES
@HANDS
@pytest.mark.first(1)
async def test_every_number_on_the_screen_is_the_cores(
    tmp_path: Path, size: tuple[int, int], hand: str
) -> None:
    file = sample(tmp_path, "boathouse", unlocks=hand)
    async with program(tmp_path, file, size=size) as driver:
        await driver.press("f5")
        assert isinstance(driver.screen, TurnScreen)
        layout = layout_of(load(file).lock)
        seen = set()
        for keys in (
            "",
            "p",
            "right right right",
            "up",
            "r left",
            "r",
            "right right",
            "end",
            "s up",
        ):
            await driver.press(*keys.split())
            turn = driver.screen.turn
            there, forces = now(driver)
            text = words(driver)
            seen.add(there.phase)
            assert text.startswith(f"{turn.stroke} {there.phase}")
            assert f"angle {math.degrees(turn.angle):.1f}°" in text
            done = layout.show(there.travel).removesuffix(" mm")
            assert f"travel {done} of {layout.show(tooth(layout).throw)}" in text
            more = turn_words(layout, "unlocked" if turn.stroke == "unlocking" else "locked")
            at_end = turn.along == math.pi
            contact = f"turned on {more}" if at_end else f"in contact {there.contact or 'nothing'}"
            assert f"{contact} least room" in text
            assert f"least room {layout.show(there.gap)}, {there.gap_to}" in text
            for name, value in forces.items():
                assert f"{name} {value}" in text
            drawing = driver.screen.query_one(TurnDrawing)
            cells = "".join(t for row in sure(drawing.picture).rows for t, _ in row)
            assert ("●" in cells) == bool(there.contact)
            if there.contact:
                assert "○" in cells
        assert seen == {"coming up", "driving", "snapping home", "drawn home"}
        assert "nothing fouls or jams" in words(driver)


@NARROW_BY_DEFAULT
async def test_all_of_it_is_on_one_screen(tmp_path: Path, size: tuple[int, int]) -> None:
    async with program(tmp_path, sample(tmp_path, "boathouse"), size=size) as driver:
        await driver.press("f5", "p", "up")
        text = driver.text()
        for wanted in (
            "The key's turn", "Boathouse", "angle", "travel", "in contact", "least room", "kept",
            "torque", "on flank", "front guide", "rear guide", "nothing fouls", "travel, mm",
            "torque, N m, kept clean", "Space play", "Esc back", "contact", "0°", "9.5",
        ):  # fmt: skip
            assert wanted in text, wanted
        assert "…" not in text
        readings = driver.screen.query_one("#readings")
        assert len(readings._rows) <= readings.content_size.height
        assert all(
            sum(len(part) for part, _ in row) <= readings.content_size.width
            for row in readings._rows
        )


@pytest.mark.slow
async def test_a_tall_screen_tells_of_the_whole_turn(tmp_path: Path) -> None:
    async with program(tmp_path, sample(tmp_path, "boathouse"), size=WIDE) as driver:
        await driver.press("f5")
        layout = driver.screen.turn.layout
        peak = binding(layout).conditions["clean"].peak_high
        check = turn_check(layout)
        text = words(driver)
        assert (
            f"most torque {show_torque(sure(peak).value)} at {math.degrees(sure(peak).at):.1f}°"
            in text
        )
        assert f"while {sure(peak).stroke}" in text
        assert f"narrowest {layout.show(check.least_gap)}, {check.least_gap_part}" in text


@NARROW_BY_DEFAULT
@HANDS
@pytest.mark.slow
async def test_what_fouls_is_named_with_its_angle_and_marked_where_playing_stops(
    tmp_path: Path, size: tuple[int, int], hand: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(turn_screen, "FRAME", 0.002)
    file = sample(tmp_path, "pump_house", unlocks=hand)
    async with program(tmp_path, file, size=size) as driver:
        await driver.press("f5")
        for stroke in ("unlocking", "locking"):
            await driver.press("space")
            while driver.screen.turn.playing:
                await driver.pilot.pause(0.01)
            await driver.settle()
            turn = driver.screen.turn
            foul = fouls_by_stroke(turn.layout)[stroke][0]
            assert (turn.stroke, turn.angle) == (stroke, foul.first)
            text = words(driver)
            assert f"x fouls the {foul.part}: {stroke} from {math.degrees(foul.first):.1f}°" in text
            assert "least room none, in the bolt" in text
            assert "Space: on all the same." in text
            assert "stopped" in driver.rows()[0]
            assert f"x FOULS {foul.part}" in driver.text()
            assert driver.text().count("x fouls") >= 3  # in the read-offs, and in either chart
            # the sign stands on the place that fouls
            drawing = driver.screen.query_one(TurnDrawing)
            rows = ["".join(t for t, _ in row) for row in drawing.picture.rows]
            ((row, line),) = [(n, line) for n, line in enumerate(rows) if "FOULS" in line]
            column = line.index("x FOULS")
            (spot,) = [
                s
                for s in turn_scene.spots(turn, moment(turn.layout, turn.angle, turn.stroke))
                if s.words.startswith("FOULS")
            ]
            x, y = drawing.picture.scale.point(column, row)
            step = drawing.picture.scale.mm_per_dot
            assert abs(x - spot.at[0]) <= 1.01 * step
            assert abs(y - spot.at[1]) <= 2.01 * step
            await driver.press("space")  # on all the same, to key-out
            while driver.screen.turn.playing:
                await driver.pilot.pause(0.01)
            assert driver.screen.turn.along == math.pi
            await driver.press("s", "home")


@pytest.mark.slow
async def test_x_goes_to_what_fouls_in_either_stroke(tmp_path: Path) -> None:
    async with program(tmp_path, sample(tmp_path, "pump_house")) as driver:
        await driver.press("f5", "x")
        first = driver.screen.turn
        await driver.press("x")
        second = driver.screen.turn
        assert (first.stroke, second.stroke) == ("unlocking", "locking")
        assert "FOULS bolt" in driver.text()
    async with program(tmp_path, sample(tmp_path, "boathouse")) as driver:
        await driver.press("f5", "x")
        assert "Nothing fouls, and kept clean nothing jams." in words(driver)


@NARROW_BY_DEFAULT
@pytest.mark.slow
async def test_a_jam_is_shown_for_what_it_is(tmp_path: Path, size: tuple[int, int]) -> None:
    file = save(Project(None, early(25, friction__condition="dry")), tmp_path / "jam.toml").path
    async with program(tmp_path, file, size=size) as driver:
        await driver.press("f5", "x")
        turn = driver.screen.turn
        jam = binding(turn.layout).conditions["dry"].jam_high
        assert (turn.stroke, turn.angle) == (sure(jam).stroke, sure(jam).at)
        text = words(driver)
        low = moment(turn.layout, turn.angle).torque["dry"][0]
        assert f"torque {show_torque(sure(low))} to a JAM" in text
        assert f"x the bolt may jam: unlocking from {math.degrees(sure(jam).at):.1f}°" in text
        assert "x JAMS" in driver.text()
        assert "x jams" in driver.text()
        await driver.press("k")  # round to greased, in which it slides
        assert "[greased]" in words(driver)
        assert "nothing fouls or jams (greased)" in words(driver)
        assert "JAM" not in driver.text()


@HANDS
@pytest.mark.parametrize("values", [{"key__radius": 5.0}, {"bolt__depth": 0.5}])
@pytest.mark.slow
async def test_a_lock_without_a_drive_turns_and_says_so(
    tmp_path: Path, hand: str, values: dict[str, Any]
) -> None:
    file = stored(tmp_path, unlocks=hand, **values)
    async with program(tmp_path, file) as driver:
        await driver.press("f5", "p")
        assert "No pick-up: nothing is driven." in words(driver)
        assert driver.screen.turn.angle == -math.pi
        await driver.press("r", "x", "s", "up", "end", "k", "left", "f7", "f7")
        assert "the key drives nothing" in words(driver)
