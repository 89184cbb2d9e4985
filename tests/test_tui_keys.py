"""The table of keys, held against the program as it runs: what is told can be done, and nothing else."""

import importlib
import pkgutil
import re
from itertools import combinations, product
from pathlib import Path
from typing import Any

import pytest
from textual.dom import DOMNode
from textual.screen import Screen

import tui
from core.files.project_file import load
from tests.key_places import WAYS, Way, stands
from tests.tui_driving import NARROW, WIDE, Driver, program, stored
from tui.keys.acts import Keys, Place, Stand
from tui.keys.common import LINE
from tui.keys.every_key import all_keys
from tui.keys.of_dialogs import START
from tui.sheets import job as sheets_job
from tui.sheets.job import Done
from tui.widgets.keyed import Help, Keyed

pytestmark = pytest.mark.usefixtures("own_folder")

TOP = Path(__file__).resolve().parent.parent


def test_no_key_does_two_things_in_one_stand() -> None:
    for keys, stand in stands():
        done = [key for act in stand.acts for key in act.keys]
        assert len(done) == len(set(done)), (keys.name, stand.cursor)


def test_every_act_is_told_in_a_sentence_and_every_hint_in_a_word_or_two() -> None:
    for keys in all_keys():
        for place in keys.places:
            for act in place.acts:
                assert act.help[0].isupper()
                assert act.help.endswith(".")
                assert len(act.hint.split()) <= 4
                assert act.keys


def test_the_key_line_names_every_key_but_those_that_edit_a_line() -> None:
    for keys, stand in stands():
        for place in set(stand.places) - {LINE}:
            told = False  # by the hint before, which names several keys as one
            for act in place.acts:
                same = any(one.hint and one.action == act.action for one in stand.acts)
                assert act.hint or told or same, (keys.name, stand.cursor, act.name)
                told = bool(act.written) if act.hint else told


MEANINGS = {
    "f1": {"help", "close"}, "f2": {"save", "keep", "take", "write"}, "f3": {"step_back", "dimension_back"},
    "f4": {"step_on", "dimension_on"}, "f5": {"turn", "back", "other_meaning", "paper"},
    "f6": {"findings", "ways", "causes", "weigh", "offers"}, "f7": {"view"}, "f8": {"drawing"},
    "f9": {"steps", "dimensions", "list", "stay"}, "f10": {"leave", "drop", "stay", "back", "escape", "close"},
    "f11": {"row_copy"}, "f12": {"row_name"},
}  # fmt: skip
"""What a function key does, in any view: help, done, before, next, turn, what was found, view, drawing, go to, out."""


def test_a_function_key_means_one_thing_and_has_a_twin_with_ctrl() -> None:
    twins: dict[str, str] = {}
    for keys, stand in stands():
        for act in stand.acts:
            for key in set(act.keys) & set(MEANINGS):
                assert act.name in MEANINGS[key], (keys.name, key, act.name)
                twin = act.keys[act.keys.index(key) + 1]
                assert twin.startswith("ctrl+")
                assert twins.setdefault(key, twin) == twin
    assert set(twins) == set(MEANINGS)
    assert len(set(twins.values())) == len(twins)


def test_a_key_with_ctrl_means_one_thing_on_all_screens() -> None:
    done: dict[str, set[str]] = {}
    for _, stand in stands():
        for act in stand.acts:
            for key in act.keys:
                if key.startswith("ctrl+") and len(key) == 6:
                    done.setdefault(key, set()).add(act.name)
    for key, names in done.items():
        assert len(names) == 1 or any(names <= meant for meant in MEANINGS.values()), (key, names)


def test_every_screen_has_its_keys_in_the_table() -> None:
    for module in pkgutil.walk_packages(tui.__path__, "tui."):
        importlib.import_module(module.name)
    screens = [screen for screen in _below(Screen) if screen.__module__.startswith("tui.")]
    shown = [screen for screen in screens if not _below(screen)]
    keyed = [screen for screen in shown if issubclass(screen, Keyed)]
    assert keyed == shown
    assert {screen.KEYS for screen in keyed} == set(all_keys())
    assert set(WAYS) == {(keys.name, stand.cursor, stand.kind) for keys, stand in stands()}


def _below(kind: type[Screen[Any]]) -> set[type[Screen[Any]]]:
    return {one for sub in kind.__subclasses__() for one in {sub, *_below(sub)}}


