"""Loading without looking for garbage: it is looked for again afterwards, whatever happens."""

import gc
from collections.abc import Iterator

import pytest

from tui.command import main
from tui.commands._loading import loading


@pytest.fixture(autouse=True)
def _thawed() -> Iterator[None]:
    yield
    gc.unfreeze()


def test_garbage_is_looked_for_again_and_not_among_what_was_loaded() -> None:
    assert gc.isenabled()
    with loading():
        assert not gc.isenabled()
    assert gc.isenabled()
    assert gc.get_freeze_count() > 10_000


def test_it_is_looked_for_again_where_loading_fails() -> None:
    with pytest.raises(ImportError), loading():
        raise ImportError("no such thing")
    assert gc.isenabled()


def test_who_looks_for_none_is_left_alone() -> None:
    gc.disable()
    try:
        with loading():
            pass
        assert not gc.isenabled()
    finally:
        gc.enable()


def test_a_command_runs_with_garbage_looked_for(capsys: pytest.CaptureFixture[str]) -> None:
    main(["report", "projects/boathouse.toml"])
    assert gc.isenabled()
    assert gc.get_freeze_count() > 10_000
    assert "boathouse" in capsys.readouterr().out.lower()
