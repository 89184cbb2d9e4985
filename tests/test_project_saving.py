"""Writing the project file: nothing lost, and no part of a file taken for the whole.

What is written is read by `tomllib` and `tomlkit` too, two TOML implementations that know nothing
of locks.
"""

import re
import tomllib
from pathlib import Path

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings

from core.errors import BadFileError, SaveError
from core.files.project_file import Project, load, save
from core.files.project_reading import read_text
from core.files.project_text import END, HEAD, edited_text, fresh_text
from core.lock.lock import Lock
from tests.counts import tries
from tests.locks import BY_HAND, changed, changes, locks


def write(folder: Path, text: str, name: str = "lock.toml") -> Path:
    path = folder / name
    path.write_bytes(text.encode())
    return path


@given(locks())
def test_a_fresh_file_reads_back(lock: Lock) -> None:
    text = fresh_text(lock)
    reading = read_text(text)
    assert reading.lock == lock
    assert reading.notes == ()
    tree = tomllib.loads(text)
    assert tomlkit.parse(text).unwrap() == tree
    assert tree["key"]["radius"] == lock.key.radius
    assert tree["title"] == lock.title


def test_a_fresh_file_says_what_may_stand() -> None:
    text = fresh_text(Lock())
    assert text.startswith(f"{HEAD}\n")
    assert text.endswith(f"\n{END}\n")
    assert "# mm | in" in text
    for table in tomllib.loads(text):
        assert f"\n[{table}] " in text or f"\n{table} = " in text


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=tries(10, 40))
@given(lock=locks(), new=changes())
def test_saved_is_loaded(tmp_path: Path, lock: Lock, new: dict[str, object]) -> None:
    path = tmp_path / "lock.toml"
    path.unlink(missing_ok=True)
    saved = save(Project(None, lock), path)
    assert load(path) == saved
    before = path.read_bytes()
    assert save(saved) == saved
    assert path.read_bytes() == before
    again = save(saved.with_lock(changed(lock, new)))
    assert load(path) == again
    assert again.lock == changed(lock, new)
    # as well laid out as a new one, but for comments that once had to move aside
    assert re.sub(" +#", " #", again.source or "") == re.sub(" +#", " #", fresh_text(again.lock))


def test_what_did_not_change_is_kept_to_the_letter(tmp_path: Path) -> None:
    path = write(tmp_path, BY_HAND)
    project = load(path)
    assert save(project).source == BY_HAND
    assert path.read_text() == BY_HAND
    save(project.with_lock(project.lock.with_value("key.bit_thickness", 2.5)))
    lines = path.read_text().splitlines()
    assert lines[0] == HEAD
    assert lines[-1] == END
    wanted = BY_HAND.replace("key.bit_thickness = 3", "key.bit_thickness = 2.5").splitlines()
    assert lines[1 : len(wanted) + 1] == wanted
    save(load(path).with_lock(project.lock))
    assert "key.bit_thickness = 3.0" in path.read_text()
    assert 'key.radius = "13/16 in"      # compass' in path.read_text()


@given(changes())
def test_a_file_made_by_hand_keeps_what_is_not_the_locks(new: dict[str, object]) -> None:
    old = read_text(BY_HAND)
    lock = changed(old.lock, new)
    text = edited_text(BY_HAND, old.lock, lock)
    assert read_text(text).lock == lock
    was, now = tomllib.loads(BY_HAND), tomllib.loads(text)
    assert (now["diary"], now["maker"]) == (was["diary"], was["maker"])
    for remark in ("# Gate by the pond", "# compass", "# measured afterwards", "# the old one"):
        assert remark in text
    if lock.key.radius == old.lock.key.radius:
        assert 'key.radius = "13/16 in"' in text


