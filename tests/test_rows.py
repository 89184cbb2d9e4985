"""Rows in a lock: named, looked at, added, taken away, given another name; and the grammar of their paths."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import BadValueError
from core.lock.history import History
from core.lock.lock import Lock, checked, expanded, paths, spec_of, specs
from core.lock.made import Made
from core.lock.paths import covers, place_at, row_path, short_label
from core.lock.row import Named, Rows
from core.lock.row_changes import (
    free_name,
    made_row,
    names_in,
    renamed_row,
    rows_of,
    with_row,
    without_row,
)
from core.lock.rows.posts import Post
from tests.locks import NAMES, posted, rows, with_rows

THREE = posted((-20.0, 8.0), (20.0, 8.0, 5.0), (0.0, -25.0))


def test_rows_are_read_by_their_dataclass_and_by_their_paths() -> None:
    assert dict(rows_of(THREE, Post)) == {
        "a": Post(-20.0, 8.0, 4.0), "b": Post(20.0, 8.0, 5.0), "c": Post(0.0, -25.0, 4.0),
    }  # fmt: skip
    assert THREE.value("posts.b.diameter") == 5.0
    assert paths(THREE)[: len(specs())] == tuple(specs())
    assert paths(THREE)[-3:] == ("posts.c.across", "posts.c.above", "posts.c.diameter")
    assert hash(THREE) == hash(posted((-20.0, 8.0), (20.0, 8.0, 5.0), (0.0, -25.0)))
    assert rows_of(Lock(), Post) == {}


def test_setting_one_value_leaves_all_others_and_the_order() -> None:
    new = THREE.with_value("posts.b.across", 21)
    assert [path for path in paths(new) if new.value(path) != THREE.value(path)] == [
        "posts.b.across"
    ]
    assert names_in(new, "posts") == ("a", "b", "c")
    assert THREE.value("posts.b.across") == 20.0
    with pytest.raises(
        BadValueError, match=r"^posts.b.diameter = 0 is not allowed: it takes 0.01 to"
    ):
        THREE.with_value("posts.b.diameter", 0)


@pytest.mark.parametrize(
    "path",
    ["", "posts", "posts.a", "posts.z.across", "posts.a.width", "posts.a.across.x", "posts.a b.across",
     "posts..across", "post.a.across", "key", "key.radius.x", "rows", "made", "made.bolt.planned"],
)  # fmt: skip
def test_what_is_no_path_of_a_value(path: str) -> None:
    with pytest.raises(KeyError):
        THREE.value(path)
    with pytest.raises(KeyError):
        THREE.with_value(path, 1.0)


@given(NAMES, st.sampled_from(["across", "above", "diameter", ""]))
def test_a_path_is_taken_apart_and_put_together(name: str, key: str) -> None:
    path = row_path("posts", name, key)
    place = place_at(path)
    assert (place.table, place.row, place.key) == ("posts", name, key)
    assert place.path == path
    assert place.holder == f"posts.{name}"
    assert covers(("key.radius", "posts"), path)
    assert not covers(("key.radius",), path)


def test_every_fixed_path_is_taken_apart_too() -> None:
    for path in specs():
        place = place_at(path)
        assert place.path == path
        assert place.kind is None
        assert covers((path,), path)
        assert not covers((place.table,), path)
    assert expanded(THREE, ("key.radius", "posts"))[1] == "posts.a.across"


def test_a_label_names_the_row_and_gives_way_in_the_middle() -> None:
    assert spec_of("posts.a.across").label == "post a across"
    long = "posts.upper-left-corner.diameter"
    assert short_label(spec_of(long), long, 20) == "post upper… diameter"
    assert short_label(spec_of("posts.a.across"), "posts.a.across", 20) == "post a across"
    for width in (16, 18, 24, 40):
        assert len(short_label(spec_of(long), long, width)) <= width
        assert short_label(spec_of(long), long, width).endswith("diameter")


def test_a_row_is_added_after_another_and_taken_away() -> None:
    new = with_row(THREE, "posts", "d", Post(1.0, 2.0), after="a")
    assert names_in(new, "posts") == ("a", "d", "b", "c")
    assert without_row(new, "posts", "d") == THREE
    assert without_row(THREE, "posts", "z") == THREE
    assert without_row(posted((1.0, 2.0)), "posts", "a") == Lock()
    with pytest.raises(BadValueError, match="There is a post a already"):
        with_row(THREE, "posts", "a", Post(1.0, 2.0))
    for name in ("", "upper left", "a.b", "ä", "a\n", '"a"'):
        with pytest.raises(
            BadValueError, match="is no name for one of the posts: it takes plain letters"
        ):
            with_row(THREE, "posts", name, Post(1.0, 2.0))


def test_free_names_run_through_the_letters() -> None:
    assert free_name(Lock(), "posts") == "a"
    assert free_name(without_row(THREE, "posts", "b"), "posts") == "b"
    many = posted(*[(0.0, 0.0)] * 28)
    assert names_in(many, "posts")[-2:] == ("aa", "ab")


def test_a_row_keeps_its_place_under_another_name() -> None:
    new = renamed_row(THREE, "posts", "b", "upper_right")
    assert names_in(new, "posts") == ("a", "upper_right", "c")
    assert new.value("posts.upper_right.diameter") == 5.0
    assert renamed_row(new, "posts", "upper_right", "b") == THREE
    assert renamed_row(THREE, "posts", "b", "b") is THREE
    with pytest.raises(BadValueError, match="There is a post c already"):
        renamed_row(THREE, "posts", "b", "c")
    with pytest.raises(KeyError):
        renamed_row(THREE, "posts", "z", "y")


def test_what_is_made_knows_a_row_by_its_new_name() -> None:
    made = Made(
        "back_plate",
        (("posts.a.across", 1.0), ("posts.gone.across", 2.0)),
        (("posts.a.above", 3.0),),
    )
    lock = Lock(rows=THREE.rows, made=(made,))
    new = renamed_row(lock, "posts", "a", "gone")
    # the hole of the post that has gone is still in the plate, under the name that came free
    assert new.made[0].planned == (("posts.a.across", 2.0), ("posts.gone.across", 1.0))
    assert new.made[0].measured == (("posts.gone.above", 3.0),)


def test_a_row_takes_what_is_usual_but_not_its_place() -> None:
    assert made_row("posts", "a", {"across": 1, "above": 2}) == Post(1.0, 2.0, 4.0)
    with pytest.raises(
        BadValueError, match=r"^posts.a.above is missing: a post needs across and above$"
    ):
        made_row("posts", "a", {"across": 1})
    with pytest.raises(BadValueError, match=r"^posts.a.above = 'high' is not allowed"):
        made_row("posts", "a", {"across": 1, "above": "high"})


@given(rows())
def test_any_rows_may_stand(drawn: dict[str, dict[str, object]]) -> None:
    lock = with_rows(Lock(), drawn)
    assert checked(lock) == lock
    assert list(names_in(lock, "posts")) == list(drawn)
    assert len(paths(lock)) == len(specs()) + 3 * len(drawn)
    for name in drawn:
        assert lock.has(f"posts.{name}")
        assert lock.has(f"posts.{name}.above")
        assert not lock.has(f"posts.{name}.length")
        lock = without_row(lock, "posts", name)
    assert lock == Lock()


@pytest.mark.parametrize(
    "bad",
    [
        Rows((("posts", ()),)),
        Rows((("pillars", (Named("a", Post(0.0, 0.0)),)),)),
        Rows((("posts", (Named("a b", Post(0.0, 0.0)),)),)),
        Rows((("posts", (Named("a", Post(0.0, 0.0)), Named("a", Post(1.0, 0.0)))),)),
        Rows((("posts", (Named("a", "post"),)),)),
        Rows((("posts", (Named("a", Post(float("nan"), 0.0)),)),)),
    ],
)
def test_rows_built_in_code_that_may_not_stand(bad: Rows) -> None:
    with pytest.raises(BadValueError):
        checked(Lock(rows=bad))


def test_where_a_row_comes_from_is_no_part_of_it() -> None:
    assert Named("a", Post(0.0, 0.0), "b") == Named("a", Post(0.0, 0.0))
    assert hash(Named("a", Post(0.0, 0.0), "b")) == hash(Named("a", Post(0.0, 0.0)))


def test_a_change_of_a_row_is_named_in_the_history() -> None:
    moved = THREE.with_value("posts.b.across", 21.0)
    history = History().changed(THREE, moved, "posts.b.across")
    gone = without_row(moved, "posts", "b")
    history = history.changed(moved, gone, "posts.b", what="post b removed")
    assert [step.what for step in history.past] == ["post b across", "post b removed"]
    history, lock = history.undone(gone)
    assert lock == moved
    assert history.undone(lock)[1] == THREE
