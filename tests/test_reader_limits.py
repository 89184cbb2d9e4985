"""What is far too much of a file, or no file of a lock: read or refused in one sentence, within a time limit.

The bounds come from TOML 1.0 and from what an editor, a mail program or a dying disk makes of a file.
"""

import math
import os
import stat
from pathlib import Path

import pytest

from core.errors import BadFileError, SaveError
from core.files.history_file import history_path, load_history, save_history
from core.files.project_file import Project, load, save
from core.files.project_reading import read_text
from core.files.recovery import load_recovery, recovery_path, save_recovery
from core.layout.layout import Layout
from core.lock.history import History
from core.lock.kinds import MOST_POINTS
from core.lock.lock import Lock
from core.report.data import report
from tests.fault_table import proven
from tests.plates import zigzag
from tests.test_reader_fuzz import limited


def huge(room: int) -> dict[str, str]:
    """Return files of about so many bytes, each in another way."""
    return {
        "unknown keys": "format = 1\n" + "".join(f"k{n} = {n}\n" for n in range(room // 12)),
        "tables": "format = 1\n" + "".join(f"[t{n}]\nx = 1\n" for n in range(room // 16)),
        "made parts": "format = 1\n"
        + "".join(f"[made.p{n}.planned]\nkey.radius = 20\n" for n in range(room // 44)),
        "rows": "format = 1\n"
        + "".join(f"[posts.p{n}]\nacross = 1\nabove = 1\n" for n in range(room // 34)),
        "dotted keys": "format = 1\n" + "".join(f"a.b.c.d.e.k{n} = 1\n" for n in range(room // 20)),
        "one long key": f"format = 1\n{'k' * room} = 1\n",
        "one long text": f'format = 1\nnotes = "{"n" * room}"\n',
        "one long remark": f"format = 1\n# {'=' * room}\nkey.radius = 20\n",
        "points": f"format = 1\nplate.points = [{'[1, 2],' * (room // 7)}]\n",
        "points of points": f"format = 1\nplate.points = [{'[[1, 2], 3],' * (room // 12)}]\n",
        "numbers to base 16": f"format = 1\nx = [{'0x10, ' * (room // 6)}]\n",
        "brackets after commas": f"format = 1\nx = [{'[],' * (room // 3)}]\n",
        "quotes": f"format = 1\nx = {chr(39) * room}\n",
        "spaces": f"format = 1\nkey.radius = {' ' * room}20\n",
        "blank lines": "format = 1\n" + "\n" * room,
        "end marks": "format = 1\n" + "# end of lock\nx = 1\n" * (room // 20),
        "end marks after a promise": "# end of lock\n" + "# end of lock\n'" * (room // 15),
        "inline tables": f"format = 1\nx = [{'{a = 1},' * (room // 8)}]\n",
        "escapes": f'format = 1\ntitle = "{chr(92)}u0041{chr(92) + "u0041" * 9}"\nx = "{chr(92) * room}"\n',
        "exponents": f"format = 1\nx = [{'1e0000000001, ' * (room // 14)} 0x1]\n",
        "a digit too many": f"format = 1\nx = {'9' * room}\n",
        "open strings": 'format = 1\nx = """' + 'a""' * (room // 3),
    }


def read_in_time(text: str) -> int:
    """Read a file within the time limit, or see it refused; return how many notes it has."""
    with limited():
        try:
            return len(read_text(text).notes)
        except BadFileError as error:
            said = str(error)
    assert said.isprintable()
    return len(said) // 4


@pytest.mark.parametrize("name", huge(1))
@pytest.mark.first(4)
def test_a_large_file_is_read_or_refused_in_time(name: str) -> None:
    assert read_in_time(huge(60_000)[name]) < 100


@pytest.mark.slow
def test_a_file_as_large_as_is_read_is_read_or_refused_in_time() -> None:
    files = huge(900_000)
    assert all(read_in_time(text) < 100 for text in files.values())
    proven("a file as large as is read, each in its own way", len(files), 0)


@pytest.mark.parametrize("depth", [15, 400, 100_000])
@pytest.mark.parametrize("nest", ["[", "{a=", "[{a=", "[[["])
def test_a_deep_file_is_refused(depth: int, nest: str) -> None:
    with limited(), pytest.raises(BadFileError):
        read_text(f"format = 1\nx = {nest * depth}")


@pytest.mark.parametrize(("begin", "end"), [("[", "]"), ("[{a=", "}]")])
def test_twenty_brackets_inside_one_another_are_read_and_one_more_is_not(
    begin: str, end: str
) -> None:
    deep = 20 // len(begin.replace("a=", ""))
    told = read_text(f"format = 1\nx = {begin * deep}1{end * deep}")
    assert any("x" in note.text for note in told.notes)
    with pytest.raises(BadFileError, match="more than 20 brackets"):
        read_text(f"format = 1\nx = [{begin * deep}1{end * deep}]")


def things(folder: Path) -> dict[str, Path]:
    """Return names of what is no plain file."""
    made = {
        name: folder / name for name in ("pipe", "folder", "loop", "one", "other", "none", "deep")
    }
    os.mkfifo(made["pipe"])
    made["folder"].mkdir()
    made["loop"].symlink_to("loop")
    made["one"].symlink_to("other")
    made["other"].symlink_to("one")
    made["deep"].symlink_to("/".join(["folder", ".."] * 400))
    devices = {
        n: Path(n)
        for n in (
            "/dev/null",
            "/dev/zero",
            "/dev/full",
            "/dev/tty",
            "/proc/self/mem",
            "/proc/self/fd/0",
        )
    }
    return {
        **made,
        **devices,
        "a NUL": folder / "a\0b",
        "a long name": folder / ("n" * 300),
        "no folder": folder / "pipe" / "x",
    }


def test_what_is_no_plain_file_is_refused_and_left_alone(tmp_path: Path) -> None:
    found = things(tmp_path)
    before = {
        name: os.lstat(path).st_mode
        for name, path in found.items()
        if os.path.lexists(str(path).replace("\0", ""))
    }
    tried = 0
    for name, path in found.items():
        with limited():
            with pytest.raises(BadFileError) as refused:
                load(path)
            assert str(refused.value).isprintable(), name
            if name != "none":
                with pytest.raises(SaveError) as unsaved:
                    save(Project(None, Lock()), path, over=True)
                assert str(unsaved.value).isprintable(), name
            tried += 2
    for name, mode in before.items():
        assert stat.S_IFMT(os.lstat(found[name]).st_mode) == stat.S_IFMT(mode), name
    for kind in (recovery_path, history_path):
        for name in ("pipe", "loop", "folder"):
            place = tmp_path / f"{name}.toml"
            save(Project(None, Lock()), place, over=True)
            os.rename(found[name], kind(place))
            with limited():
                copy = load_recovery(place)
                assert copy is None or copy.lock is None
                assert load_history(Lock(), place, "").history == History()
                if kind is recovery_path and name == "folder":
                    with pytest.raises(SaveError, match="was not written"):
                        save_recovery(Lock(), place)
                elif kind is history_path and name == "folder":
                    with pytest.raises(SaveError, match="was not written"):
                        save_history(
                            History().changed(Lock(), Lock(title="x"), "title"),
                            Lock(title="x"),
                            place,
                            "",
                        )
            tried += 2
            os.rename(kind(place), found[name])
    proven("what is no plain file, read and written over", tried, 0)


def test_a_traced_outline_of_many_teeth_is_worked_out_in_time() -> None:
    worked_out(zigzag(MOST_POINTS // 2))


@pytest.mark.slow
@pytest.mark.parametrize(
    "points",
    [
        zigzag(MOST_POINTS),
        zigzag(MOST_POINTS, 20.0),
        tuple((x, y, 2000.0) for x, y in zigzag(MOST_POINTS, 0.0)),
        tuple((x, y, -1.0) for x, y in zigzag(MOST_POINTS, 0.0)),
        tuple((20 * x, 20 * y, 0.9) for x, y in zigzag(MOST_POINTS, 0.0)),
        ((1.0, 1.0),) * MOST_POINTS,
        tuple((float(n % 2) * 4000 - 2000, n * 2.0 - 1000) for n in range(MOST_POINTS)),
    ],
    ids=["teeth", "long teeth", "full circles", "scallops", "large", "one point", "back and forth"],
)  # fmt: skip
def test_any_traced_outline_is_worked_out_in_time(points: tuple[tuple[float, ...], ...]) -> None:
    worked_out(points)


def worked_out(points: tuple[tuple[float, ...], ...]) -> None:
    lock = Lock().with_value("plate.outline", "traced").with_value("plate.points", points)
    with limited():
        said = report(Layout(lock))
    assert math.isfinite(said["plate"]["area"])
