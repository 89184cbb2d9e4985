"""Rows in a project file, in whatever way somebody wrote them and whatever is done to them: nothing else is lost."""

from dataclasses import replace
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from core.files.project_reading import Reading, read_text
from core.files.project_tables import toml_value
from core.files.project_text import edited_text, fresh_text
from core.files.row_blocks import blocks
from core.lock.lock import Lock
from core.lock.numbers import settled
from core.lock.row_changes import names_in, renamed_row, with_row, without_row
from core.lock.rows.posts import Post
from tests.counts import tries
from tests.locks import NAMES, locks, rows, with_rows
from tests.test_row_file import GATE


@st.composite
def texts(draw: st.DrawFn) -> tuple[str, str]:
    """Draw the text of a file with rows, all in one of the ways of TOML, and whether comments can be kept."""
    drawn = draw(rows(most=3))
    for row in drawn.values():
        if draw(st.booleans()):
            del row["diameter"]
    unknown = {
        name: draw(st.sampled_from(["", "colour = 'red'", "x = [1,\n  [2]]"])) for name in drawn
    }
    way = draw(st.sampled_from(["tables", "dotted", "inline", "one line", "top"]))
    lines = []
    for name, row in drawn.items():
        pairs = [f"{key} = {toml_value(value)}" for key, value in row.items()]
        more = [unknown[name]] if unknown[name] else []
        if way == "tables":
            lines += [
                f"# about <{name}>",
                f"[ posts . {name} ]  # beside <{name}>",
                *pairs,
                *more,
                "",
            ]
            lines += draw(
                st.sampled_from(
                    [[], [f"[posts.{name}.more]", "y = 1"], ["[other_" + name + "]", "z = 1", ""]]
                )
            )
        elif way == "dotted":
            lines += [f"{name}.{pair}" for pair in (*pairs, *more)]
        elif way == "inline":
            flat = [*pairs, *([] if "\n" in unknown[name] else more)]
            lines += [f"{name} = {{ {', '.join(flat)} }}"]
        elif way == "top":
            lines += [f"posts.{name}.{pair}" for pair in (*pairs, *more)]
        else:
            lines += [f"{name} = {{ {', '.join(pairs)} }}"]
    if way == "one line":
        lines = [f"posts = {{ {', '.join(lines)} }}"]
    head = ["[posts]"] if way in ("dotted", "inline") and lines else []
    return "\n".join(
        ["title = 'any'", *head, *lines, *([] if way == "one line" else ["", "[key]"])]
    ) + "\n", way


@st.composite
def changed_rows(draw: st.DrawFn, lock: Lock) -> tuple[Lock, dict[str, str]]:
    """Draw what becomes of the rows of a lock in a few acts, and which of them are still the same rows."""
    same = {name: name for name in names_in(lock, "posts")}
    for _ in range(draw(st.integers(0, 4))):
        names = names_in(lock, "posts")
        act = draw(st.sampled_from(["set", "remove", "add", "rename", "turn"]))
        new = draw(NAMES)
        if new in names:
            continue
        if act == "add":
            after = draw(st.sampled_from(["", *names]))
            lock = with_row(
                lock, "posts", new, Post(draw(st.floats(-50, 50).map(settled)), 1.0), after=after
            )
        elif names:
            name = draw(st.sampled_from(names))
            if act == "set":
                lock = lock.with_value(
                    f"posts.{name}.{draw(st.sampled_from(['across', 'diameter']))}",
                    draw(st.floats(1, 50)),
                )
            elif act == "remove":
                lock = without_row(lock, "posts", name)
                same.pop(name, None)
            elif act == "rename":
                lock = renamed_row(lock, "posts", name, new)
                if name in same:
                    same[new] = same.pop(name)
            else:
                turned = draw(st.permutations(lock.rows.of("posts")))
                lock = replace(lock, rows=lock.rows.with_table("posts", tuple(turned)))
    return lock, same


@settings(max_examples=tries(40, 200))
@given(texts(), st.data())
def test_whatever_is_done_to_rows_is_saved_and_nothing_else_is_lost(
    drawn: tuple[str, str], data: st.DataObject
) -> None:
    source, way = drawn
    reading = read_text(source)
    new, same = data.draw(changed_rows(reading.lock))
    text = edited_text(source, reading.lock, new)
    again = read_text(text)
    assert again.lock == new
    assert names_in(again.lock, "posts") == names_in(new, "posts")
    assert again.unknown == reading.unknown
    before = unknown_of(reading)
    assert unknown_of(again) == {
        (now, key) for now, was in same.items() for name, key in before if name == was
    }
    if way == "tables":
        for now, was in same.items():
            assert f"# about <{was}>\n" in text
            above, _, rest = text.partition(f"# beside <{was}>")
            assert above.rstrip().endswith(("]", f"{now} ]"))
            assert f"posts.{now}]" in above.splitlines()[-1].replace(" ", "")
            assert rest.lstrip().startswith("across")
    if new == reading.lock:
        assert text == source


def unknown_of(reading: Reading) -> set[tuple[str, ...]]:
    """Return row and key of every unknown key in a row."""
    found = [
        note.text.split(" is unknown")[0] for note in reading.notes if note.code == "unknown-key"
    ]
    return {
        tuple(name.removeprefix("posts.").split(".", 1))
        for name in found
        if name.startswith("posts.")
    }


@settings(max_examples=tries(15, 60))
@given(locks(), rows())
def test_any_lock_with_rows_comes_back_from_a_fresh_file(
    lock: Lock, drawn: dict[str, dict[str, Any]]
) -> None:
    lock = with_rows(lock, drawn)
    assert read_text(fresh_text(lock)).lock == lock


@given(texts())
def test_blocks_are_the_whole_text(drawn: tuple[str, str]) -> None:
    source, _ = drawn
    assert "".join(block.text for block in blocks(source)) == source
    assert "".join(block.text for block in blocks(GATE)) == GATE
