"""The end mark: a file changed outside is told once, and no bit that flips changes a lock in silence."""

import random
import re
from pathlib import Path

import pytest

from core.errors import BadFileError
from core.files.project_file import load, save
from core.files.project_reading import read_text
from core.files.project_text import END, edited_text, fresh_text
from core.lock.lock import Lock, specs
from core.made.marking import mark_made
from core.shipped import sample_locks
from tests.fault_table import proven

CHECK = re.compile(r"\n# \d+ values, check [0-9a-f]{16}\n")
OLD_MARK = CHECK.sub("\n", fresh_text(Lock(title="Old")))


def codes(text: str) -> list[str]:
    return [note.code for note in read_text(text).notes]


def test_a_whole_file_ends_with_number_and_digest() -> None:
    text = fresh_text(Lock())
    assert CHECK.search(text)
    assert text.endswith(f"\n{END}\n")
    assert read_text(text).notes == ()


@pytest.mark.parametrize(
    ("old", "new", "more"),
    [
        ("key_clearance = 0.2", "key_clearance = 2.2", 0),
        ("radius = 20.0", 'radius = "13/16 in"', 0),
        ("shank = 6.0", "", -1),
        ("[key]", "[key]\nbow = 3", 1),
        (END, f"{END}\n[diary]\nday = 2024-05-01\n", 1),
    ],
)
def test_a_hand_edit_earns_one_note_and_the_next_save_none(
    tmp_path: Path, old: str, new: str, more: int
) -> None:
    path = tmp_path / "lock.toml"
    text = fresh_text(Lock())
    path.write_text(re.sub(f"^{re.escape(old)}", new, text, count=1, flags=re.MULTILINE))
    project = load(path)
    (note,) = (note for note in project.notes if note.code == "changed-outside")
    assert note.level == "note"
    count = len(specs()) + 1  # and the format
    assert (f"it holds {count + more} values, not {count}" in note.text) is (more != 0)
    save(project.with_lock(project.lock.with_value("bolt.depth", 9.5)))
    assert "changed-outside" not in [note.code for note in load(path).notes]


def test_what_changes_no_value_earns_none() -> None:
    text = fresh_text(Lock())
    for changed in (
        text.replace("\n", "\r\n"),
        f"\ufeff{text}",
        text.replace("[key]", "# the key, by hand\n[key]"),
        text.replace("radius = 20.0 ", "radius   =   20.0   "),
    ):
        assert changed != text
        assert codes(changed) == []


def test_a_file_of_today_loads_unchanged(tmp_path: Path) -> None:
    assert codes(OLD_MARK) == []
    assert codes(OLD_MARK.replace("radius = 20.0", "radius = 21.0")) == []
    assert read_text(OLD_MARK).lock == Lock(title="Old")
    assert edited_text(OLD_MARK, Lock(title="Old"), Lock(title="Old")) == OLD_MARK
    for path in sample_locks():
        assert "changed-outside" not in [note.code for note in load(path).notes]
    # the next save of a change gives it the mark of now
    path = tmp_path / "lock.toml"
    path.write_text(OLD_MARK)
    project = load(path)
    save(project.with_lock(project.lock.with_value("key.radius", 21.0)))
    assert CHECK.search(path.read_text())
    assert path.read_text().count(END) == OLD_MARK.count(END)
    assert load(path).notes == ()


def test_a_number_of_any_length_and_a_date_can_be_told() -> None:
    odd = f"[diary]\nn = 0x{'f' * 9000}\nday = 2024-05-01T10:00:00Z\nx = nan\n"
    old = read_text(f"format = 1\n{odd}").lock
    text = edited_text(f"format = 1\n{odd}", old, old.with_value("key.radius", 21.0))
    assert "changed-outside" not in codes(text)
    assert "changed-outside" in codes(text.replace("ffff", "fffe", 1))


def flips(count: int) -> int:
    """Flip one bit of a saved file, so often; return how many gave another lock without a word."""
    rng = random.Random(9)  # noqa: S311 - nothing secret is made here
    silent = 0
    lock = mark_made(Lock(title="Gartentür ½", notes="one\ntwo"), "bolt")
    whole = fresh_text(lock).encode()
    for _ in range(count):
        data = bytearray(whole)
        data[rng.randrange(len(data))] ^= 1 << rng.randrange(8)
        try:
            reading = read_text(data.decode())
        except (BadFileError, UnicodeDecodeError):
            continue
        told = any(note.code == "changed-outside" for note in reading.notes)
        silent += reading.lock != lock and not told
    return silent


@pytest.mark.slow
def test_no_bit_that_flips_changes_a_lock_in_silence() -> None:
    assert flips(300) == 0


@pytest.mark.slow
def test_no_bit_of_thousands_that_flips_changes_a_lock_in_silence() -> None:
    proven("one bit of a saved file flipped", 5000, flips(5000))
