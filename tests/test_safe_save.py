"""Saving: the old content or the new is there whole, whatever happens, and nobody's work is lost."""

import contextlib
import errno
import hashlib
import os
import random
import resource
import stat
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from core.errors import SaveError
from core.files.safe_save import ChangedOnDiskError, replace_file, save_over, sweep

NOBODY = 65534


@contextlib.contextmanager
def without_rights(folder: Path) -> Iterator[None]:
    """Let nobody, not even the superuser that a test may run as, write to the folder."""
    mode = stat.S_IMODE(folder.stat().st_mode)
    folder.chmod(0o555)
    if os.geteuid() == 0:
        os.seteuid(NOBODY)
        try:
            yield
        finally:
            os.seteuid(0)
    else:
        yield
    folder.chmod(mode)


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that every user can reach, which pytest's own are not."""
    with tempfile.TemporaryDirectory() as name:
        Path(name).chmod(0o755)
        yield Path(name)


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def mode_of(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_a_new_file(tmp_path: Path) -> None:
    old = os.umask(0o027)
    try:
        save_over(tmp_path / "a", b"one", None)
    finally:
        os.umask(old)
    assert names(tmp_path) == ["a"]
    assert (tmp_path / "a").read_bytes() == b"one"
    assert mode_of(tmp_path / "a") == 0o640


def test_the_old_content_and_the_mode_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"one")
    path.chmod(0o604)
    save_over(path, b"two", b"one")
    save_over(path, b"three", b"two")
    assert names(tmp_path) == ["a", "a~"]
    assert path.read_bytes() == b"three"
    assert (tmp_path / "a~").read_bytes() == b"two"
    assert mode_of(path) == mode_of(tmp_path / "a~") == 0o604


def test_what_is_saved_already_is_not_touched(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"one")
    os.utime(
        path, ns=(0, 0)
    )  # long ago, so that a touch would show; a read may set the time of access
    before = path.stat()
    save_over(path, b"one", b"one")
    after = path.stat()
    assert (after.st_ino, after.st_mtime_ns, after.st_mode) == (
        before.st_ino,
        before.st_mtime_ns,
        before.st_mode,
    )
    assert names(tmp_path) == ["a"]


def test_what_somebody_else_wrote_is_not_lost(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"theirs")
    with pytest.raises(ChangedOnDiskError, match="changed on the disk"):
        save_over(path, b"mine", b"one")
    with pytest.raises(ChangedOnDiskError, match="is there already"):
        save_over(path, b"mine", None)
    assert names(tmp_path) == ["a"]
    assert path.read_bytes() == b"theirs"
    save_over(path, b"mine", b"one", over=True)
    assert path.read_bytes() == b"mine"
    assert (tmp_path / "a~").read_bytes() == b"theirs"


def test_a_file_that_is_gone_is_written_anew(tmp_path: Path) -> None:
    save_over(tmp_path / "a", b"two", b"one")
    assert (tmp_path / "a").read_bytes() == b"two"


def test_a_link_is_followed(tmp_path: Path) -> None:
    real, link = tmp_path / "real", tmp_path / "folder" / "link"
    link.parent.mkdir()
    real.write_bytes(b"one")
    link.symlink_to(real)
    save_over(link, b"two", b"one")
    assert link.is_symlink()
    assert real.read_bytes() == b"two"
    assert names(tmp_path) == ["folder", "real", "real~"]
    assert names(link.parent) == ["link"]


@pytest.mark.parametrize(
    ("name", "why"),
    [
        (".", "a folder"),
        ("none/a", "its folder is not there"),
        ("file/a", "its folder is not there"),
        ("n" * 300, "its name is too long"),
        ("loop", "leads back to itself"),
        ("nul\0", "no file can have this name"),
    ],
)
def test_where_nothing_can_be_written_it_says_why(tmp_path: Path, name: str, why: str) -> None:
    (tmp_path / "file").write_bytes(b"")
    (tmp_path / "loop").symlink_to("loop")
    with pytest.raises(SaveError, match=why) as refused:
        save_over(tmp_path / name, b"x", None)
    assert str(refused.value).isprintable()
    assert names(tmp_path) == ["file", "loop"]


def test_a_folder_without_permission(open_folder: Path) -> None:
    path = open_folder / "a"
    path.write_bytes(b"one")
    path.chmod(0o666)
    with without_rights(open_folder), pytest.raises(SaveError, match="cannot be written to"):
        save_over(path, b"two", b"one")
    assert path.read_bytes() == b"one"
    assert names(open_folder) == ["a"]


def test_a_file_protected_against_writing(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"one")
    path.chmod(0o444)
    with pytest.raises(SaveError, match="protected"):
        save_over(path, b"two", b"one")
    assert path.read_bytes() == b"one"


def test_a_file_that_cannot_be_read(open_folder: Path) -> None:
    path = open_folder / "a"
    path.write_bytes(b"one")
    path.chmod(0o200)
    with without_rights(open_folder), pytest.raises(SaveError, match="cannot be read"):
        save_over(path, b"two", None, over=True)


