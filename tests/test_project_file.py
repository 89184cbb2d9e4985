"""The project file: what is read, refused and noted."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import BadFileError
from core.files.project_file import load
from core.files.project_reading import MOST_UNKNOWN, read_text
from core.lock.lock import FORMAT, Lock, specs
from core.shipped import sample_locks
from tests.locks import BY_HAND


def refusal(text: str) -> str:
    with pytest.raises(BadFileError) as refused:
        read_text(text)
    return str(refused.value)


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
            assert f"has no {path}:" not in told
        elif table in ("", "key"):
            assert sum(f"The file has no {path}:" in note.text for note in notes) == 1
        else:
            (note,) = (n for n in notes if n.text.startswith(f"[{table}] is not in the file"))
            assert f" {name} " in note.text
    assert "The file has no key.shank: 6.0 mm is taken." in told
    assert any(note.text.startswith("The file has no format:") for note in notes)


def test_every_unknown_key_has_a_note() -> None:
    texts = [note.text for note in read_text(BY_HAND).notes if note.code == "unknown-key"]
    assert [text.partition(" ")[0] for text in texts] == ["maker", "diary"]
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
        ("key.radius = 0x10", "key.radius = 0x10", "0.01 to 2000 mm, written in tens (0x10 is 16)"),
        ("key.radius = 0o17 # x", "key.radius = 0o17", "(0o17 is 15)"),
        ("key = { shank = 0b1_1 }", "key.shank = 0b1_1", "(0b1_1 is 3)"),
        ("plate.points = [[1, 0x2]]", "plate.points = 0x2", "written in tens"),
        ("plate.points = [ # two\n[0x2, 1],\n]", "plate.points = 0x2", "written in tens"),
        (
            "[made.bolt.measured]\nkey.radius = 0x10",
            "made.bolt.measured.key.radius = 0x10",
            "in tens",
        ),
        ("title = 0x10", "title = 0x10", "text in quotes"),
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
    path = tmp_path / "lock.toml"
    path.write_text(f"{line}\n")
    with pytest.raises(BadFileError) as refused:
        load(path)
    sentence = str(refused.value)
    assert sentence.startswith(f"{path}: {named}")
    assert allowed in sentence
    assert sentence.isprintable()
    assert len(sentence) < len(str(path)) + 250


def test_a_number_to_another_base_is_kept_where_it_is_no_measure() -> None:
    text = "format = 0x1\n0x10 = 0x20\n[0x10a]\n0x3.b = [0x4, 0x_5]\n"
    assert "not TOML" in refusal(text)
    reading = read_text(text.replace("0x_5", '"0x5", { c = 0x6 }'))
    assert repr(dict(reading.unknown)) == (
        "{('0x10',): 0x20, ('0x10a',): {'0x3': {'b': [0x4, '0x5', {'c': 0x6}]}}}"
    )
    told = [note.text.partition(" ")[0] for note in reading.notes if note.code == "unknown-key"]
    assert told == ["0x10", "0x10a"]
    # no exponent of the file's own is taken for one
    inf = read_text("format = 1\na = 0x1\nb = 0e0000000001\nc = 7e00000000001\n").unknown
    assert repr(dict(inf)) == "{('a',): 0x1, ('b',): 0.0, ('c',): 70.0}"


@pytest.mark.parametrize("number", ["-0.0", "1e-300", "-5e-324", "0.0000000001"])
def test_what_is_no_measure_is_read_as_0_and_told(number: str) -> None:
    reading = read_text(f"format = 1\n[pivot]\nacross = {number}\nbelow = 54\nhole = 6\n")
    (note,) = (note for note in reading.notes if note.code == "taken-as-zero")
    assert repr(reading.lock.pivot.across) == "0.0"
    assert "pivot.across = " in note.text
    assert note.step == "pivot"
    points = read_text(f"format = 1\nplate.points = [[{number}, 1, -0.0], [2, 3]]\n")
    assert points.lock.plate.points == ((0.0, 1.0, 0.0), (2.0, 3.0))
    assert "taken-as-zero" in [note.code for note in points.notes]
    assert "taken-as-zero" not in [note.code for note in read_text("pivot.across = 0.0\n").notes]


def test_unknown_keys_beyond_some_are_counted() -> None:
    many = "".join(f"k{n} = 1\n" for n in range(1000))
    notes = [n for n in read_text(f"format = 1\n{many}").notes if n.code == "unknown-key"]
    assert len(notes) == MOST_UNKNOWN + 1
    assert notes[-1].text == "980 more keys are unknown to this program; they are kept in the file."
    long = [n for n in read_text(f"format = 1\n{'k' * 9000} = 1\n").notes if "unknown" in n.text]
    assert len(long[0].text) < 200


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
