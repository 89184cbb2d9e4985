"""Writing sheets into a folder, by the command as a person runs it and by the program's own way in."""

import json
import os
import pty
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from core.errors import BadEntryError, SaveError
from core.files.safe_save import replace_file
from core.layout.layout import Layout
from core.sheets.folder import LIST, Folder, NotOursError
from core.sheets.write import file_stem, sheet_titles, write_sheets
from core.shipped import sample_locks
from tests.sheet_reading import DAY, SAMPLES
from tui.command import main

ROOT = Path(__file__).parents[1]
SAMPLE = sample_locks()[0]
QUICK = ("report",)  # one small file is enough where only the folder matters
LAYOUT = Layout(SAMPLES[0])
OTHER = Layout(SAMPLES[0].with_value("title", "Another lock"))
FILE = "boathouse-report.txt"


def write(folder: Path, layout: Layout = LAYOUT, *, replace: bool = False) -> list[str]:
    done = write_sheets(layout, folder, day=DAY, source=SAMPLE, only=QUICK, replace=replace)
    return [path.name for path in done.files]


@dataclass(frozen=True)
class Done:
    returncode: int
    stdout: str
    stderr: str


@pytest.fixture
def sheets(
    capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Callable[..., Done]:
    """The command as its entry point runs it, without a terminal, in this process: starting one takes a second."""

    def run(*words: str, **environment: str) -> Done:
        for name, value in environment.items():
            monkeypatch.setenv(name, value)
        with open(os.devnull) as nothing:
            monkeypatch.setattr(sys, "stdin", nothing)
            try:
                code = main(["sheets", *words])
            except SystemExit as stopped:
                code = int(str(stopped.code))
        out, err = capfd.readouterr()
        return Done(code, out, err)

    return run


@pytest.mark.slow
def test_all_sheets_of_a_lock_are_written(tmp_path: Path) -> None:
    seen = []
    done = write_sheets(
        Layout(SAMPLES[1]), tmp_path / "new" / "folder", day=DAY, source=Path("Gate Öl.toml"), paper="Letter",
        progress=lambda number, count, name: seen.append((number, count, name)),
    )  # fmt: skip
    names = [path.name for path in done.files]
    assert seen == [(n, len(names), name) for n, name in enumerate(names, start=1)]
    assert sorted(os.listdir(tmp_path / "new" / "folder")) == sorted([*names, LIST])
    # bench card, tables and report are no drawings
    for sheet in tuple(sheet_titles(Layout(SAMPLES[1])))[:-3]:
        assert {f"gate-ol-{sheet}.svg", f"gate-ol-{sheet}.dxf"} <= set(names)
    assert {
        "gate-ol-templates.pdf",
        "gate-ol-tables.pdf",
        "gate-ol-tables.md",
        "gate-ol-report.txt",
    } <= set(names)
    assert all(path.stat().st_size > 500 for path in done.files)


@pytest.mark.slow
def test_command_writes_the_same_files_for_the_same_date(
    sheets: Callable[..., Done], tmp_path: Path
) -> None:
    # a process of its own, in which sets come in another order
    words = ["sheets", str(SAMPLE), "--only", "bolt", "--to"]
    other = subprocess.run(
        [sys.executable, "-m", "tui.command", *words, str(tmp_path / "one")],
        stdin=subprocess.DEVNULL, capture_output=True, text=True, cwd=ROOT, check=False,
        env={**os.environ, "SOURCE_DATE_EPOCH": "86400", "PYTHONHASHSEED": "4"},
    )  # fmt: skip
    assert (other.returncode, other.stderr) == (0, "")
    assert "1 of 3" in other.stdout
    assert sheets(*words[1:], str(tmp_path / "two"), SOURCE_DATE_EPOCH="86400").returncode == 0
    one, two = (
        {p.name: p.read_bytes() for p in (tmp_path / name).iterdir()} for name in ("one", "two")
    )
    assert one == two
    assert set(one) == {*(f"boathouse-bolt.{kind}" for kind in ("pdf", "svg", "dxf")), LIST}
    assert b"1970-01-02" in one["boathouse-bolt.svg"]


def test_own_files_are_overwritten_unasked(tmp_path: Path) -> None:
    names = write(tmp_path)
    assert write(tmp_path, OTHER) == names
    assert "Another lock" in (tmp_path / FILE).read_text()


@pytest.mark.parametrize(
    "how", ["changed", "not listed", "list gone", "list broken", "a folder", "a link"]
)
def test_files_of_somebody_else_are_left_alone(how: str, tmp_path: Path) -> None:
    write(tmp_path)
    file = tmp_path / FILE
    before = file.read_bytes()
    if how == "changed":
        file.write_bytes(b"mine now")
    elif how == "not listed":
        listed = json.loads((tmp_path / LIST).read_text())
        del listed["sha256"][file.name]
        (tmp_path / LIST).write_text(json.dumps(listed))
    elif how == "list gone":
        (tmp_path / LIST).unlink()
    elif how == "list broken":
        (tmp_path / LIST).write_bytes(b"[[[[" * 5000)
    elif how == "a folder":
        file.unlink()
        file.mkdir()
    else:
        other = tmp_path / "other"
        other.write_bytes(before)
        file.unlink()
        file.symlink_to(other)
    kept = {p.name: p.read_bytes() for p in tmp_path.iterdir() if p.is_file()}
    with pytest.raises(NotOursError, match=r"boathouse-report\.txt") as refused:
        write(tmp_path, OTHER)
    assert FILE in refused.value.names
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir() if p.is_file()} == kept
    if how != "a folder":
        write(tmp_path, OTHER, replace=True)
        assert b"Another lock" in file.read_bytes()
        assert write(tmp_path)  # ours again


