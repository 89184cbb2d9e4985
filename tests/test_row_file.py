"""Rows in a project file: read, refused, and written without loss."""

import re
import tomllib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from core.errors import BadFileError
from core.files.history_file import load_history, save_history
from core.files.project_file import Project, load, save
from core.files.project_reading import read_text
from core.files.project_tables import leaf_at
from core.files.project_text import edited_text, end_mark, fresh_text
from core.files.recovery import load_recovery, save_recovery
from core.files.row_text import matched
from core.lock.history import History
from core.lock.lock import Lock
from core.lock.row import Named
from core.lock.row_changes import made_row, names_in, renamed_row, with_row, without_row
from core.lock.rows.posts import Post
from tests.command_line import boltwright
from tests.locks import posted
from tests.sure import sure

GATE = """\
# Gate
title = "Pond gate"

# ---- posts ----

# the upper left one
[posts.a]      # keep clear of the spring
across = "-13/16 in"   # by compass
above = 8
colour = "red"

# the lower one
[posts.b]
across = 20.0
above = -9.5
diameter = 5
[posts.b.bench]
note = '''
[posts.c]
'''

# about the gate

[diary]
on = 2024-05-01
"""
END = "# end of lock\n"


def edited(change: Callable[[Lock], Lock], source: str = GATE) -> str:
    """Return the text with a change of its lock set into it; what it reads as is checked."""
    old = read_text(source).lock
    new = change(old)
    text = edited_text(source, old, new)
    assert read_text(text).lock == new
    return text


def body(text: str) -> str:
    """Return a saved text without what saving adds at either end."""
    mark = end_mark(text)
    return text.partition("\n")[2] if mark is None else text[: mark.start() - 1].partition("\n")[2]


def test_rows_are_read_with_notes_on_what_is_missing_and_what_is_unknown() -> None:
    reading = read_text(GATE)
    assert names_in(reading.lock, "posts") == ("a", "b")
    assert reading.lock.value("posts.a.across") == -25.4 * 13 / 16
    told = [note.text for note in reading.notes if note.step == "posts"]
    assert told == [
        "The file has no posts.a.diameter: 4.0 mm is taken.",
        "posts.a.colour is unknown to this program; it is kept in the file.",
        "posts.b.bench.note is unknown to this program; it is kept in the file.",
    ]
    assert all(note.level == "note" for note in reading.notes)


def test_a_file_without_rows_says_nothing_of_them() -> None:
    assert not [note for note in read_text(fresh_text(Lock())).notes if "posts" in note.text]
    assert "posts" not in fresh_text(Lock())
    assert read_text("[rows]\nx = 1\n[key]\n").notes[-1].text.startswith("rows is unknown")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('[posts."upper left"]\nacross = 1\nabove = 2', "'upper left' is no name for one of the posts: it takes plain"),
        ('posts = { "" = { across = 1, above = 2 } }', "'' is no name for one of the posts"),
        ("[posts.a]\nacross = 1\nabove = 2\n[posts.a]\n", r"not TOML: \[posts.a\] stands in it twice \(at line 5"),
        ("[posts.a]\nacross = 1\nacross = 2\n", r"not TOML: a key stands in it twice \(at line"),
        ("[posts.a]\nacross = 1\n", "posts.a.above is missing: a post needs across and above"),
        ("[posts.a]\n", "posts.a.across is missing: a post needs across and above"),
        ('[posts.a]\nacross = "left"\nabove = 1\n', "posts.a.across = 'left' is not allowed: it takes -2000 to 2000"),
        ("[posts.a]\nacross = true\nabove = 1\n", "posts.a.across = true is not allowed"),
        ("[posts.a]\nacross = [1]\nabove = 1\n", r"posts.a.across = \[1\] is not allowed"),
        ("[posts.a]\nacross = nan\nabove = 1\n", "posts.a.across = nan is not allowed"),
        ("[posts.a]\nacross = 1\nabove = 1\ndiameter = -4\n", "posts.a.diameter = -4 is not allowed: it takes 0.01"),
        ("posts = 3\n", r"posts = 3 is not allowed: it takes a table for each post, written \[posts.a\] and so on"),
        ("[[posts]]\nacross = 1\n", r"posts = \[.* is not allowed: it takes a table for each post"),
        ("[posts]\nacross = 1\nabove = 2\n", r"posts.across = 1 is not allowed: each post is a table with a name"),
        ("posts.a = 'tall'\n", r"posts.a = 'tall' is not allowed: each post is a table"),
    ],
)  # fmt: skip
def test_what_may_not_stand_is_refused_in_one_sentence(
    tmp_path: Path, text: str, says: str
) -> None:
    path = tmp_path / "lock.toml"
    path.write_text(f'title = "x"\n{text}\n', encoding="utf-8")
    with pytest.raises(BadFileError, match=says) as error:
        load(path)
    assert "\n" not in str(error.value)


