"""Renaming, moving and copying locks: all that is kept goes along, and nothing is lost, whatever fails."""

import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from core.errors import SaveError
from core.files import moving
from core.files.claims import beside, claim, give_back
from core.files.history_file import history_path, load_history, save_history
from core.files.project_file import Project, load, save
from core.files.recent import MOST, recent, recent_path, remember
from core.files.recovery import load_recoveries, recovery_path, save_recovery
from core.lock.history import History
from core.lock.lock import Lock
from tests.sure import sure

LATER = Lock().with_value("key.radius", 20.5)
UNSAVED = Lock().with_value("key.radius", 19.5)


def kept(folder: Path, name: str = "old.toml") -> Path:
    """Save a lock with a change to take back, the file of before, and unsaved work of two programs."""
    first = save(Project(None, Lock()), folder / name)
    done = save(first.with_lock(LATER))
    path = sure(done.path)
    save_history(History().changed(Lock(), LATER, "key.radius"), LATER, path, sure(done.source))
    save_recovery(UNSAVED, path)
    save_recovery(UNSAVED, path, seat="0000000a")
    os.utime(path, (1_600_000_000, 1_600_000_000))
    return path


def everything(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def assert_whole(path: Path) -> None:
    """Check that a lock has all that `kept` saved."""
    project = load(path)
    assert project.lock == LATER
    history = load_history(LATER, path, sure(project.source))
    assert history.note is None
    assert [step.lock for step in history.history.past] == [Lock()]
    copies = load_recoveries(path)
    assert {copy.seat for copy in copies} == {"", "0000000a"}
    assert all(copy.lock == UNSAVED for copy in copies)
    assert path.with_name(f"{path.name}~").exists()
    assert path.stat().st_mtime == 1_600_000_000


@pytest.mark.parametrize("place", ["new.toml", "kept/old.toml", "kept/other name.toml"])
def test_a_lock_moves_with_all_that_is_kept_beside_it(tmp_path: Path, place: str) -> None:
    old = kept(tmp_path)
    count = len(everything(tmp_path))
    moving.move_into(old, tmp_path / place)
    assert_whole(tmp_path / place)
    assert len(everything(tmp_path)) == count
    assert not any(name.startswith(("old", ".old")) for name in everything(tmp_path))


def test_a_copy_has_the_changes_and_leaves_the_lock_as_it_was(tmp_path: Path) -> None:
    old = kept(tmp_path)
    before = everything(tmp_path)
    moving.copy(old, tmp_path / "new.toml")
    assert_whole(old)
    assert before.items() <= everything(tmp_path).items()
    copied = load(tmp_path / "new.toml")
    assert copied.lock == LATER
    assert len(load_history(LATER, tmp_path / "new.toml", sure(copied.source)).history.past) == 1
    assert not load_recoveries(tmp_path / "new.toml")


def of_the_lock(path: Path) -> Path:
    return path


TAKEN: list[Callable[[Path], Path]] = [
    of_the_lock, history_path, recovery_path, lambda path: recovery_path(path, "0000000b"),
]  # fmt: skip


@pytest.mark.parametrize("do", [moving.move, moving.move_into, moving.copy])
@pytest.mark.parametrize("taken", TAKEN)
def test_nothing_is_written_over(
    tmp_path: Path, do: Callable[[Path, Path], None], taken: Callable[[Path], Path]
) -> None:
    old = kept(tmp_path)
    save_recovery(UNSAVED, tmp_path / "other.toml")
    stands = taken(tmp_path / "new.toml")
    stands.write_bytes((tmp_path / ".other.toml.recovery").read_bytes())
    before = everything(tmp_path)
    with pytest.raises(SaveError, match="already, which is not written over"):
        do(old, tmp_path / "new.toml")
    assert everything(tmp_path) == before


def test_what_cannot_be_is_refused_in_a_sentence(tmp_path: Path) -> None:
    old = kept(tmp_path)
    before = everything(tmp_path)
    with pytest.raises(SaveError, match=r"old\.toml was not moved: there is no folder"):
        moving.move(old, tmp_path / "no" / "old.toml")
    with pytest.raises(SaveError, match="was not moved: No such file"):
        moving.move_into(old, tmp_path / "no" / "such" / "old.toml")
    with pytest.raises(SaveError, match=r"gone\.toml was not copied: No such file"):
        moving.copy(tmp_path / "gone.toml", tmp_path / "new.toml")
    (tmp_path / "link.toml").symlink_to(old)
    with pytest.raises(SaveError, match="it leads to another file"):
        moving.move(tmp_path / "link.toml", tmp_path / "new.toml")
    (tmp_path / "link.toml").unlink()
    held = beside(old, "open", "0000000a")
    assert claim(held)
    try:
        with pytest.raises(SaveError, match="it is open in another window"):
            moving.move(old, tmp_path / "new.toml")
    finally:
        give_back(held)
    assert everything(tmp_path) == before


@pytest.mark.parametrize("call", ["unlink", "fsync", "utime", "open"])
@pytest.mark.first(1)
def test_whatever_fails_the_lock_is_whole_in_one_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str
) -> None:
    """Each call of a kind fails in its turn: the lock and all beside it are whole where it was, or where it went."""
    real, told = getattr(os, call), list[str]()
    for number in range(40):
        folder = tmp_path / f"{call}{number}"
        folder.mkdir()
        old, new, count = kept(folder), folder / "new.toml", 0

        def failing(*args: object, number: int = number, **named: object) -> object:
            nonlocal count
            count += 1
            if count == number + 1:
                raise OSError(errno.ENOSPC, "No space left on device")
            return real(*args, **named)

        with monkeypatch.context() as patched:
            patched.setattr(os, call, failing)
            try:
                moving.move(old, new)
            except SaveError as error:
                told.append(str(error))
        if old.exists():
            project = load(old)
            assert project.lock == LATER
            if call != "unlink":  # then some may have gone to the new place already
                assert_whole(old)
                assert not new.exists()
        else:
            assert_whole(new)
        if count <= number:
            break
    assert told
    assert all("No space left on device" in text for text in told)


@pytest.mark.slow
def test_the_locks_worked_on_last_are_remembered(tmp_path: Path) -> None:
    assert recent() == ()
    paths = [kept(tmp_path, f"{number}.toml") for number in range(MOST + 2)]
    for path in paths:
        remember(path)
    assert recent() == tuple(reversed(paths))[:MOST]
    remember(paths[5])
    assert recent()[0] == paths[5]
    moving.move(paths[5], tmp_path / "new.toml")
    assert paths[5] not in recent()
    remember(tmp_path / "new.toml", gone=paths[5])
    assert recent()[0] == tmp_path / "new.toml"
    assert recent_path().stat().st_mode & 0o077 == 0
    recent_path().write_bytes(b"\xff\xfe\n" + os.fsencode(paths[0]) + b"\nrelative.toml\n\n")
    assert recent() == (paths[0],)


def test_a_list_that_cannot_be_written_stands_in_no_way(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("no folder")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "file"))
    remember(kept(tmp_path))
    assert recent() == ()