def test_a_limit_on_the_size_of_files(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"one")
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (10_000, hard))
    try:
        with pytest.raises(SaveError, match="larger than is allowed"):
            save_over(path, b"x" * 20_000, b"one")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert path.read_bytes() == b"one"
    assert [name for name in names(tmp_path) if name.endswith(".saving")] == []


@pytest.mark.parametrize("step", ["fsync", "replace"])
@pytest.mark.parametrize(
    "failure", [OSError(errno.ENOSPC, "No space left on device"), KeyboardInterrupt()], ids=str
)
def test_a_save_that_breaks_off_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, failure: BaseException
) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"one")

    def broken(*_: object) -> None:
        raise failure

    monkeypatch.setattr(os, step, broken)
    wanted = SaveError if isinstance(failure, OSError) else KeyboardInterrupt
    with pytest.raises(wanted) as refused:
        save_over(path, b"two", b"one")
    if isinstance(failure, OSError):
        assert "no room left on the disk" in str(refused.value)
    assert names(tmp_path) == ["a"]
    assert path.read_bytes() == b"one"


def test_the_content_is_on_the_disk_before_it_takes_the_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done = []
    real_fsync, real_replace = os.fsync, os.replace

    def fsync(handle: int) -> None:
        what = "folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file"
        done.append(f"flush {what}")
        real_fsync(handle)

    def replace(source: Path, target: Path) -> None:
        assert source.parent == target.parent  # another folder may be another disk
        done.append(f"place {target.name}")
        real_replace(source, target)

    monkeypatch.setattr(os, "fsync", fsync)
    monkeypatch.setattr(os, "replace", replace)
    (tmp_path / "a").write_bytes(b"one")
    save_over(tmp_path / "a", b"two", b"one")
    assert done == ["flush file", "place a~", "flush file", "place a", "flush folder"]


def test_what_a_crash_left_is_taken_away_in_time(tmp_path: Path) -> None:
    old, new, other = (
        tmp_path / name
        for name in (".boltwright-00.saving", ".boltwright-01.saving", ".boltwright-ee.keep")
    )
    old, new = (path.with_name(path.name.replace("0", "0" * 15, 1)) for path in (old, new))
    for path in (old, new, other):
        path.write_bytes(b"")
    for path in (old, other):
        os.utime(path, (time.time() - 3600,) * 2)
    save_over(tmp_path / "a", b"one", None)
    assert set(names(tmp_path)) == {"a", new.name, other.name}  # the new one may be in use


def test_what_a_killed_save_of_a_file_left_is_taken_away_by_whoever_has_it_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    used: list[Path] = []
    real = os.replace

    def note(old: Path, new: Path) -> None:
        used.append(Path(old))
        real(old, new)

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", note)
        for name in ("a", "b"):
            save_over(tmp_path / name, b"one", None)
    _own, other = used
    for left in used:
        left.write_bytes(b"half")
    # another program may be at work on the other file just now
    sweep(tmp_path / "a")
    assert names(tmp_path) == sorted(("a", "b", other.name))
    os.utime(other, (time.time() - 3600,) * 2)
    sweep(tmp_path / "a")
    assert names(tmp_path) == ["a", "b"]


def test_two_replacements_never_share_a_temporary_file(tmp_path: Path) -> None:
    replace_file(tmp_path / "a", b"one", None, flush=False)
    replace_file(tmp_path / "a", b"two", 0o600, flush=False)
    assert names(tmp_path) == ["a"]
    assert mode_of(tmp_path / "a") == 0o600


SAVER = """
import hashlib, pathlib, random, sys
from core.files.safe_save import save_over
path, rounds = pathlib.Path(sys.argv[1]), 100_000
while True:
    body = random.randbytes(random.randrange(1, 200_000))
    save_over(path, hashlib.sha256(body).digest() + body, None, over=True)
    print(flush=True)
"""


def is_whole(path: Path) -> bool:
    content = path.read_bytes()
    return hashlib.sha256(content[32:]).digest() == content[:32]


@pytest.mark.slow
def test_a_program_killed_while_it_saves_leaves_a_whole_file(tmp_path: Path) -> None:
    path = tmp_path / "a"
    chance = random.Random(7)  # noqa: S311 - moments to kill at, no secret
    for _ in range(25):
        saver = subprocess.Popen(
            [sys.executable, "-c", SAVER, str(path)],
            stdout=subprocess.PIPE,
            cwd=Path(__file__).parents[1],
        )
        with saver:
            assert saver.stdout is not None
            for _ in range(2):
                assert saver.stdout.readline() == b"\n"  # it does save
            time.sleep(chance.uniform(0, 0.02))
            saver.kill()
        assert is_whole(path)
        assert is_whole(tmp_path / "a~")
    for left in tmp_path.glob(".boltwright-*"):
        os.utime(left, (0, 0))
    save_over(path, b"", None, over=True)
    assert names(tmp_path) == ["a", "a~"]
