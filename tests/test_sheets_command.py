"""The command for sheets: files for a cutter, marks held against the file, printers, what has changed."""

from pathlib import Path

import pytest

from core.files.project_file import load
from core.layout.layout import Layout
from core.sheets import printers
from core.sheets.cutter import flat_parts
from core.shipped import sample_locks
from tui.command import main

BOAT = next(path for path in sample_locks() if path.stem == "boathouse")


@pytest.fixture
def changed(tmp_path: Path) -> Path:
    """The same lock, by the same file name, with a longer key."""
    path = tmp_path / "changed" / BOAT.name
    path.parent.mkdir()
    path.write_text(BOAT.read_text("utf-8").replace("radius = 20.0", "radius = 20.5"), "utf-8")
    lock = load(path).lock
    assert lock.key.radius == 20.5
    return path


def run(*words: object) -> int:
    return main(["sheets", *map(str, words)])


@pytest.mark.slow
def test_stale_sheets_are_told_and_a_mark_tells_paper_from_file(
    tmp_path: Path, changed: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from core.sheets.paper import today
    from core.sheets.states import marks
    from core.sheets.write import job_of

    mark = marks(job_of(Layout(load(BOAT).lock), day=today()))["bolt"]
    assert run(BOAT, "--check", mark.lower()) == 0
    assert "agree" in capsys.readouterr().out
    assert run(changed, "--check", mark) == 1
    assert "the sheet bolt" in capsys.readouterr().out
    assert run(BOAT, "--check", "zz") == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert run(BOAT, "--to", tmp_path / "to", "--only", "bolt,back-plate-outside") == 0
    assert "changed since" not in capsys.readouterr().out
    assert run(changed, "--to", tmp_path / "to", "--only", "bolt") == 0
    (told,) = [ln for ln in capsys.readouterr().out.splitlines() if "changed since" in ln]
    # the outside of the back plate knows nothing of the key
    assert told.endswith(" bolt.")


def test_a_cutter_gets_a_file_of_each_kind_for_each_part(tmp_path: Path) -> None:
    assert run(BOAT, "--to", tmp_path, "--for", "cutter", "--kerf", "0.2 mm") == 0
    parts = {flat.name.replace(" ", "-") for flat in flat_parts(Layout(load(BOAT).lock))}
    found = {path.name for path in tmp_path.iterdir() if path.suffix != ".json"}
    assert found == {f"boathouse-cutter-{part}.{kind}" for part in parts for kind in ("dxf", "svg")}


def test_parts_for_a_cutter_are_chosen_by_name_and_the_others_left_alone(
    tmp_path: Path, changed: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    to = ("--to", tmp_path, "--for", "cutter")
    assert run(BOAT, *to, "--only", "bolt, key-gauge") == 0
    found = {path.stem.removeprefix("boathouse-cutter-") for path in tmp_path.glob("*.dxf")}
    assert found == {"bolt", "key-gauge"}
    capsys.readouterr()
    assert run(changed, *to, "--only", "bolt") == 0
    told = capsys.readouterr().out
    assert "cut nothing from older copies: cutter-bolt." in told
    assert "gauge" not in told  # neither new nor left: it was not asked for
    assert run(BOAT, *to, "--only", "tables") == 2
    refusal = capsys.readouterr().err
    assert "no part to cut called 'tables'" in refusal
    assert "key-gauge" in refusal


@pytest.mark.slow
def test_a_printer_is_measured_once_and_known_by_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(printers, "own_file", lambda: tmp_path / "settings" / "printers.toml")
    to = ("--to", tmp_path / "to")
    assert run(BOAT, *to, "--test-page", "--printer", "shop", "--bars", "149.4", "150.2 mm") == 0
    assert [p.name for p in (tmp_path / "to").glob("*.pdf")] == ["printer-test-page.pdf"]
    assert printers.Printers().printer("shop").across == pytest.approx(149.4 / 150)
    assert run(BOAT, *to, "--only", "bolt", "--printer", "shop") == 0
    capsys.readouterr()
    for words in (
        ("--printer", "other"), ("--bars", "150", "150"), ("--kerf", "0.2"), ("--for", "cutter", "--kerf", "9"),
        *(("--printer", "shop", "--bars", bar, "150") for bar in ("5", "500", "0")),
    ):  # fmt: skip
        assert run(BOAT, *to, *words) == 2
        assert capsys.readouterr().err.count("\n") == 1
    assert run(BOAT) == 2
    assert "--to FOLDER" in capsys.readouterr().err