def test_the_command_ends_with_2_on_a_bad_row(tmp_path: Path) -> None:
    path = tmp_path / "lock.toml"
    path.write_text("[posts.a]\nacross = 1\n", encoding="utf-8")
    done = boltwright("report", str(path))
    assert done.returncode == 2
    assert done.stderr.count(b"\n") == 1
    assert b"posts.a.above is missing" in done.stderr


def test_a_value_is_set_beside_its_comment_and_a_missing_one_below_the_others() -> None:
    text = edited(
        lambda lock: lock.with_value("posts.a.across", -21).with_value("posts.a.diameter", 3)
    )
    expected = GATE.replace('across = "-13/16 in"   # by', "across = -21.0         # by")
    assert body(text) == expected.replace('"red"\n', '"red"\ndiameter = 3.0\n')


def test_a_row_goes_with_its_comment_and_no_other() -> None:
    text = edited(lambda lock: without_row(lock, "posts", "a"))
    start, end = GATE.index("# the upper"), GATE.index("# the lower")
    assert body(text) == GATE[:start] + GATE[end:]
    text = edited(lambda lock: without_row(lock, "posts", "b"))
    start, end = GATE.index("# the lower"), GATE.index("# about")
    assert body(text) == GATE[:start] + GATE[end:]


def test_a_comment_right_below_a_value_goes_with_its_row_and_one_that_stands_apart_stays() -> None:
    source = "[posts.a]\nacross = 1\nabove = 2\n# measured twice\n\n# about the gate\n\n[key]\n"
    text = edited(lambda lock: without_row(lock, "posts", "a"), source)
    assert body(text) == "# about the gate\n\n[key]\n"
    # the same where nothing comes after it
    source = "[key]\nradius = 20\n\n[posts.a]\nacross = 1\nabove = 2\n\n# about the gate\n"
    text = edited(lambda lock: without_row(lock, "posts", "a"), source)
    assert body(text) == "[key]\nradius = 20\n\n# about the gate\n"


def test_a_row_under_another_name_keeps_its_comment_and_its_unknown_keys() -> None:
    text = edited(
        lambda lock: renamed_row(lock, "posts", "a", "top").with_value("posts.top.above", 9)
    )
    assert body(text) == GATE.replace("[posts.a]      #", "[posts.top]    #").replace(
        "above = 8", "above = 9.0"
    )
    text = edited(lambda lock: renamed_row(lock, "posts", "b", "foot"))
    assert body(text) == GATE.replace("[posts.b]", "[posts.foot]").replace(
        "[posts.b.", "[posts.foot."
    )


def test_two_rows_may_change_names() -> None:
    def swapped(lock: Lock) -> Lock:
        lock = renamed_row(renamed_row(lock, "posts", "a", "c"), "posts", "b", "a")
        return renamed_row(lock, "posts", "c", "b")

    text = edited(swapped)
    assert "# the upper left one\n[posts.b]" in text
    assert "# the lower one\n[posts.a]" in text


def test_a_new_row_that_takes_a_free_name_is_another_one() -> None:
    def anew(lock: Lock) -> Lock:
        return with_row(without_row(lock, "posts", "a"), "posts", "a", Post(1.0, 2.0))

    text = edited(anew)
    assert "upper left" not in text
    assert "red" not in text
    assert names_in(read_text(text).lock, "posts") == ("b", "a")


