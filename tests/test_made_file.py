"""`[made]` in the project file, also read by `tomllib`, which knows nothing of locks."""

import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import BadFileError, BadValueError, SaveError
from core.files.project_file import Project, load, save
from core.files.project_reading import read_text
from core.files.project_text import edited_text, fresh_text
from core.files.recovery import load_recovery, save_recovery
from core.lock.facts import with_measured
from core.lock.lock import Lock, specs
from core.lock.made import Made, ordered
from core.made.marking import mark_made, unmark
from core.shipped import sample_locks
from tests.locks import values

BY_HAND = """\
# Gate by the pond
title = "Pond gate"
units = "in"

[made.bolt.planned]          # filed in spring
key.radius = "13/16 in"      # by the compass
"bolt.depth" = 10
[made.bolt.planned.shackle]
gap = 1.5
rust = "some"
[made.bolt.measured]
fit.key_clearance = 0.3      # a feeler says so

[fit]
key_clearance = 0.3
"""
ONE_LINE = 'title = "Tight"\nmade = {key = {planned = {key = {radius = 20}}}}\n'
FORMS = (
    BY_HAND,
    ONE_LINE,
    'title = "x"\n[made]\nkey.planned.key.radius = 20\nradius = 20.4\non = 2024-05-01\n',
    'title = "x"\n[made.key]\n[fit]\nkey_clearance = 0.2\n[made.bolt.planned]\nbolt.depth = 9\n',
    'title = "x"\n[made.gear.planned]\nteeth = 12\n"key.radius" = 20\n[[made.steps]]\nname = "a"\n',
)


def flat(tree: dict[str, Any], above: str = "") -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in tree.items():
        name = f"{above}.{key}" if above else key
        found |= flat(value, name) if isinstance(value, dict) else {name: value}
    return found


def made(text: str) -> dict[str, Any]:
    return flat(tomllib.loads(text).get("made", {}))


def plain(value: object) -> object:
    return [plain(inner) for inner in value] if isinstance(value, tuple) else value


@st.composite
def records(draw: st.DrawFn) -> tuple[Made, ...]:
    parts = draw(st.lists(st.sampled_from(["key", "bolt", "back_plate", "oil can"]), unique=True))
    found = []
    for part in sorted(parts):
        sides = []
        for _ in range(2):
            paths = draw(st.lists(st.sampled_from(list(specs())), max_size=4, unique=True))
            sides.append(ordered({path: draw(values(specs()[path])) for path in paths}))
        found.append(Made(part, *sides))
    return tuple(found)


def test_what_is_made_is_read_with_units_and_however_it_is_nested() -> None:
    reading = read_text(BY_HAND)
    planned = (("bolt.depth", 10.0), ("key.radius", 20.6375), ("shackle.gap", 1.5))  # 13/16 of 25.4
    assert reading.lock.made == (Made("bolt", planned, (("fit.key_clearance", 0.3),)),)
    unknown = [note.text for note in reading.notes if note.code == "unknown-key"]
    assert unknown == [
        "made.bolt.planned.shackle.rust is unknown to this program; it is kept in the file."
    ]


def test_a_file_without_made_parts_says_nothing_of_them() -> None:
    for path in sample_locks():
        project = load(path)
        assert project.lock.made == ()
        assert not any("made." in note.text or "[made]" in note.text for note in project.notes)
    assert "[made" not in fresh_text(Lock())


@given(records())
def test_a_fresh_file_gives_back_what_is_made(found: tuple[Made, ...]) -> None:
    lock = replace(Lock(), made=found)
    text = fresh_text(lock)
    assert read_text(text).lock == lock
    wanted = {
        f"{record.part}.{side}.{path}": plain(value)
        for record in found
        for side, pairs in (("planned", record.planned), ("measured", record.measured))
        for path, value in pairs
    }
    assert made(text) == wanted


