"""The recovery copy: there when it is needed, and never in the way."""

import os
import stat
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from core.errors import SaveError
from core.files.project_file import Project, load, save
from core.files.recovery import drop_recovery, load_recovery, recovery_path, save_recovery
from core.lock.lock import Lock
from tests.counts import tries
from tests.locks import locks


@pytest.fixture
def project(tmp_path: Path) -> Path:
    path = tmp_path / "gate.toml"
    save(Project(None, Lock(title="Gate")), path)
    return path


def test_it_stands_beside_the_file(project: Path, tmp_path: Path) -> None:
    assert recovery_path(project) == tmp_path / ".gate.toml.recovery"
    assert recovery_path(tmp_path).parent == tmp_path
    assert load_recovery(project) is None
    save_recovery(Lock(title="New"), project)
    found = load_recovery(project)
    assert found is not None
    assert found.lock == Lock(title="New")
    assert found.time == pytest.approx(os.stat(found.path).st_mtime)
    assert load(project).lock == Lock(title="Gate")
    drop_recovery(project)
    drop_recovery(project)
    assert load_recovery(project) is None
    assert sorted(path.name for path in tmp_path.iterdir()) == ["gate.toml"]


def test_a_link_and_its_file_have_the_same_copy(project: Path, tmp_path: Path) -> None:
    link = tmp_path / "link.toml"
    link.symlink_to(project)
    assert recovery_path(link) == recovery_path(project)


@given(lock=locks())
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=tries(8, 25))
def test_any_lock_comes_back(tmp_path: Path, lock: Lock) -> None:
    save_recovery(lock, tmp_path)
    found = load_recovery(tmp_path)
    assert found is not None
    assert found.lock == lock


def test_it_is_for_its_owner_only(project: Path) -> None:
    save_recovery(Lock(), project)
    assert stat.S_IMODE(recovery_path(project).stat().st_mode) == 0o600


def test_no_part_of_one_is_taken_for_a_lock(project: Path) -> None:
    save_recovery(Lock(title="New"), project)
    copy = recovery_path(project)
    content = copy.read_bytes()
    for length in range(0, len(content) - 1, 7):
        copy.write_bytes(content[:length])
        found = load_recovery(project)
        assert found is not None
        assert found.lock is None
        assert found.note is not None
        assert found.note.level == "note"
        assert str(copy) in found.note.text
        assert load(project).lock == Lock(title="Gate")
    assert copy.exists()


def test_one_that_is_a_folder_is_a_note(project: Path) -> None:
    recovery_path(project).mkdir()
    found = load_recovery(project)
    assert found is not None
    assert found.lock is None
    with pytest.raises(SaveError, match="was not written"):
        save_recovery(Lock(), project)
    with pytest.raises(SaveError, match="is still there"):
        drop_recovery(project)


def test_where_none_can_be_written_it_says_so(tmp_path: Path) -> None:
    with pytest.raises(SaveError, match="was not written"):
        save_recovery(Lock(), tmp_path / "none" / "gate.toml")
    with pytest.raises(SaveError, match="half a character"):
        save_recovery(Lock(title="\udc00"), tmp_path)
    assert list(tmp_path.iterdir()) == []
