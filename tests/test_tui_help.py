"""The help is searched by a word, over everything that it tells anywhere."""

from pathlib import Path

import pytest

from core.checks.catalogue import catalogue
from core.files.project_file import load
from core.glossary import GLOSSARY
from core.layout.layout import Layout
from core.lock.lock import specs
from core.shipped import sample_locks
from tests.test_inches import assert_inches
from tests.tui_driving import NARROW, NARROW_BY_DEFAULT, program, stored
from tui.keys.every_key import all_keys
from tui.plot.parts_named import named_parts
from tui.steps.walk import all_steps
from tui.widgets.help_search import MOST, everything, found_text, matching
from tui.widgets.keyed import Help

pytestmark = pytest.mark.usefixtures("own_folder")


def test_all_that_is_told_anywhere_can_be_found() -> None:
    texts = " ".join(told.text for told in everything("mm"))
    for step in all_steps():
        assert step.intro in texts
        assert step.caution in texts
    for spec in specs().values():
        assert spec.what in texts
    for term in GLOSSARY:
        assert term.means in texts
    for code in catalogue().values():
        assert code.meaning in texts
    for keys in all_keys():
        for place in keys.places:
            for act in place.acts:
                assert act.help in texts


def test_each_thing_is_found_by_its_name_and_before_what_only_speaks_of_it() -> None:
    for told in everything("mm"):
        found = matching(told.name, "mm")
        words = told.name.lower().split()
        for before in found[: found.index(told)]:
            assert all(word in before.name.lower() for word in words)


@pytest.mark.parametrize(
    ("typed", "name"),
    [("TOOTH", "Tooth"), ("pick ang", "pick-up angle"), ("nudg", "Up"), ("strik", "Finding, stop")],
)
def test_words_are_found_by_how_they_begin(typed: str, name: str) -> None:
    assert any(told.name.startswith(name) for told in matching(typed, "mm"))
    assert not matching(f"{typed} zz", "mm")


def test_what_is_nowhere_is_told_and_what_is_everywhere_is_cut_short() -> None:
    assert "Nothing in the help begins with qq" in found_text("qq ", "mm").plain
    many = matching("t", "mm")
    assert len(many) > MOST
    assert f"IN {len(many)} PLACES" in found_text("t", "mm").plain


def test_a_lock_in_inches_is_told_of_in_inches() -> None:
    assert any(" mm" in told.text for told in everything("mm"))
    assert_inches(told.text for told in everything("in") if told.name != "units")


NAMED = (
    "shackle", "nose", "front guide", "flank", "roof", "gap", "bridge", "rear guide", "tail", "lobe", "foot", "relief",
    "locked seat", "unlocked seat", "lower edge", "key circle", "bolt",
)  # fmt: skip


@pytest.mark.parametrize("path", sample_locks(), ids=lambda path: path.stem)
def test_the_parts_are_drawn_with_their_names_where_they_are(path: Path) -> None:
    lock = load(path).lock
    at = {}
    for columns in (40, 69):
        rows = ["".join(text for text, _ in row) for row in named_parts(Layout(lock), columns, 14)]
        assert all(len(row) == columns for row in rows)
        at = {name: row.index(name) for name in NAMED for row in rows if name in row}
        assert {"nose", "gap", "flank"} <= set(at)
    assert set(at) == set(NAMED)
    ways = [at["shackle"], at["nose"], at["gap"], at["lobe"], at["tail"]]
    assert ways[1:] == sorted(ways[1:], reverse=lock.unlocks == "left")
    assert abs(at["shackle"] - at["nose"]) < abs(at["shackle"] - at["gap"])


def test_every_name_in_the_drawing_is_explained() -> None:
    explained = {term.name for term in GLOSSARY}
    for name in (
        "nose",
        "tail",
        "flank",
        "foot",
        "lobe",
        "relief",
        "seat",
        "roof",
        "bridge",
        "gap",
        "lower edge",
    ):
        assert name in explained


@NARROW_BY_DEFAULT
async def test_a_word_is_searched_for_by_keys(tmp_path: Path, size: tuple[int, int]) -> None:
    async with program(tmp_path, stored(tmp_path, units="in"), size=size) as driver:
        await driver.press("enter", "f1")
        assert isinstance(driver.screen, Help)
        assert "WIDTH" in driver.words("#help")
        await driver.type("rolled")
        words = driver.words("#help")
        assert "WIDTH" not in words
        assert "asked in step 10" in words
        assert_inches(driver.rows())
        await driver.press("pagedown", "pageup", "ctrl+end", "ctrl+home")
        assert driver.words("#help") == words
        await driver.press("escape")
        assert "WIDTH" in driver.words("#help")
        await driver.type("q")
        assert isinstance(driver.screen, Help)
        await driver.press("escape", "escape")
        assert driver.desk.path == "plate.width"


async def test_the_first_screen_has_it_too(tmp_path: Path) -> None:
    async with program(tmp_path, size=NARROW) as driver:
        await driver.press("f1", *"demo")
        assert "the first screen" not in driver.words("#help")
        await driver.press(*["backspace"] * 4, *"quit")
        await driver.press("enter")
        assert not isinstance(driver.screen, Help)
