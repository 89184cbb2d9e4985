"""The table of keys, held against the program as it runs: what is told can be done, and nothing else."""

import importlib
import pkgutil
import re
from pathlib import Path

import pytest
from textual.screen import Screen

import tui
from tests.key_places import WAYS, lead, name, stands
from tests.tui_driving import program, stored
from tui.keys.every_key import all_keys
from tui.widgets.keyed import Help, Keyed

pytestmark = pytest.mark.usefixtures("own_folder")

STANDS = pytest.mark.parametrize(
    ("keys", "stand"), list(stands()), ids=[name(*pair) for pair in stands()]
)
TOP = Path(__file__).resolve().parent.parent


@STANDS
def test_no_key_does_two_things_in_one_stand(keys, stand):
    done = [key for act in stand.acts for key in act.keys]
    assert len(done) == len(set(done))


def test_every_act_is_told_in_a_sentence_and_every_hint_in_a_word_or_two():
    for keys in all_keys():
        for place in keys.places:
            for act in place.acts:
                assert act.help[0].isupper()
                assert act.help.endswith(".")
                assert len(act.hint.split()) <= 4
                assert act.keys


def test_every_screen_has_its_keys_in_the_table():
    for module in pkgutil.walk_packages(tui.__path__, "tui."):
        importlib.import_module(module.name)
    screens = [screen for screen in _below(Screen) if screen.__module__.startswith("tui.")]
    shown = [screen for screen in screens if not _below(screen)]
    assert {screen.KEYS for screen in shown} == set(all_keys())
    assert all(issubclass(screen, Keyed) for screen in shown)
    assert set(WAYS) == {(keys.name, stand.cursor, stand.kind) for keys, stand in stands()}


def _below(kind):
    return {one for sub in kind.__subclasses__() for one in {sub, *_below(sub)}}


@STANDS
async def test_what_the_keys_do_is_what_the_table_says_and_what_the_help_tells(
    tmp_path, keys, stand
):
    async with program(tmp_path, stored(tmp_path, key__radius=25.0)) as driver:
        await lead(driver, keys, stand)
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
        if keys.name != "help" and "help" in {act.name for act in stand.acts}:
            await driver.press("f1")
        assert isinstance(driver.screen, Help)
        page = " ".join(driver.screen._text.plain.split())
        for act in stand.acts:
            assert f"{act.all_shown} {' '.join(act.help.split())}" in page


def _own_handlers(node):
    """Return the names of the acts that a screen or widget of the program carries out itself."""
    return {
        name.removeprefix("action_")
        for kind in type(node).__mro__
        if kind.__module__.startswith("tui.")
        for name in vars(kind)
        if name.startswith("action_")
    }


def _acts_elsewhere(node):
    """Return the names of acts that other screens have of a widget or a base that they share."""
    return {
        act.name
        for kind in type(node).__mro__
        if kind.__module__.startswith("tui.widgets.")
        for keys in all_keys()
        for place in keys.places
        for act in place.acts
        if f"action_{act.name}" in vars(kind)
    }


def test_the_readme_names_only_keys_that_there_are():
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
