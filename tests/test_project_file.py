"""The project file: what is read, refused, noted and kept.

The files are also read by `tomllib` and written by `tomlkit`, two TOML implementations that know
nothing of locks.
"""

import re
import tomllib
from pathlib import Path

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from core.errors import BadFileError, SaveError
from core.lock import FORMAT, Lock, specs
from core.project_file import Project, load, save
from core.project_reading import read_text
from core.project_text import END, HEAD, edited_text, fresh_text
from core.shipped import sample_locks
from tests.locks import changed, changes, locks

BY_HAND = """\
# Gate by the pond
title   =   "Pond gate"      # the old one
units = "in"
maker = "unsigned"

key.radius = "13/16 in"      # compass
key.bit_thickness = 3

[plate]
outline = 'traced'
points = [                   # from squared paper
    ["-1 in", 0, 0.5], ["1 in", 0.0],
    [0, -80],                # foot
]

[made]                       # measured afterwards
radius = 20.4
on = 2024-05-01
[[made.steps]]
name = "filed"

[fit]
bridge_min = 3
"""


def write(folder: Path, text: str, name: str = "lock.toml") -> Path:
    path = folder / name
    path.write_bytes(text.encode())
    return path


def refusal(text: str) -> str:
    with pytest.raises(BadFileError) as refused:
        read_text(text)
    return str(refused.value)


# reading


@pytest.mark.parametrize("path", sample_locks(), ids=lambda path: path.name)
def test_the_samples_hold_nothing_that_is_unknown(path: Path) -> None:
    # a table that is younger than the samples takes its defaults
    assert {note.code for note in load(path).notes} <= {"default-taken"}


def test_there_are_samples() -> None:
    assert sample_locks()


def test_lengths_with_units_are_read_as_mm() -> None:
    lock = read_text(BY_HAND).lock
    assert lock.key.radius == 20.6375  # 13/16 of 25.4
    assert lock.key.bit_thickness == 3.0
    assert lock.plate.points == ((-25.4, 0.0, 0.5), (25.4, 0.0), (0.0, -80.0))
    assert lock.units == "in"


def test_every_missing_key_has_a_note_that_names_it() -> None:
    text = 'title = "x"\n[key]\nradius = 19\n'
    notes = read_text(text).notes
    assert {note.level for note in notes} == {"note"}
    told = " ".join(note.text for note in notes)
    for path in specs():
        table, _, name = path.rpartition(".")
        if path in ("title", "key.radius"):
            assert f"{path} is" not in told
        elif table in ("", "key"):
            assert sum(f"{path} is not in the file" in note.text for note in notes) == 1
        else:
            (note,) = (n for n in notes if n.text.startswith(f"[{table}] is not in the file"))
            assert f" {name} " in note.text
    assert "key.shank is not in the file: 6.0 mm is taken." in told
    assert any(note.text.startswith("format is") for note in notes)


def test_every_unknown_key_has_a_note() -> None:
    texts = [note.text for note in read_text(BY_HAND).notes if note.code == "unknown-key"]
    assert [text.partition(" ")[0] for text in texts] == ["maker", "made"]
    (note,) = (n for n in read_text("format = 1\n[key]\nbow = 3\n").notes if "bow" in n.text)
    assert (note.code, note.step) == ("unknown-key", "key radius")


def test_a_note_shows_no_control_character() -> None:
    notes = read_text('format = 1\n"\\u001b[2J\\u202e" = 1\n').notes
    assert all(note.text.isprintable() for note in notes)


