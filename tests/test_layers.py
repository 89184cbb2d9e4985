"""The house has one way through it: every import points down, also where modules are found by themselves."""

import ast
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parent.parent
RULES = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"]
DISCOVERERS = {
    # module that loads others by a name worked out as it runs: the rooms from which it takes them
    "core.whole.assembly": ("core.parts",),
    "core.checks.gathered": ("core.turning", "core.made"),
    "core.sheets.gathering": ("core.sheets",),
    "tui.keys.every_key": ("tui.keys",),
    "core.lock.row_kinds": ("core.lock",),
    "tui.steps.walk": ("tui.steps",),
    "tui.work.screen": ("tui.change", "tui.made", "tui.sheets", "tui.turn"),
    "tui.command": ("tui.commands",),
}


def ranks(container: str) -> dict[str, int]:
    """Return every room of `core` or `tui` with its height: the higher may import the lower."""
    (contract,) = (c for c in RULES["contracts"] if c.get("containers") == [container])
    storeys = [[room.strip() for room in layer.split("|")] for layer in contract["layers"]]
    return {
        f"{container}.{room}": len(storeys) - number
        for number, storey in enumerate(storeys)
        for room in storey
    }


HEIGHT = {**ranks("core"), **ranks("tui")}


def room(module: str) -> str:
    return ".".join(module.split(".")[:2])


def modules() -> Iterator[tuple[str, ast.Module]]:
    for file in sorted([*TOP.glob("core/**/*.py"), *TOP.glob("tui/**/*.py")]):
        name = ".".join(file.relative_to(TOP).with_suffix("").parts).removesuffix(".__init__")
        yield name, ast.parse(file.read_text("utf-8"))


def lint(folder: Path) -> subprocess.CompletedProcess[str]:
    command = [str(Path(sys.executable).parent / "lint-imports"), "--no-cache"]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)


def test_every_import_points_down() -> None:
    done = lint(TOP)
    assert done.returncode == 0, done.stdout


@pytest.mark.parametrize(
    ("module", "line", "contract"),
    [
        (
            "core/layout/layout.py",
            "from core.geometry import secant",
            "",
        ),  # points down: the control
        ("core/mechanism/law.py", "from core.lock.lock import Lock", "knows no lock"),
        ("core/parts/plate.py", "import core.turning.turn_check", "the rooms of core"),
        ("core/geometry/path.py", "import core.geometry.polygons", "no circle"),
        ("tui/desk/desk.py", "import tui.work.screen", "the rooms of tui"),
        ("core/lock/fields.py", "import textual", "a screen toolkit"),
    ],
)
@pytest.mark.first(1)
def test_an_import_that_points_up_would_be_seen(
    tmp_path: Path, module: str, line: str, contract: str
) -> None:
    for name in ("core", "tui"):
        shutil.copytree(TOP / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(TOP / "pyproject.toml", tmp_path)
    (tmp_path / module).write_text((TOP / module).read_text("utf-8") + f"\n{line}\n", "utf-8")
    done = lint(tmp_path)
    broken = [row for row in done.stdout.split("\n") if row.endswith("BROKEN")]
    assert (done.returncode == 0) == (contract == "") == (not broken)
    assert not broken or any(contract in row for row in broken)


def test_modules_that_are_found_lie_below_or_beside_what_finds_them() -> None:
    # a name worked out as the program runs is hidden from the contracts, so it is looked for here
    finders = {
        name
        for name, tree in modules()
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute) and node.attr == "import_module"
    }
    assert finders == set(DISCOVERERS)
    for finder, rooms in DISCOVERERS.items():
        for found in rooms:
            assert HEIGHT[found] < HEIGHT[room(finder)] or found == room(finder), (finder, found)


def test_no_import_hides_behind_a_type_check() -> None:
    # an import for the types alone is a dependency too: the contracts count it
    for contract in RULES["contracts"]:
        assert "ignore_imports" not in contract
    assert "exclude_type_checking_imports" not in RULES


SCREENS = {"screen", "state", "text", "help"}
"""What every room of a screen has."""
SIDES = {"core.lock", "core.lock.rows", "core.parts", "core.sheets.pieces", "tui.steps"}
"""Rooms in which one name is one thing: its values, what follows from them, its sheet, its step."""


def test_no_two_files_of_one_name_in_different_rooms() -> None:
    found: dict[str, set[str]] = {}
    for file in (*TOP.glob("core/**/*.py"), *TOP.glob("tui/**/*.py")):
        where = ".".join(file.relative_to(TOP).parent.parts)
        if file.stem != "__init__" and not (file.stem in SCREENS and where.startswith("tui.")):
            found.setdefault(file.stem, set()).add(where)
    for name, rooms in found.items():
        assert len(rooms) == 1 or rooms <= SIDES, (name, rooms)


NAMED = re.compile(r"`((?:core|tui)[./][A-Za-z_./]+)`")


def test_every_module_that_a_text_names_is_there() -> None:
    texts = {file: file.read_text("utf-8") for file in TOP.glob("*.md")}
    texts |= {
        file: file.read_text("utf-8")
        for file in (*TOP.glob("core/**/*.py"), *TOP.glob("tui/**/*.py"))
    }
    seen = 0
    for file, text in texts.items():
        for named in NAMED.findall(text):
            assert leads_somewhere(named), (file, named)
            seen += 1
    assert seen > 30


def leads_somewhere(named: str) -> bool:
    """Say whether a name is a file or folder, or a module with perhaps something in it."""
    if (TOP / named).exists():
        return True
    place = TOP
    for part in named.split("."):
        if not (place / part).is_dir():
            return (place / f"{part}.py").is_file()
        place = place / part
    return True