@given(st.sampled_from(FORMS), st.lists(records(), min_size=1, max_size=3))
def test_edits_keep_all_that_is_not_theirs(text: str, edits: list[tuple[Made, ...]]) -> None:
    lock = read_text(text).lock
    # what no lock has, and so nothing may touch while its part is there
    foreign = {
        name: v
        for name, v in made(text).items()
        if name.partition(".")[0] in ("radius", "on", "steps")
    }
    for found in edits:
        new = replace(lock, made=found)
        text = edited_text(text, lock, new)
        lock = read_text(text).lock
        assert lock == new
        assert foreign.items() <= made(text).items()


def test_unknown_keys_and_comments_stay_with_a_part_that_stays() -> None:
    lock = read_text(BY_HAND).lock
    new = with_measured(lock, "bolt", "bolt.depth", 9.8)
    text = edited_text(BY_HAND, lock, new)
    for kept in ("# filed in spring", "# by the compass", "# a feeler says so", 'rust = "some"'):
        assert kept in text
    assert read_text(text).lock == new
    gone = edited_text(text, new, unmark(new, "bolt"))
    assert "made" not in tomllib.loads(gone)
    assert read_text(gone).lock.made == ()


def test_a_table_in_one_line_is_written_afresh_when_something_is_added() -> None:
    lock = read_text(ONE_LINE).lock
    new = mark_made(lock, "bolt")
    text = edited_text(ONE_LINE, lock, new)
    assert read_text(text).lock == new
    assert made(text)["key.planned.key.radius"] == 20


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("made = 3", "made = 3 is not allowed: it takes tables, written [made.bolt] and so on"),
        ("[made.bolt]\nplanned = 3", "made.bolt.planned = 3 is not allowed: it takes a table"),
        (
            "[made.key.measured]\nkey.radius = nan",
            "made.key.measured.key.radius = nan is not allowed",
        ),
        (
            "[made.key.measured]\nkey.radius = -1",
            "made.key.measured.key.radius = -1 is not allowed",
        ),
        ("[made.key.planned]\nkey.radius = 3000.0", "it takes 0.01 to 2000 mm"),
        (
            '[made.key.planned]\nkey.radius = "20"',
            "made.key.planned.key.radius = '20' is not allowed",
        ),
        ("[made.bolt.planned]\ntooth.roof = true", "it takes one of flat, scribed"),
    ],
)
def test_refusals_name_the_key_and_what_is_allowed(line: str, says: str) -> None:
    with pytest.raises(BadFileError) as refused:
        read_text(f'title = "x"\n{line}\n')
    assert says in str(refused.value)
    assert "\n" not in str(refused.value)


def test_a_lock_built_in_code_is_checked_before_it_is_saved(tmp_path: Path) -> None:
    bad = replace(Lock(), made=(Made("key", (("key.colour", 3.0),)),))
    with pytest.raises((BadValueError, SaveError)):
        save(Project(None, bad), tmp_path / "lock.toml")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("sample", sample_locks(), ids=lambda path: path.stem)
@pytest.mark.first(1)
def test_marking_and_unmarking_gives_the_file_back(tmp_path: Path, sample: Path) -> None:
    path = tmp_path / "lock.toml"
    path.write_bytes(sample.read_bytes())
    project = load(path)
    # what the program itself wrote once is given back to the last byte
    project = save(project.with_lock(project.lock.with_value("title", "Bench")))
    before = path.read_bytes()
    lock = project.lock
    for part in ("back_plate", "bolt", "shackle"):
        lock = mark_made(lock, part)
    project = save(project.with_lock(with_measured(lock, "back_plate", "pivot.below", 54.4)))
    assert load(path).lock == project.lock
    assert path.read_bytes() != before
    for part in ("bolt", "back_plate", "shackle"):
        project = save(project.with_lock(unmark(project.lock, part)))
    assert path.read_bytes() == before


def test_the_recovery_copy_holds_what_is_made(tmp_path: Path) -> None:
    lock = with_measured(mark_made(Lock(), "key"), "key", "key.radius", 19.6)
    save_recovery(lock, tmp_path)
    copy = load_recovery(tmp_path)
    assert copy is not None
    assert copy.lock == lock