@pytest.mark.parametrize(
    ("line", "named", "allowed"),
    [
        ("key.radius = -3", "key.radius = -3", "0.01 to 2000 mm"),
        ("key.radius = 0", "key.radius = 0", "0.01 to 2000 mm"),
        ("key.radius = 2000.5", "key.radius = 2000.5", "0.01 to 2000 mm"),
        ("key.radius = nan", "key.radius = nan", "0.01 to 2000 mm"),
        ("key.radius = inf", "key.radius = inf", "0.01 to 2000 mm"),
        ("key.radius = 1e309", "key.radius = inf", "0.01 to 2000 mm"),
        ("key.radius = true", "key.radius = true", "0.01 to 2000 mm"),
        ("key.radius = [20]", "key.radius = [20]", "0.01 to 2000 mm"),
        ("key.radius = 2024-05-01", "key.radius = ", "0.01 to 2000 mm"),
        ("key.radius.mm = 20", "key.radius = ", "0.01 to 2000 mm"),
        ('key.radius = "20"', "key.radius = '20'", '"13/16 in"'),
        ('key.radius = "wide"', "key.radius = 'wide'", '"13/16 in"'),
        ('key.radius = "-1 in"', "key.radius = -25.4", "0.01 to 2000 mm"),
        ("key.radius = " + "9" * 400, "key.radius = 9999", "0.01 to 2000 mm"),
        ("key.radius = 0x" + "f" * 9000, "key.radius = ", "0.01 to 2000 mm"),
        ("key = 3", "key = 3", "[key]"),
        ("[[key]]", "key = ", "[key]"),
        ('units = "cm"', "units = 'cm'", "mm, in"),
        ("units = 1", "units = 1", "mm, in"),
        ("title = 3", "title = 3", "text in quotes"),
        ('tooth.pickup_angle = "3 deg"', "tooth.pickup_angle = '3 deg'", "0 to 80 degrees"),
        ("tooth.pickup_angle = -1", "tooth.pickup_angle = -1", "0 to 80 degrees"),
        ("plate.points = 3", "plate.points = 3", "[x, y]"),
        ("plate.points = [3]", "plate.points, point 1 = 3", "[x, y]"),
        ("plate.points = [[1, 2], [1]]", "plate.points, point 2 = [1", "[x, y]"),
        ("plate.points = [[1, nan]]", "plate.points, point 1 = ", "-2000 to 2000"),
        ('plate.points = [[1, "2"]]', "plate.points = ", '"13/16 in"'),
        ('plate.points = [[1, 2, "3 mm"]]', "plate.points, point 1 = ", "[x, y, bulge]"),
        ("format = 0", "format = 0", "from 1 to 1"),
        ('format = "1"', "format = '1'", "from 1 to 1"),
        ("format = true", "format = true", "from 1 to 1"),
    ],
)
def test_a_value_that_cannot_stand_is_refused(
    tmp_path: Path, line: str, named: str, allowed: str
) -> None:
    path = write(tmp_path, f"{line}\n")
    with pytest.raises(BadFileError) as refused:
        load(path)
    sentence = str(refused.value)
    assert sentence.startswith(f"{path}: {named}")
    assert allowed in sentence
    assert sentence.isprintable()
    assert len(sentence) < len(str(path)) + 250


def test_a_newer_format_is_refused_before_anything_else() -> None:
    assert "newer" in refusal(f'format = {FORMAT + 1}\nunits = "furlongs"\n')


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"", "none of the keys"),
        (b"\n \n", "none of the keys"),
        (b"# only a remark\n", "none of the keys"),
        (b"[project]\nname = 'else'\n", "none of the keys"),
        (b"title = \n", "not TOML"),
        (b"title = 'a'\ntitle = 'b'\n", "not TOML"),
        (b"title = 'a\x00'\n", "not TOML"),
        (b"title = '\xff'\n", "UTF-8"),
        ("title = 'x'\n".encode("utf-16"), "UTF-8"),
        (b"\x89PNG\r\n\x1a\n", "UTF-8"),
        (b"PK\x03\x04", "not TOML"),
        (b"x" * 1_000_001, "1 MB"),
        (b"a." * 50_000 + b"a = 1", "10 parts"),
        (b"['a'." + b'"b".' * 50_000 + b"c]", "10 parts"),
        (b"x = {" + b"a . " * 50_000 + b"a = 1}", "10 parts"),
        (b"x = " + b"[" * 100_000, "20 brackets"),
        (b"x = " + b"{a = " * 100_000, "20 brackets"),
        (b"key.radius = " + b"9" * 5000, "thousands of digits"),
    ],
)
def test_a_file_that_is_no_lock_is_refused(tmp_path: Path, content: bytes, why: str) -> None:
    path = tmp_path / "lock.toml"
    path.write_bytes(content)
    with pytest.raises(BadFileError) as refused:
        load(path)
    assert str(refused.value).startswith(f"{path}: it ")
    assert why in str(refused.value)
    assert str(refused.value).isprintable()


