"""Settings of all tests."""

import gc
from collections import Counter
from pathlib import Path
from uuid import uuid4

import pytest
from hypothesis import settings
from xdist.remote import Producer
from xdist.scheduler.loadfile import LoadFileScheduling

# modules to lay into the rooms of the program, which only there can be imported
collect_ignore = ["second_kind"]

# a test that fails because the machine was busy says nothing of the program: no deadline. The cases are drawn, but are
# the same on every run: what is red stays red, and nothing is red by chance. To look farther, draw others with
# `--hypothesis-profile=chance`, and keep as an example what that finds.
# `--hypothesis-profile=full` takes the full counts, here and in `tests/counts.py`; .ci/run does
settings.register_profile("default", deadline=None, max_examples=6, derandomize=True)
settings.register_profile("full", deadline=None, max_examples=100, derandomize=True)
settings.register_profile("chance", deadline=None, max_examples=100)
settings.load_profile("default")


LONGEST = {"test_at_random_long.py", "test_tui_keys.py", "test_faults.py", "test_first_stop.py"}
"""Files that take minutes with their slow tests: begun first, and their tests dealt out one by one.

Else one worker would go on with one of them, and with the next that waits behind it, long after the rest has ended.
"""
LONG = {
    "test_kills.py", "test_evidence.py", "test_measured_play.py", "test_openings.py", "test_filing.py",
    "test_propose.py", "test_after_release.py", "test_sheets_any_lock.py", "test_at_random.py", "test_payloads.py",
    "test_reader_fuzz.py", "test_room_map.py", "test_rescue_promises.py", "test_numbers_as_approved.py",
    "test_turned_ends.py", "test_inches.py",
}  # fmt: skip
"""Files that take a minute: begun next, so that what is left at the end are the short ones."""


class ByFile(LoadFileScheduling):  # type: ignore[misc]  # xdist ships no types
    """Deals the tests out by file, but those of the longest files one by one."""

    def _split_scope(self, nodeid: str) -> str:
        file: str = super()._split_scope(nodeid)
        return nodeid if Path(file).name in LONGEST else file


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> LoadFileScheduling | None:
    """Deal the tests out so where they would be dealt out by file; else as is asked."""
    return ByFile(config, log) if config.getvalue("dist") == "loadfile" else None


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Leave the cases of a test after the `first` few to the slow ones, and begin with the longest files."""
    items.sort(key=lambda item: (item.path.name not in LONGEST, item.path.name not in LONG))
    seen: Counter[str] = Counter()
    for item in items:
        some = item.get_closest_marker("first")
        if some is None:
            continue
        test = item.nodeid.partition("[")[0]
        seen[test] += 1
        if seen[test] > some.args[0]:
            item.add_marker(pytest.mark.slow)


@pytest.hookimpl(trylast=True)
def pytest_collection_finish() -> None:
    """Let no collection of garbage look at the modules and tests again that are loaded now and stay to the end.

    It was a sixth of what a journey through the screens took; what is left unused is still found, if later.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 100)


@pytest.fixture
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Run in a folder of the test's own, with the terminal's colours left to the program."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.delenv("COLORFGBG", raising=False)


@pytest.fixture(autouse=True)
def _own_state(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let no test remember locks among the maker's own, nor be offered those of another test."""
    monkeypatch.setenv(
        "XDG_STATE_HOME", str(tmp_path_factory.getbasetemp() / f"state-{uuid4().hex}")
    )