def test_a_new_row_stands_after_the_one_before_it() -> None:
    text = edited(lambda lock: with_row(lock, "posts", "c", Post(1.0, 2.0), after="a"))
    assert names_in(read_text(text).lock, "posts") == ("a", "c", "b")
    row = "[posts.c]                      # A spacer riveted between the plates\n"
    row += "across = 1.0\nabove = 2.0\ndiameter = 4.0\n\n"
    assert body(text) == GATE.replace("# the lower", f"{row}# the lower")


def test_a_new_row_before_all_others_stands_right_above_the_first_of_them() -> None:
    def first(lock: Lock) -> Lock:
        table = (Named("c", Post(1.0, 2.0)), *lock.rows.of("posts"))
        return replace(lock, rows=lock.rows.with_table("posts", table))

    text = edited(first)
    assert names_in(read_text(text).lock, "posts") == ("c", "a", "b")
    row = "[posts.c]                      # A spacer riveted between the plates\n"
    row += "across = 1.0\nabove = 2.0\ndiameter = 4.0\n\n"
    assert body(text) == GATE.replace("# the upper", f"{row}# the upper")


def test_the_first_row_of_all_stands_at_the_end() -> None:
    source = fresh_text(Lock())
    text = edited(lambda lock: posted((1.0, 2.0), lock=lock), source)
    mark = end_mark(source)
    assert mark is not None
    assert text.startswith(source[: mark.start()])
    before = re.search(r"# (\d+) values, check", source)
    assert before is not None
    values = int(before[1]) + 3  # across, above and diameter of the post
    assert re.search(f"diameter = 4.0\n\n# {values} values, check [0-9a-f]+\n{END}$", text)
    assert edited(lambda lock: without_row(lock, "posts", "a"), text) == source


def test_other_tables_between_the_rows_stay_there() -> None:
    source = "[posts.a]\nacross = 1\nabove = 2\n\n[key]\nradius = 20\n\n[posts.b]\nacross = 3\nabove = 4\n"
    text = edited(lambda lock: without_row(lock, "posts", "a"), source)
    assert body(text) == source.removeprefix("[posts.a]\nacross = 1\nabove = 2\n\n")
    text = edited(lambda lock: renamed_row(lock, "posts", "b", "z"), source)
    assert body(text) == source.replace("posts.b", "posts.z")


def test_a_table_of_something_else_is_no_row_though_it_has_the_name_of_one() -> None:
    kept = "# the upper one\n[posts.a]      # by compass\nacross = 1\nabove = 2\n\n[shelf.a]   # not ours\nnote = 1\n"
    gone, last = "\n[posts.b]\nacross = 3\nabove = 4\n", "\n[shelf.b]\nnote = 2\n"
    text = edited(lambda lock: without_row(lock, "posts", "b"), kept + gone + last)
    assert body(text) == kept + last
    text = edited(lambda lock: renamed_row(lock, "posts", "b", "z"), kept + gone + last)
    assert body(text) == kept + gone.replace("posts.b", "posts.z") + last


def test_a_removed_row_that_is_taken_back_before_saving_has_changed_nothing(tmp_path: Path) -> None:
    path = tmp_path / "lock.toml"
    path.write_text(GATE, encoding="utf-8")
    project = load(path)
    gone = without_row(project.lock, "posts", "a")
    _, back = History().changed(project.lock, gone, "posts.a", what="x").undone(gone)
    save(project.with_lock(back))
    assert path.read_text(encoding="utf-8") == GATE


def test_a_name_that_is_taken_back_after_saving_finds_its_comment_again(tmp_path: Path) -> None:
    path = tmp_path / "lock.toml"
    path.write_text(GATE, encoding="utf-8")
    project = load(path)
    saved = save(project.with_lock(renamed_row(project.lock, "posts", "a", "top")))
    assert "[posts.top]" in path.read_text(encoding="utf-8")
    save(saved.with_lock(project.lock))
    assert body(path.read_text(encoding="utf-8")) == GATE