FORMS = {
    "inline table": 'format = 1\nkey = { radius = "1 in", bow = 3 } # inline\nzzz = 1\n',
    "nothing after a table": "format = 1\n[fit]\n[key]",
    "no line end": "format = 1\n[key]\nradius = 20 # last",
    "remarks at the end": "format = 1\n[key]\nradius = 20\n\n# on the key\n# and more\n",
    "tables out of order": "format = 1\n[diary.a]\nx = 1\n[fit]\n[diary.b]\ny = 2\n",
    "table within": "format = 1\n[key]\nradius = 20\n[key.bow]\nwide = 3\n[plate]\nwidth = 60\n",
    "only a table within": "format = 1\n[key.bow]\nwide = 3\n",
    "quoted keys": '"format" = 1\n["key"]\n\'radius\' = 20\n',
    "indented": "format = 1\n  [key]\n    radius = 20\n    shank = 5\n",
    "several lines": 'format = 1\nnotes = """\nfirst\n# end of lock\nlast"""\n[key]\nradius = 20\n',
    "lists of tables": "format = 1\n[[diary]]\na = 1\n[[diary]]\na = 2\n[key]\nradius = 20\n",
    "dotted and table": "format = 1\nkey.radius = 20\nplate.width = 60\n[fit]\nbridge_min = 3\n",
    "added below the end": f"{HEAD}\nformat = 1\n[key]\nradius = 20\n{END}\n\n[diary]\na = 1\n",
    "text below the end": f'{HEAD}\nnotes = """\n{END}\n"""\n{END}\n[diary]\na = 1\n',
}


@pytest.mark.parametrize("source", FORMS.values(), ids=FORMS)
@pytest.mark.parametrize("line_end", ["\n", "\r\n"], ids=["lf", "crlf"])
@given(new=changes())
@settings(max_examples=tries(4, 25))
@pytest.mark.first(12)
def test_every_form_of_toml_takes_a_change(
    source: str, line_end: str, new: dict[str, object]
) -> None:
    source = "\ufeff" + source.replace("\n", line_end)
    old = read_text(source)
    lock = changed(old.lock, new)
    text = edited_text(source, old.lock, lock)
    reading = read_text(text)
    assert reading.lock == lock
    assert reading.unknown == old.unknown
    assert text.startswith("\ufeff")
    if lock == old.lock:
        assert text == source
    else:
        assert text.rstrip().endswith(END)
        assert text.count("\r\n") == (0 if line_end == "\n" else text.count("\n"))


def test_a_text_that_cannot_be_written_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "lock.toml"
    with pytest.raises(SaveError, match="half a character"):
        save(Project(None, Lock(title="\ud800")), path)
    with pytest.raises(SaveError, match="1 MB"):
        save(Project(None, Lock(notes="n" * 1_000_001)), path)
    with pytest.raises(SaveError, match="name"):
        save(Project(None, Lock()))
    assert list(tmp_path.iterdir()) == []


# cut short


def _check_cuts(path: Path) -> None:
    whole = load(path)
    content = path.read_bytes()
    cut = path.with_name("cut.toml")
    # by default every eighth byte, from another one on for each file; the last hundred, with the end mark, in any case
    last, every = len(content) - 100, tries(8, 1)
    for length in (*range(last % every, last, every), *range(max(last, 0), len(content))):
        cut.write_bytes(content[:length])
        try:
            project = load(cut)
        except BadFileError:
            continue
        assert project.lock == whole.lock, f"data missing after {length} bytes"
        assert project.notes == whole.notes


def test_no_part_of_a_saved_file_loads_with_data_missing(tmp_path: Path) -> None:
    path = tmp_path / "lock.toml"
    save(Project(None, Lock(title="Gartentür ½", notes=f"one\n{END}\ntwo")), path)
    _check_cuts(path)


@pytest.mark.parametrize("source", [BY_HAND, *FORMS.values()], ids=["by hand", *FORMS])
@pytest.mark.first(5)
def test_no_part_of_an_edited_file_loads_with_data_missing(tmp_path: Path, source: str) -> None:
    path = write(tmp_path, source)
    project = load(path)
    save(project.with_lock(project.lock.with_value("fit.bridge_min", 3.25)))
    _check_cuts(path)


def test_a_file_cut_short_says_what_to_do(tmp_path: Path) -> None:
    text = fresh_text(Lock())
    with pytest.raises(BadFileError, match=r"cut short.*~"):
        read_text(text[: len(text) // 2])
    # a file by hand promises nothing, and may end anywhere
    assert read_text(BY_HAND).lock
