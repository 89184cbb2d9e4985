"""What nobody has taken yet in a new lock, and what is kept: it comes back from the file; the lock is the same one."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import BadFileError
from core.files import claims
from core.files.claims import give_back
from core.files.project_file import Project, load, save
from core.files.project_reading import read_text
from core.files.recovery import load_recovery
from core.lock.lock import Lock, specs
from core.lock.walk import KEPT, UNSEEN, Mark
from core.shipped import sample_locks
from tests.counts import tries
from tests.sure import sure
from tui.desk.desk import Desk
from tui.desk.saving import keep_copy, saved
from tui.desk.session import Session, opened


@pytest.fixture(autouse=True)
def given_back() -> Iterator[None]:
    """Give the seats back that a saved lock has, as the program does on its way out."""
    yield
    for path in list(claims._claims):
        give_back(path)


PATHS = st.frozensets(st.sampled_from(sorted(specs())), max_size=40)


def new(pending: frozenset[str], held: frozenset[str] = frozenset()) -> Session:
    return Session(Lock(), Project(None, Lock()), pending=pending, held=held)


@settings(max_examples=tries(5, 60))
@given(PATHS, PATHS)
def test_what_is_unseen_and_kept_comes_back(
    tmp_path_factory: pytest.TempPathFactory, pending: frozenset[str], held: frozenset[str]
) -> None:
    file = tmp_path_factory.mktemp("walk") / "lock.toml"
    kept, _ = saved(new(pending, held), file)
    again = opened(load(file))
    assert (again.pending, again.held) == (pending, held) == (kept.pending, kept.held)
    assert not again.dirty
    assert not again.notes
    assert again.lock == Lock()
    assert hash(again.lock) == hash(Lock())


def test_a_file_without_it_stays_as_it_is(tmp_path: Path) -> None:
    for path in sample_locks():
        project = load(path)
        assert project.lock.walk == ()
        text = path.read_text(encoding="utf-8")
        assert "walk" not in text
        kept, _ = saved(opened(project), tmp_path / path.name)
        assert sure(kept.project.path).read_text(encoding="utf-8") == text


def test_a_value_that_is_taken_is_the_makers_own_and_the_last_one_takes_the_table_away(
    tmp_path: Path,
) -> None:
    file = tmp_path / "lock.toml"
    pending = frozenset({"plate.width", "plate.outline"})
    saved(new(pending), file)
    noted = file.read_text(encoding="utf-8").replace("width = 76.0", "width = 76.0 # by rule")
    file.write_text(noted, encoding="utf-8")
    desk = Desk(opened(load(file))).at_path("plate.outline")
    assert desk.unseen(desk.step)
    desk = desk.accepted(desk.text)
    assert desk.session.pending == {"plate.width"}
    assert desk.session.dirty
    done, _ = saved(desk.session)
    assert not done.dirty
    assert opened(load(file)).pending == {"plate.width"}
    desk = replace(desk, session=done).at_path("plate.width").accepted("76")
    saved(desk.session)
    text = file.read_text(encoding="utf-8")
    assert "walk" not in text
    assert "# by rule" in text


def test_what_a_newer_program_marks_stays(tmp_path: Path) -> None:
    file = tmp_path / "lock.toml"
    marks = (Mark("doubted", "key.radius"), Mark(UNSEEN, "key.wards"), Mark(UNSEEN, "key.radius"))
    save(Project(None, replace(Lock(), walk=tuple(sorted(marks)))), file)
    session = opened(load(file))
    assert session.pending == {"key.radius"}
    assert not session.dirty
    saved(session.owned("key.radius"))
    assert set(load(file).lock.walk) == set(marks[:2])


def test_it_is_in_the_recovery_copy(tmp_path: Path) -> None:
    file = tmp_path / "lock.toml"
    saved(new(frozenset({"key.radius"})), file)
    session = opened(load(file))
    changed = session.changed(session.lock.with_value("key.shank", 5.0), "key.shank").owned(
        "key.radius"
    )
    keep_copy(replace(changed, held=frozenset({"key.shank"})))
    copy = sure(load_recovery(file, changed.seat))
    taken = session.changed(sure(copy.lock), what="again").of_lock(sure(copy.lock))
    assert (taken.pending, taken.held) == (frozenset(), frozenset({"key.shank"}))


@pytest.mark.parametrize("value", ['"radius shank"', "3", '""', '"radius,,shank"', "[1]"])
def test_what_names_no_keys_is_refused(value: str) -> None:
    with pytest.raises(
        BadFileError, match=r"walk\.unseen\.paths\.key = .* it takes keys of \[key\]"
    ):
        read_text(f"format = 1\n[walk.unseen.paths]\nkey = {value}\n")


def test_no_more_keys_are_read_than_any_lock_has() -> None:
    # a value of 2000 letters, more than all keys of a table take, and one letter more
    table, keys = "format = 1\n[walk.unseen.paths]\nkey =", ",".join(["radius"] * 285) + ",shank"
    assert len(keys) == 2000
    assert {m.path for m in read_text(f'{table} "{keys}"\n').lock.walk} == {
        "key.radius",
        "key.shank",
    }
    with pytest.raises(BadFileError, match="takes keys of") as refused:
        read_text(f'{table} "{keys}s"\n')
    assert len(str(refused.value)) < 400


def test_the_words_of_the_table() -> None:
    assert (UNSEEN, KEPT) == ("unseen", "kept")  # a file holds them
    lock = read_text('format = 1\n[walk.kept.paths]\nkey = "radius, shank"\nlock = "title"\n').lock
    assert {m.path for m in lock.walk} == {"key.radius", "key.shank", "title"}
