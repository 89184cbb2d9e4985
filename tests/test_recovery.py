"""The recovery copy: there when it is needed, and never in the way."""

import os
import re
import stat
from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from core.errors import SaveError
from core.files.project_file import Project, load, save
from core.files.project_text import fresh_text
from core.files.recovery import (
    Typed,
    drop_recovery,
    load_recoveries,
    load_recovery,
    recovery_path,
    save_recovery,
)
from core.lock.lock import Lock
from core.lock.row_changes import made_row, renamed_row, with_row
from tests.counts import tries
from tests.locks import locks, posted


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


@pytest.mark.slow
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


def test_it_holds_fields_that_project_files_know_nothing_of(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    @dataclass(frozen=True)
    class Lever:
        name: str
        at: tuple[float, ...] = ()
        note: str | None = None

    @dataclass(frozen=True)
    class Odd(Lock):
        levers: tuple[Lever, ...] = ()
        colour: str = "none"

    monkeypatch.setitem(globals(), "Lever", Lever)  # where the type hints look
    for module in ("core.files.recovery", "core.files.project_reading"):
        monkeypatch.setattr(f"{module}.Lock", Odd)
    lock = Odd(title="Odd", levers=(Lever("a", (1.0, 2.5)), Lever("b", (), "said")), colour="blue")
    assert load_recovery(tmp_path) is None
    save_recovery(lock, tmp_path)
    found = load_recovery(tmp_path)
    assert found is not None
    assert found.lock == lock
    text = found.path.read_text()
    found.path.write_text(text.replace("colour", "flavour"))
    spoilt = load_recovery(tmp_path)
    assert spoilt is not None
    assert spoilt.lock is None
    assert spoilt.note is not None
    assert "flavour" in spoilt.note.text


def test_what_does_not_read_back_is_refused_and_the_older_copy_stays(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    save_recovery(Lock(title="Old"), project)
    monkeypatch.setattr("core.files.recovery.to_tree", lambda _: "spoilt")
    with pytest.raises(SaveError, match="was not written"):
        save_recovery(Lock(title="New"), project)
    monkeypatch.undo()
    real = Path.read_bytes
    monkeypatch.setattr(
        Path, "read_bytes", lambda path: real(path)[: -1 if path.suffix == ".saving" else None]
    )
    with pytest.raises(SaveError, match="does not read back"):
        save_recovery(Lock(title="New"), project)
    found = load_recovery(project)
    assert found is not None
    assert found.lock == Lock(title="Old")


def test_what_was_typed_comes_back_too(project: Path) -> None:
    typed = Typed("plate.width", '8x "\x1b[2J')
    save_recovery(Lock(title="New"), project, typed=typed)
    found = load_recovery(project)
    assert found is not None
    assert (found.lock, found.typed) == (Lock(title="New"), typed)


def test_a_copy_of_an_earlier_program_is_read(project: Path) -> None:
    recovery_path(project).write_text(fresh_text(Lock(title="New")))
    found = load_recovery(project)
    assert found is not None
    assert found.lock == Lock(title="New")
    assert found.typed is None


def test_a_flipped_number_is_told_and_the_work_still_there(project: Path) -> None:
    save_recovery(Lock(title="New"), project)
    copy = recovery_path(project)
    copy.write_text(copy.read_text().replace("key_clearance = 0.2", "key_clearance = 2.2"))
    found = load_recovery(project)
    assert found is not None
    assert found.lock is not None
    assert found.note is not None
    assert found.note.code == "changed-outside"


def test_seats_do_not_share_a_copy(project: Path, tmp_path: Path) -> None:
    for number, place in enumerate((project, tmp_path)):
        for title, seat, time in (("One", "", 2), ("Two", "00000002", 1), ("Three", "00000003", 3)):
            save_recovery(Lock(title=f"{title} {number}"), place, seat=seat)
            os.utime(recovery_path(place, seat), (time, time))
        found = load_recoveries(place)
        assert [copy.lock and copy.lock.title for copy in found] == [
            f"{title} {number}" for title in ("Three", "One", "Two")
        ]
        assert [copy.seat for copy in found] == ["00000003", "", "00000002"]
        drop_recovery(place, "00000003")
        assert len(load_recoveries(place)) == 2
    # a lock with a name that goes on like a seat is not taken for one
    save_recovery(Lock(title="Other"), tmp_path / "gate.toml.other.toml")
    assert len(load_recoveries(project)) == 2


def test_where_none_can_be_written_it_says_so(tmp_path: Path) -> None:
    with pytest.raises(SaveError, match="was not written"):
        save_recovery(Lock(), tmp_path / "none" / "gate.toml")
    with pytest.raises(SaveError, match="half a character"):
        save_recovery(Lock(title="\udc00"), tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_it_knows_each_row_of_the_file_by_the_name_that_it_has_there(tmp_path: Path) -> None:
    place = tmp_path / "gate.toml"
    first = save(Project(None, posted((10.0, 20.0), (-12.5, 5.0))), place)
    place.write_text(place.read_text().replace("[posts.a]", "[posts.a]   # drilled by hand"))
    lock = renamed_row(load(place).lock, "posts", "a", "upper")
    lock = with_row(lock, "posts", "a", made_row("posts", "a", {"across": 1.0, "above": 2.0}))
    save_recovery(lock, place)
    found = load_recovery(place)
    assert found is not None
    assert found.lock == lock
    was = {named.name: named.was for named in found.lock.rows.of("posts")}
    assert was == {"upper": "a", "b": "b", "a": ""}
    save(load(place).with_lock(found.lock), over=True)
    assert re.search(r"\[posts.upper\] +# drilled by hand", place.read_text())
    assert first.lock != found.lock
    copy = recovery_path(place)
    save_recovery(lock, place)
    text = copy.read_text()
    for wrong in ("upper = 3", "[recovery.rows.none]"):
        copy.write_text(text.replace('upper = "a"', wrong))
        spoilt = load_recovery(place)
        assert spoilt is not None
        assert spoilt.lock is None
