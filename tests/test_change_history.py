"""Changes taken back and made again, in a sitting and after reloading."""

import hashlib
import json
import os
import random
import tomllib
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from hypothesis import given
from hypothesis import strategies as st

from core.errors import SaveError
from core.files.end_mark import check_line
from core.files.history_file import (
    LARGEST,
    MOST_STEPS,
    drop_history,
    history_path,
    load_history,
    save_history,
)
from core.files.project_file import Project, load, save
from core.files.project_text import END
from core.lock.facts import with_measured
from core.lock.history import History
from core.lock.lock import Lock
from core.made.marking import mark_made
from core.shipped import sample_locks
from tests.locks import changed, changes
from tests.sure import sure

TEXT = "as it stands in the file"


def stepped(edits: list[dict[str, object]], lock: Lock | None = None) -> tuple[History, list[Lock]]:
    locks, history = [lock or Lock()], History()
    for edit in edits:
        after = changed(locks[-1], edit)
        if after != locks[-1]:
            history = history.changed(locks[-1], after, next(iter(edit)))
            locks.append(after)
    return history, locks


@given(st.lists(changes().filter(bool), max_size=8))
def test_every_change_can_be_taken_back_and_made_again(edits: list[dict[str, object]]) -> None:
    history, locks = stepped(edits)
    now, there = locks[-1], history
    for lock in reversed(locks[:-1]):
        there, now = there.undone(now)
        assert now == lock
    assert there.undone(now) == (there, now)
    for lock in locks[1:]:
        there, now = there.redone(now)
        assert now == lock
    assert there.redone(now) == (there, now)
    assert there == history


def test_a_new_change_forgets_what_was_taken_back() -> None:
    history, locks = stepped([{"key.radius": 21.0}, {"bolt.depth": 9.0}])
    back, now = history.undone(locks[-1])
    fresh = back.changed(now, now.with_value("key.shank", 5.0), "key.shank")
    assert [step.what for step in fresh.past] == ["key radius", "shank"]
    assert fresh.ahead == ()


def test_nudges_of_one_value_are_one_step() -> None:
    history, lock = History(), Lock()
    for radius in (20.1, 20.2, 20.3):
        after = lock.with_value("key.radius", radius)
        history, lock = history.changed(lock, after, "key.radius", small=True), after
    assert len(history.past) == 1
    assert history.undone(lock)[1] == Lock()
    apart = history.closed().changed(
        lock, lock.with_value("key.radius", 20.4), "key.radius", small=True
    )
    assert len(apart.past) == 2
    # nudged back to where it began, it is no change any more
    assert history.changed(lock, Lock(), "key.radius", small=True) == History()
    assert history.changed(lock, lock, "key.radius") == history


def test_steps_have_names() -> None:
    made = mark_made(Lock(), "bolt")
    history = History().changed(Lock(), made, what="bolt marked as made")
    history = history.changed(made, made.with_value("pivot.below", 54.4), "pivot.below")
    assert [step.what for step in history.past] == ["bolt marked as made", "pivot below"]
    with pytest.raises(KeyError):
        history.changed(made, Lock(), "pivot.beside")


@pytest.mark.parametrize("sample", sample_locks(), ids=lambda path: path.stem)
def test_a_change_and_its_undo_leave_the_file_as_it_was(tmp_path: Path, sample: Path) -> None:
    path = tmp_path / "lock.toml"
    path.write_bytes(sample.read_bytes())
    project = load(path)
    after = project.lock.with_value("pivot.below", 54.4)
    history = History().changed(project.lock, after, "pivot.below")
    back, lock = history.undone(after)
    assert lock == project.lock
    save(project.with_lock(lock))
    assert path.read_bytes() == sample.read_bytes()
    # saved in between as well, where the program wrote the file and its numbers
    own = save(Project(None, load(sample).lock), tmp_path / "own.toml")
    before = (tmp_path / "own.toml").read_bytes()
    changed_one = save(own.with_lock(after))
    assert (tmp_path / "own.toml").read_bytes() != before
    save(changed_one.with_lock(back.undone(lock)[1]))
    assert (tmp_path / "own.toml").read_bytes() == before


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("histories")


