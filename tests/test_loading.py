"""Loading without looking for garbage: it is looked for again afterwards, whatever happens."""

import gc
import os
import subprocess
import sys
from collections.abc import Iterator

import pytest

from tests.test_imports import TOP
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


def threads(code: str) -> int:
    # as Linux counts the tasks of a process, not as we do
    count = "import os; print(len(os.listdir('/proc/self/task')))"
    kept = {name: value for name, value in os.environ.items() if "NUM_THREADS" not in name}
    done = subprocess.run(
        [sys.executable, "-c", f"{code}; {count}"],
        cwd=TOP, env=kept, capture_output=True, text=True, check=True,
    )  # fmt: skip
    return int(done.stdout.splitlines()[-1])


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux lists the tasks there")
def test_a_command_starts_no_threads_to_multiply_matrices() -> None:
    run = "import tui.command; tui.command.main(['report', 'projects/boathouse.toml'])"
    assert threads(run) == 1
    cores = len(os.sched_getaffinity(0))
    # else the test would see none either way; a numpy that is built otherwise starts none by itself
    assert threads("import numpy") in (1, cores)