def test_dots_and_brackets_in_texts_and_remarks_are_no_matter() -> None:
    dots, brackets = "a." * 40 + "a", "[{" * 60
    text = f'# {dots} {brackets}\ntitle = "{dots} \\" {brackets}"\n'
    text += f'notes = """\n{dots}\\"""{brackets}"""\n'
    assert read_text(text).lock.title == f'{dots} " {brackets}'


def test_what_is_no_file_is_refused(tmp_path: Path) -> None:
    for path, why in [
        (tmp_path, "a folder"),
        (tmp_path / "none.toml", "no such file"),
        (tmp_path / "x" / "none.toml", "no such file"),
        (Path("/dev/zero"), "not a file"),
        (tmp_path / "nul\0.toml", "this name"),
        (tmp_path / ("n" * 300), "cannot be read"),
    ]:
        with pytest.raises(BadFileError, match=why):
            load(path)


def test_a_byte_order_mark_and_line_ends_of_other_systems_are_read() -> None:
    text = "\ufeff" + BY_HAND.replace("\n", "\r\n")
    assert read_text(text).lock == read_text(BY_HAND).lock


@given(st.text(max_size=80) | st.text("[]{}.\"'=#a1\n\\", max_size=60))
def test_any_text_is_a_lock_or_a_refusal(text: str) -> None:
    try:
        assert isinstance(read_text(text).lock, Lock)
    except BadFileError as refused:
        assert "\n" not in str(refused)  # noqa: PT017 - either outcome is right, nothing else is


# writing


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


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
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
    assert (now["made"], now["maker"]) == (was["made"], was["maker"])
    for remark in ("# Gate by the pond", "# compass", "# measured afterwards", "# the old one"):
        assert remark in text
    if lock.key.radius == old.lock.key.radius:
        assert 'key.radius = "13/16 in"' in text


FORMS = {
    "inline table": 'format = 1\nkey = { radius = "1 in", bow = 3 } # inline\nzzz = 1\n',
    "nothing after a table": "format = 1\n[fit]\n[key]",
    "no line end": "format = 1\n[key]\nradius = 20 # last",
    "remarks at the end": "format = 1\n[key]\nradius = 20\n\n# on the key\n# and more\n",
    "tables out of order": "format = 1\n[made.a]\nx = 1\n[fit]\n[made.b]\ny = 2\n",
    "table within": "format = 1\n[key]\nradius = 20\n[key.bow]\nwide = 3\n[plate]\nwidth = 60\n",
    "only a table within": "format = 1\n[key.bow]\nwide = 3\n",
    "quoted keys": '"format" = 1\n["key"]\n\'radius\' = 20\n',
    "indented": "format = 1\n  [key]\n    radius = 20\n    shank = 5\n",
    "several lines": 'format = 1\nnotes = """\nfirst\n# end of lock\nlast"""\n[key]\nradius = 20\n',
    "lists of tables": "format = 1\n[[made]]\na = 1\n[[made]]\na = 2\n[key]\nradius = 20\n",
    "dotted and table": "format = 1\nkey.radius = 20\nplate.width = 60\n[fit]\nbridge_min = 3\n",
    "added below the end": f"{HEAD}\nformat = 1\n[key]\nradius = 20\n{END}\n\n[made]\na = 1\n",
    "text below the end": f'{HEAD}\nnotes = """\n{END}\n"""\n{END}\n[made]\na = 1\n',
}


@pytest.mark.parametrize("source", FORMS.values(), ids=FORMS)
@pytest.mark.parametrize("line_end", ["\n", "\r\n"], ids=["lf", "crlf"])
@given(new=changes())
@settings(max_examples=25)
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
    for length in range(len(content)):
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
def test_no_part_of_an_edited_file_loads_with_data_missing(tmp_path: Path, source: str) -> None:
    path = write(tmp_path, source)
    project = load(path)
    save(project.with_lock(project.lock.with_value("fit.bridge_min", 3.25)))
    _check_cuts(path)


def test_a_file_cut_short_says_what_to_do(tmp_path: Path) -> None:
    text = fresh_text(Lock())
    sentence = refusal(text[: len(text) // 2])
    assert "cut short" in sentence
    assert "~" in sentence
    # a file by hand promises nothing, and may end anywhere
    assert read_text(BY_HAND).lock