@given(st.lists(changes().filter(bool), max_size=6), st.integers(0, 6))
def test_it_comes_back_after_reloading(
    folder: Path, edits: list[dict[str, object]], taken: int
) -> None:
    history, locks = stepped(edits, mark_made(Lock(), "key"))
    now = locks[-1]
    for _ in range(taken):
        history, now = history.undone(now)
    save_history(history, now, folder / "lock.toml", TEXT)
    kept = load_history(now, folder / "lock.toml", TEXT)
    assert kept.note is None
    assert kept.history == history


def test_made_parts_come_back_too(tmp_path: Path) -> None:
    place = tmp_path / "lock.toml"
    made = mark_made(Lock(), "back_plate")
    measured = with_measured(made, "back_plate", "pivot.below", 54.4)
    history = (
        History().changed(Lock(), made, what="marked").changed(made, measured, what="measured")
    )
    save_history(history, measured, place, TEXT)
    assert load_history(measured, place, TEXT).history == history
    assert history_path(place).name == ".lock.toml.history"
    assert (
        tomllib.loads(history_path(place).read_text())["of"]
        == hashlib.sha256(TEXT.encode()).hexdigest()
    )


def test_a_file_that_was_edited_elsewhere_gets_none(tmp_path: Path) -> None:
    place = tmp_path / "lock.toml"
    history, locks = stepped([{"key.radius": 21.0}])
    save_history(history, locks[-1], place, TEXT)
    kept = load_history(locks[-1], place, TEXT + " ")
    assert kept.history == History()
    assert kept.note is not None
    assert "changed elsewhere" in kept.note.text
    assert history_path(place).exists()


def test_no_history_is_no_finding_and_an_empty_one_no_file(tmp_path: Path) -> None:
    place = tmp_path / "lock.toml"
    assert load_history(Lock(), place, TEXT).note is None
    history, locks = stepped([{"key.radius": 21.0}])
    save_history(history, locks[-1], place, TEXT)
    save_history(History(), Lock(), place, TEXT)
    assert list(tmp_path.iterdir()) == []
    drop_history(place)


def written(whole: dict[str, object]) -> bytes:
    """Return a history as the program writes it."""
    return f"{tomli_w.dumps(whole)}{check_line(whole)}\n{END}\n".encode()


def test_a_history_of_an_earlier_program_is_read(tmp_path: Path) -> None:
    place = tmp_path / "lock.toml"
    history, locks = stepped([{"key.radius": 21.0}, {"tooth.roof": "scribed"}])
    save_history(history, locks[-1], place, TEXT)
    whole = tomllib.loads(history_path(place).read_text())
    del whole["texts"]
    history_path(place).write_text(json.dumps(whole))
    assert load_history(locks[-1], place, TEXT).history == history


def test_damage_of_any_kind_gives_none_and_no_error(tmp_path: Path) -> None:
    place = tmp_path / "lock.toml"
    history, locks = stepped(
        [{"key.radius": 21.0}, {"tooth.roof": "scribed"}, {"plate.points": ((1.0, 2.0),)}]
    )
    save_history(history, locks[-1], place, TEXT)
    good = history_path(place).read_bytes()
    rng = random.Random(7)  # noqa: S311 - nothing secret is made here
    spoilt = [good[:cut] for cut in range(len(good))]
    for _ in range(400):
        changed_byte = bytearray(good)
        changed_byte[rng.randrange(len(changed_byte))] = rng.randrange(256)
        spoilt.append(bytes(changed_byte))
    spoilt += [
        b"[" * 100_000,
        b"null",
        b"3",
        b"{}",
        b"\xff\xfe",
        b'{"format": 1}',
        b"x" * (LARGEST + 5),
    ]
    whole = tomllib.loads(good.decode())
    other: Any
    wrong: Any
    for side in ("past", "ahead"):
        for other in (3, "x", [3], ["x"], [{}], [{"what": 1}], {"a": 1}):
            spoilt.append(written({**whole, side: other}))
            spoilt.append(json.dumps({**whole, side: other}).encode())
    spoilt += [written({**whole, "texts": wrong}) for wrong in (3, {"a": 3}, {"a": {"b": ["c"]}})]
    step = whole["past"][0]
    for key, wrong in (
        ("set", {"key.radius": -1}), ("set", {"key.colour": 1}), ("set", {"key.radius": float("nan")}),
        ("set", []), ("tables", {"made": 3}), ("tables", {"none": {}}), ("path", "key.colour"), ("path", []),
    ):  # fmt: skip
        spoilt.append(written({**whole, "past": [{**step, key: wrong}]}))
    refused = 0
    for data in spoilt:
        history_path(place).write_bytes(data)
        kept = load_history(locks[-1], place, TEXT)
        assert (kept.note is None) or (kept.history == History())
        refused += kept.note is not None
    assert refused > len(good)