@pytest.fixture
def no_sheets(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let sheets be written in no time: what is written is another test's."""
    monkeypatch.setattr(sheets_job, "written", lambda *_: Done(0, ()))


def test_what_the_keys_press_is_every_key_of_the_table() -> None:
    assert {keys for keys, _ in stands()} == set(all_keys())


NARROW_FINE: dict[str, Any] = {"size": NARROW, "units": "mm"}
WIDE_FOUL: dict[str, Any] = {"size": WIDE, "units": "in", "key__radius": 25.0}
SET_UPS: list[dict[str, Any]] = [
    NARROW_FINE,
    WIDE_FOUL,
    {"size": NARROW, "units": "in"},
    {"size": NARROW, "units": "mm", "key__radius": 25.0},
    {"size": WIDE, "units": "mm"},
]
"""A lock in millimetres that is fine, and one in inches that fouls, in either window; and what is left of the pairs.

Any two of window, units and state come together in one of the five; all three in every way would be eight.
"""
OTHERS = range(2, len(SET_UPS))
"""Those in which one key of each act is pressed, each time another one; in the first two every key is."""


def test_any_two_of_window_units_and_state_come_together_in_a_set_up() -> None:
    made = [(how["size"], how["units"], "key__radius" in how) for how in SET_UPS]
    for one, other in combinations(range(3), 2):
        assert {(how[one], how[other]) for how in made} == set(
            product({how[one] for how in made}, {how[other] for how in made})
        )
        assert len({how[one] for how in made}) == 2


def _told(how: dict[str, Any]) -> str:
    size = "x".join(map(str, how["size"]))
    return f"{size}-{how['units']}-{'fouls' if 'key__radius' in how else 'fine'}"


def everywhere(keys: Keys) -> list[tuple[Stand, str]]:
    """Return every key of a screen at every stand where it holds."""
    return [(stand, key) for stand in keys.stands for act in stand.acts for key in act.keys]


def once(keys: Keys, turn: int) -> list[tuple[Stand, str]]:
    """Return one key of every act of a screen at one of the stands where it holds; with another `turn` another one.

    What edits the line is the widget's alone, the same on every screen: its keys are dealt out among the screens. That
    all keys of an act are bound to it is looked at at each stand.
    """
    lines = [other for other in all_keys() if LINE in other.places]
    pressed = []
    for place in keys.places:
        found = [stand for stand in keys.stands if place in stand.places]
        every = [act.keys[turn % len(act.keys)] for act in place.acts]
        if place is LINE:
            every = every[(lines.index(keys) + turn) % len(lines) :: len(lines)]
        pressed += [(found[(number + turn) % len(found)], key) for number, key in enumerate(every)]
    return sorted(pressed, key=lambda press: keys.stands.index(press[0]))


def test_what_is_pressed_is_every_act_each_time_and_another_key_of_it() -> None:
    each = [
        [(keys, *press) for keys in all_keys() for press in once(keys, turn)] for turn in OTHERS
    ]
    for keys in all_keys():
        for place in keys.places:
            reached = [_reached(keys, place, pressed) for pressed in each]
            for act in place.acts:
                assert all(found & set(act.keys) for found in reached), (keys.name, act.keys)
                # of the ten digits some are pressed, of all others each
                many = len(set(act.keys) & set().union(*reached))
                assert many == min(len(act.keys), len(OTHERS)), (keys.name, act.keys)


def _reached(keys: Keys, place: Place, pressed: list[tuple[Keys, Stand, str]]) -> set[str]:
    """Return the keys of a place that are pressed: on its own screen, or in any line where it is the line's."""
    return {
        key
        for screen, stand, key in pressed
        if place in stand.places and (place is LINE or screen is keys)
    }


@pytest.mark.slow
@pytest.mark.usefixtures("no_sheets")
@pytest.mark.parametrize("keys", all_keys(), ids=lambda keys: keys.name)
@pytest.mark.parametrize("turn", OTHERS, ids=[_told(SET_UPS[turn]) for turn in OTHERS])
async def test_every_act_is_done_by_a_key_in_any_window_units_and_state(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, keys: Keys, turn: int
) -> None:
    await _all_pressed(tmp_path, monkeypatch, keys, once(keys, turn), SET_UPS[turn])


@pytest.mark.slow
@pytest.mark.usefixtures("no_sheets")
@pytest.mark.parametrize("keys", all_keys(), ids=lambda keys: keys.name)
@pytest.mark.parametrize("how", SET_UPS[:2], ids=_told)
async def test_every_key_can_be_pressed_everywhere(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, keys: Keys, how: dict[str, Any]
) -> None:
    await _all_pressed(tmp_path, monkeypatch, keys, everywhere(keys), how)


async def _all_pressed(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    keys: Keys,
    presses: list[tuple[Stand, str]],
    how: dict[str, Any],
) -> None:
    """Press keys, in one program as long as there is a way back from where they lead."""
    held: set[Stand] = set()
    count = 0
    while presses:
        count += 1
        folder = tmp_path / str(count)
        folder.mkdir()
        monkeypatch.chdir(folder)
        monkeypatch.setenv("XDG_STATE_HOME", str(folder / "state"))  # no lock of a folder before
        await _pressed(folder, monkeypatch, keys, presses, held, **how)


async def _pressed(
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    keys: Keys,
    presses: list[tuple[Stand, str]],
    held: set[Stand],
    size: tuple[int, int],
    **values: Any,
) -> None:
    """Press keys that are left in a program of their own, as long as there is a way back."""
    file = stored(folder, **values)
    exits: list[tuple[Any, ...]] = []
    async with program(folder, file, size=size) as driver:
        monkeypatch.setattr(driver.app, "exit", lambda *told: exits.append(told))
        home = True
        while presses and home:
            stand = presses[0][0]
            way = Way(driver, keys, stand)
            await way.begin()
            if stand not in held:
                held.add(stand)
                await _holds(driver, keys, stand)
            while presses and presses[0][0] is stand and await way.back():
                _, key = presses.pop(0)
                exited = len(exits)
                await driver.key(key)
                assert driver.app._exception is None, key
                assert (len(exits) > exited) == (keys.name == "start" and key in _leaving()), key
            home = await way.home()
    assert load(file).lock.units == values["units"]


def _leaving() -> tuple[str, ...]:
    return next(act.keys for act in START.acts if act.name == "leave")


async def _holds(driver: Driver, keys: Keys, stand: Stand) -> None:
    """Check that the keys of a stand are bound as the table says, are carried out by somebody, and are told."""
    bound = driver.screen.active_bindings
    said = {key: act for act in stand.acts if not act.typed for key in act.keys}
    assert {key: b.binding.action.removeprefix("screen.") for key, b in bound.items()} == {
        key: act.action for key, act in said.items()
    }
    screen, cursor = driver.screen, driver.app.focused
    for active in bound.values():
        owner, done = active.node, active.binding.action.partition("(")[0]
        if done.startswith("screen."):
            owner, done = screen, done.removeprefix("screen.")
        # an act without a handler would do nothing, and say nothing
        assert callable(getattr(owner, f"action_{done}"))
    # a handler without an act could not be reached by any key
    acts = {act.action.partition("(")[0] for place in keys.places for act in place.acts}
    for node in filter(None, (screen, cursor)):
        assert _own_handlers(node) <= acts | _acts_elsewhere(node)
    if keys.name != "help":
        assert "f1" in said
        await driver.key("f1")
    assert isinstance(driver.screen, Help)
    page = " ".join(driver.screen._text.plain.split())
    for act in stand.acts:
        assert f"{act.all_shown} {' '.join(act.help.split())}" in page


def _own_handlers(node: DOMNode) -> set[str]:
    """Return the names of the acts that a screen or widget of the program carries out itself."""
    return {
        name.removeprefix("action_")
        for kind in type(node).__mro__
        if kind.__module__.startswith("tui.")
        for name in vars(kind)
        if name.startswith("action_")
    }


def _acts_elsewhere(node: DOMNode) -> set[str]:
    """Return the names of acts that other screens have of a widget or a base that they share."""
    return {
        act.name.partition("(")[0]
        for kind in type(node).__mro__
        if kind.__module__.startswith("tui.widgets.")
        for keys in all_keys()
        for place in keys.places
        for act in place.acts
        if f"action_{act.name.partition('(')[0]}" in vars(kind)
    }


def test_the_readme_names_only_keys_that_there_are() -> None:
    told = (TOP / "README.md").read_text("utf-8")
    named = set(re.findall(r"Ctrl\+[A-Z]|\bF\d{1,2}\b", told))
    known = {
        shown
        for keys in all_keys()
        for place in keys.places
        for act in place.acts
        for shown in act.all_shown.split(", ")
    }
    assert named
    assert named <= known
