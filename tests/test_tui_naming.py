"""Names of files and folders as they are typed: no text whatever ends the program."""

import contextlib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import BadEntryError
from tui.desk.naming import file_named, folder_named
from tui.desk.session import Session
from tui.sheets.job import ordered
from tui.sheets.state import Choice, State


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("gate", "gate.toml"), (" gate ", "gate.toml"), ("gate.toml", "gate.toml"), ("a/gate", "a/gate.toml"),
        (".gate", ".gate.toml"), ("gate.", "gate..toml"), ("\u202egate\x1b[2J", "gate[2J.toml"),
    ],
)  # fmt: skip
def test_a_name_gets_the_ending_of_a_project_file(text: str, name: str) -> None:
    assert str(file_named(text)) == name


@pytest.mark.parametrize("text", ["", "  ", ".", "..", "a/..", "/", "a/", "~nobody-of-that-name"])
def test_a_name_that_no_file_can_have_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(BadEntryError) as refusal:
        file_named(text)
    assert "\n" not in str(refusal.value)


def test_the_makers_own_folder_is_a_tilde(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))  # POSIX.1-2017, 2.6.1: Tilde Expansion
    assert folder_named("~/sheets") == tmp_path / "sheets"
    assert file_named("~/gate") == tmp_path / "gate.toml"


@given(st.text(max_size=20))
def test_any_text_is_a_name_or_a_refusal(text: str) -> None:
    for read in (file_named, folder_named):
        with contextlib.suppress(BadEntryError):
            assert isinstance(read(text), Path)


def test_nothing_is_ordered_without_a_folder_or_a_sheet() -> None:
    for folder, names in ((" ", ("bolt",)), ("here", ()), ("~nobody-of-that-name", ("bolt",))):
        with pytest.raises(BadEntryError):
            ordered(Session(), folder, _chosen("A4", names))
    order = ordered(Session(), " here ", _chosen("Letter", ("bolt", "report")))
    assert (str(order.folder), order.paper, order.names) == ("here", "Letter", ("bolt", "report"))


def _chosen(paper: str, names: tuple[str, ...]) -> State:
    return State(paper).offering(tuple(Choice(name, "") for name in names), frozenset(names))