@pytest.mark.parametrize(
    ("path", "stands"),
    [("posts.a", True), ("posts.a.across", True), ("", True), ("posts.a.colour", False), ("posts", False)],
)  # fmt: skip
def test_a_step_is_of_a_whole_row_or_of_a_size_that_a_prompt_asks_for(
    tmp_path: Path, path: str, stands: bool
) -> None:
    place = tmp_path / "lock.toml"
    history, locks = stepped([{"key.radius": 21.0}])
    save_history(history, locks[-1], place, TEXT)
    whole = tomllib.loads(history_path(place).read_text("utf-8"))
    whole["past"][0]["path"] = path
    history_path(place).write_bytes(written(whole))
    assert (load_history(locks[-1], place, TEXT).note is None) == stands


@pytest.mark.parametrize(("size", "why"), [(256_000, "is damaged"), (256_001, "far too large")])
def test_a_history_of_more_than_256000_bytes_is_not_read(
    tmp_path: Path, size: int, why: str
) -> None:
    place = tmp_path / "lock.toml"
    history_path(place).write_bytes(b"x" * size)
    assert why in sure(load_history(Lock(), place, TEXT).note).text


def test_it_is_bounded_and_keeps_what_is_near(tmp_path: Path) -> None:
    place = tmp_path / "lock.toml"
    history, lock = History(), Lock()
    for count in range(MOST_STEPS + 50):
        after = lock.with_value("notes", f"{count} " + "x" * 3000)
        history, lock = history.changed(lock, after, "notes"), after
    assert len(history.past) == MOST_STEPS + 50
    save_history(history, lock, place, TEXT)
    assert history_path(place).stat().st_size <= LARGEST
    kept = load_history(lock, place, TEXT).history
    assert 10 < len(kept.past) < MOST_STEPS
    assert kept.past == history.past[-len(kept.past) :]


def test_the_500_nearest_steps_are_kept(tmp_path: Path) -> None:
    place = tmp_path / "lock.toml"
    history, lock = History(), Lock()
    for count in range(1, 505):
        after = lock.with_value("key.radius", 20.0 + count % 7)
        history, lock = history.changed(lock, after, "key.radius"), after
    assert len(history.past) == 504
    save_history(history, lock, place, TEXT)
    assert load_history(lock, place, TEXT).history.past == history.past[-500:]


def test_a_history_of_just_256000_bytes_is_kept_whole_and_one_byte_more_is_not(
    tmp_path: Path,
) -> None:
    place = tmp_path / "lock.toml"

    def kept(long: int) -> tuple[int, int]:
        """Return the bytes and the steps that are kept of eight steps, the oldest with notes so long."""
        history, lock = History(), Lock()
        for count in range(8):
            after = lock.with_value("notes", "x" * (long if count == 0 else 20_000 + count))
            history, lock = history.changed(lock, after, "notes"), after
        save_history(history, lock, place, TEXT)
        return history_path(place).stat().st_size, len(load_history(lock, place, TEXT).history.past)

    bytes_short, _ = kept(20_000)
    fits = 20_000 + 256_000 - bytes_short
    assert kept(fits) == (256_000, 8)
    assert kept(fits + 1)[1] < 8


def test_a_folder_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    history, locks = stepped([{"key.radius": 21.0}])
    with pytest.raises(SaveError, match="was not written"):
        save_history(history, locks[-1], tmp_path / "none" / "lock.toml", TEXT)
    os.mkfifo(history_path(tmp_path / "pipe.toml"))
    assert "no plain file" in str(load_history(Lock(), tmp_path / "pipe.toml", TEXT).note)