def test_which_row_is_which() -> None:
    here = Post(0.0, 0.0)
    there = Post(9.0, 9.0)
    old = [Named("a", here, "a"), Named("b", there, "b")]
    # of an earlier state of the file, in which a was called c
    assert matched(old, [Named("c", here, "c"), Named("b", there, "b")]) == {"c": "a", "b": "b"}
    # a copy of a, which was then moved itself
    assert matched(old, [Named("a", there, "a"), Named("d", here)]) == {"a": "a"}
    assert matched(old, [Named("b", here, "a"), Named("a", there, "b")]) == {"b": "a", "a": "b"}
    assert matched(old, [Named("z", Post(5.0, 5.0), "a")]) == {"z": "a"}
    assert matched([], [Named("a", here, "a")]) == {}


def test_saving_crlf_keeps_it(tmp_path: Path) -> None:
    path = tmp_path / "lock.toml"
    path.write_bytes(GATE.replace("\n", "\r\n").encode())
    project = load(path)
    save(project.with_lock(renamed_row(project.lock, "posts", "a", "top")))
    data = path.read_bytes()
    assert b"\r\n[posts.top]" in data
    assert data.count(b"\n") == data.count(b"\r\n")


def test_the_history_on_the_disk_carries_rows(tmp_path: Path) -> None:
    first = posted((1.0, 2.0), (3.0, 4.0))
    steps = [
        (with_row(first, "posts", "c", Post(5.0, 6.0), after="a"), "posts.c", "post c added"),
    ]
    steps.append((steps[-1][0].with_value("posts.c.above", 7.0), "posts.c.above", ""))
    steps.append(
        (renamed_row(steps[-1][0], "posts", "c", "top"), "posts.top", "post c is called top")
    )
    steps.append((without_row(steps[-1][0], "posts", "a"), "posts.a", "post a removed"))
    history, now = History(), first
    for lock, path, what in steps:
        history, now = history.changed(now, lock, path, what=what), lock
    history, now = history.undone(now)
    place = save(Project(None, now), tmp_path / "lock.toml").path
    text = sure(place).read_text(encoding="utf-8")
    save_history(history, now, sure(place), text)
    kept = load_history(load(sure(place)).lock, sure(place), text)
    assert kept.note is None
    assert kept.history == history
    while kept.history.past:
        back, now = kept.history.undone(now)
        kept = type(kept)(back)
    assert now == first


def test_the_recovery_copy_carries_rows(tmp_path: Path) -> None:
    lock = posted((1.0, 2.0), (3.0, 4.0, 5.0))
    place = tmp_path / "lock.toml"
    save_recovery(lock, place)
    assert sure(load_recovery(place)).lock == lock


def test_a_row_with_values_built_by_hand_is_saved(tmp_path: Path) -> None:
    lock = with_row(Lock(), "posts", "a", made_row("posts", "a", {"across": 1, "above": 2}))
    assert load(sure(save(Project(None, lock), tmp_path / "lock.toml").path)).lock == lock


@pytest.mark.parametrize(
    ("names", "place", "key"),
    [
        (["a", "b"], ["a"], "b"),
        (["a", "c", "d"], ["a", "c"], "d"),
        (["e", "f"], [], "e.f"),
        (["g", "h", "i"], ["g"], "h.i"),
        (["j"], [], "j"),
    ],
)
def test_a_leaf_is_found_where_a_reader_of_toml_puts_it(
    names: list[str], place: list[str], key: str
) -> None:
    # read by tomllib: a table, a table in a table, a quoted key with a dot, the same in a table
    whole = tomllib.loads('j = 0\n"e.f" = 2\n[a]\nb = 1\n[a.c]\nd = 3\n[g]\n"h.i" = 4\n')
    holder = whole
    for name in place:
        holder = holder[name]
    found, under = sure(leaf_at(whole, names))
    assert found is holder
    assert under == key
    assert leaf_at(whole, [*names, "none"]) is leaf_at(whole, ["none", *names]) is None