def test_command_refuses_without_a_terminal_and_replaces_when_told(
    sheets: Callable[..., Done], tmp_path: Path
) -> None:
    (tmp_path / FILE).write_text("drawn by hand")
    words = (str(SAMPLE), "--to", str(tmp_path), "--only", "report")
    refused = sheets(*words)
    assert refused.returncode == 2
    assert refused.stdout == ""
    assert FILE in refused.stderr
    assert refused.stderr.count("\n") == 1
    assert (tmp_path / FILE).read_text() == "drawn by hand"
    assert sheets(*words, "--replace").returncode == 0


@pytest.mark.skipif(
    os.name != "posix", reason="a terminal to ask on is made with pty, which only Unix has"
)
@pytest.mark.parametrize(("answer", "replaced"), [(b"yes\n", True), (b"no\n", False)])
@pytest.mark.slow
def test_command_asks_on_a_terminal(answer: bytes, replaced: bool, tmp_path: Path) -> None:
    file = tmp_path / FILE
    file.write_text("drawn by hand")
    ours, theirs = pty.openpty()
    try:
        running = subprocess.Popen(
            [sys.executable, "-m", "tui.command", "sheets", str(SAMPLE), "--to", str(tmp_path), "--only", "report"],
            stdin=theirs, stdout=theirs, stderr=theirs, cwd=ROOT,
        )  # fmt: skip
        os.write(ours, answer)
        code = running.wait(timeout=60)
    finally:
        os.close(theirs)
        os.close(ours)
    assert code == (0 if replaced else 2)
    assert (file.read_text() != "drawn by hand") is replaced


@pytest.mark.parametrize("words", [["--only", "hinge"], ["--paper", "A3"], ["--to"]])
def test_command_says_what_is_allowed(
    words: list[str], sheets: Callable[..., Done], tmp_path: Path
) -> None:
    done = sheets(str(SAMPLE), *(["--to", str(tmp_path)] if words != ["--to"] else []), *words)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr
    if "hinge" in words:
        assert "key-gauge" in done.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.slow
def test_command_says_that_a_folder_cannot_be_written_to(
    sheets: Callable[..., Done], tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("in the way")
    for folder in (tmp_path / "file", tmp_path / "file" / "below", tmp_path / ("n" * 300)):
        done = sheets(str(SAMPLE), "--to", str(folder))
        assert (done.returncode, done.stdout) == (2, "")
        assert done.stderr.count("\n") == 1
        assert "took no sheets" in done.stderr
    assert os.listdir(tmp_path) == ["file"]


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may write everywhere")
def test_folder_without_permission(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    with pytest.raises(SaveError, match="cannot be written to"):
        write(tmp_path)


def test_disk_that_fills_up_is_told_and_what_is_there_is_listed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real, left = replace_file, [2]

    def full(path: Path, data: bytes, mode: int | None, *, flush: bool = True) -> None:
        # the trial file and one other fit
        if path.suffix != ".json":
            left[0] -= 1
            if left[0] < 0:
                raise OSError(28, "No space left on device")
        real(path, data, mode, flush=flush)

    monkeypatch.setattr("core.sheets.folder.replace_file", full)
    with pytest.raises(SaveError, match="no room left"):
        write_sheets(LAYOUT, tmp_path, day=DAY, only=["keyhole"])
    listed = json.loads((tmp_path / LIST).read_text())["sha256"]
    assert set(listed) == {p.name for p in tmp_path.iterdir()} - {LIST}
    assert len(listed) == 1


def test_wrong_sheet_paper_and_date_are_refused(
    sheets: Callable[..., Done], tmp_path: Path
) -> None:
    with pytest.raises(BadEntryError, match="choose from"):
        write_sheets(LAYOUT, tmp_path, day=DAY, only=["bolts"])
    with pytest.raises(BadEntryError, match="A4 or Letter"):
        write_sheets(Layout(SAMPLES[0]), tmp_path, day=DAY, paper="A0")
    done = sheets(str(SAMPLE), "--to", str(tmp_path), SOURCE_DATE_EPOCH="yesterday")
    assert done.returncode == 2
    assert "SOURCE_DATE_EPOCH" in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_folder_with_a_nul_in_its_name_is_refused() -> None:
    with pytest.raises(SaveError, match="no folder can have this name"):
        Folder(Path("a\0b"))


def test_names_of_files_are_plain() -> None:
    assert file_stem(Path("/x/Mein Schloß Nr. 5.toml")) == "mein-schlo-nr-5"
    assert file_stem(Path("船.toml")) == "lock"
    assert file_stem(None) == "lock"
    assert len(file_stem(Path("a" * 300))) == 60


def test_letters_that_the_pdf_lacks_are_told(tmp_path: Path) -> None:
    lock = SAMPLES[0].with_value("title", "船屋")
    done = write_sheets(Layout(lock), tmp_path, day=DAY, only=["keyhole"])
    assert len(done.notes) == 1
    assert "船屋" in done.notes[0]
    assert "船屋" in (tmp_path / "lock-keyhole.svg").read_text()


def test_the_rest_of_the_program_waits_for_none_of_the_writing_libraries() -> None:
    code = (
        "import sys, tui.command, tui.commands.sheets, core.whole.assembly, core.report.bench_report\n"
        "core.whole.assembly.all_parts()\n"
        "print([name for name in ('fpdf', 'ezdxf', 'fontTools', 'PIL') if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


def test_read_without_permission_is_no_traceback(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(tmp_path)

    def closed(_: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", closed)
    with pytest.raises(SaveError, match="took no sheets"):
        write(tmp_path)
