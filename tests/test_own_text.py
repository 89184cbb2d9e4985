"""A value that is taken back stands in the file as the maker wrote it, saved in between or not."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from core.files.history_file import load_history
from core.files.project_file import Project, load, save
from core.files.project_text import END, end_mark
from core.lock.lock import Lock
from tests.counts import tries
from tests.locks import BY_HAND, changed, changes
from tui.desk import saving
from tui.desk.session import Session, opened

MADE = """
[made.bolt.planned]
key.radius = "13/16 in"   # by the old compass
"bolt.depth" = 1_0.50     # quoted and with a bar
[made.bolt.measured]
bolt.depth = 10.4
"""


def sitting(path: Path) -> Session:
    """Open a lock as the program does."""
    session = saving.remembered(opened(load(path)))
    assert session.beside == ()
    return session


def ended(session: Session) -> None:
    """Save a lock as the program does."""
    done, _ = saving.saved(session)
    saving.keep_history(done)


def lines(path: Path) -> list[str]:
    """Return the lines of a file without what every save adds at both ends."""
    text = path.read_text().rstrip("\n") + "\n"
    head, _, rest = text.partition("\n")
    text = rest if END in head else text
    mark = end_mark(text)
    return text[: mark.start() if mark else None].rstrip("\n").split("\n")


@pytest.mark.parametrize(
    ("written", "other"),
    [
        ('radius = "27/32 in"     # compass', 20.0),
        ("radius=20.500# no gap", 21.0),
        ("radius = 2_0.5 # a bar", 1999.123456789),
        ("radius = +20.5", 21.0),
        ("radius = 205e-1\t# tab", 21.0),
    ],
)  # fmt: skip
def test_undo_in_another_sitting_restores_the_words(
    tmp_path: Path, written: str, other: float
) -> None:
    path = tmp_path / "lock.toml"
    path.write_text(f"format = 1\n\n[key]\n{written}\nshank = 6.0\n")
    before = lines(path)
    session = sitting(path)
    ended(session.changed(session.lock.with_value("key.radius", other), "key.radius"))
    assert written not in path.read_text().splitlines()
    session = sitting(path)
    ended(session.undone())
    assert lines(path) == before
    session = sitting(path)
    ended(session.redone())
    assert load(path).lock.key.radius == other
    ended(sitting(path).undone())
    assert lines(path) == before


def test_points_on_several_lines_with_remarks_come_back(tmp_path: Path) -> None:
    path = tmp_path / "lock.toml"
    path.write_text(BY_HAND)
    before = lines(path)
    session = sitting(path)
    lock = session.lock.with_value("plate.points", ((0.0, 0.0), (9.0, 0.0), (0.0, -9.0)))
    ended(session.changed(lock, "plate.points"))
    assert "# foot" not in path.read_text()
    ended(sitting(path).undone())
    assert lines(path) == before


def test_what_was_measured_comes_back_in_its_words(tmp_path: Path) -> None:
    path = tmp_path / "lock.toml"
    path.write_text(f"format = 1\n{MADE}")
    before = lines(path)
    session = sitting(path)
    (bolt,) = session.lock.made
    planned = tuple((name, 11.0) for name, _ in bolt.planned)
    other = (type(bolt)(bolt.part, planned, bolt.measured),)
    ended(session.changed(Lock(made=other), what="several values"))
    assert "13/16" not in path.read_text()
    ended(sitting(path).undone())
    assert lines(path) == before


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=tries(8, 25))
@given(new=changes())
def test_any_change_taken_back_leaves_every_line_that_was_there(
    tmp_path: Path, new: dict[str, object]
) -> None:
    path = tmp_path / "lock.toml"
    for left in tmp_path.iterdir():
        left.unlink()
    path.write_text(BY_HAND)
    before = lines(path)
    session = sitting(path)
    lock = changed(session.lock, new)
    ended(session.changed(lock, what="several values"))
    session = sitting(path)
    ended(session.undone() if session.past else session)
    after = [line for line in lines(path) if line]
    assert [line for line in after if line in before] == [line for line in before if line]


def test_one_sitting_needs_no_history_for_it(tmp_path: Path) -> None:
    path = tmp_path / "lock.toml"
    path.write_text(BY_HAND)
    project = load(path)
    project = save(project.with_lock(project.lock.with_value("key.radius", 21.0)))
    project = save(project.with_lock(project.lock.with_value("key.radius", 20.6375)))
    assert 'key.radius = "13/16 in"      # compass' in path.read_text()


def test_without_a_history_a_value_is_written_in_mm(tmp_path: Path) -> None:
    path = tmp_path / "lock.toml"
    path.write_text(BY_HAND)
    project = load(path)
    save(project.with_lock(project.lock.with_value("key.radius", 21.0)))
    again = load(path)
    save(again.with_lock(again.lock.with_value("key.radius", 20.6375)))
    assert "key.radius = 20.6375" in path.read_text()
    assert load_history(again.lock, path, "").texts == {}
    assert Project(None, Lock()).texts == {}
