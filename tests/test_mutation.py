"""The command that makes mutants: what it changes, what it leaves alone, and its list of equivalents."""

import json
from pathlib import Path

import pytest

from tests.mutation.__main__ import (
    EQUIVALENT,
    all_mutants,
    equivalents,
    key,
    once_more,
    rows_of,
    sample,
    share,
    shares,
    table,
)
from tests.mutation.changes import Mutant, mutants
from tests.mutation.covering import TOP, Covering
from tests.mutation.running import Outcome, run_all

SOURCE = b'''"""A module with 2 words."""
import math

SIZE: float = 1.5  # mm


@cache(True)
def area(width: float, height: float = 2.0) -> float:
    """Return 4."""
    if width <= 0 or height < 0:
        raise ValueError("no area " + str(width + 1))
    text = f"{width + 1:.2f}" + "x"
    size = max(abs(width) - 0.1, height)
    return clamp(width, math.sin(height), len(text) * 3) if size else size
'''


def changed() -> list[Mutant]:
    return mutants("core/mechanism/area.py", SOURCE)


def test_signs_limits_comparisons_arguments_constants_and_terms() -> None:
    made = {(mutant.kind, mutant.old, mutant.new) for mutant in changed()}
    assert made == {
        ("constant", "1.5", "1.875"),
        ("constant", "2.0", "2.5"),
        ("comparison", "<=", "<"),
        ("comparison", "<=", ">="),
        ("comparison", "<", "<="),
        ("comparison", "<", ">"),
        ("constant", "0", "1"),
        ("and, or", "or", "and"),
        ("dropped term", "width <= 0 or height < 0", "width <= 0"),
        ("limit or function", "max", "min"),
        ("limit or function", "sin", "cos"),
        ("dropped function", "abs(width)", "(width)"),
        ("sign", "-", "+"),
        ("sign", "*", "/"),
        ("dropped term", "abs(width) - 0.1", "abs(width)"),
        ("constant", "0.1", "0.125"),
        ("constant", "3", "4"),
        ("swapped branches", "clamp(width, math.sin(height), len(text) * 3) if size else size",
         "(size if size else clamp(width, math.sin(height), len(text) * 3))"),
        ("swapped arguments", "width, math.sin(height)", "math.sin(height), width"),
        ("swapped arguments", "math.sin(height), len(text) * 3", "len(text) * 3, math.sin(height)"),
    }  # fmt: skip


def test_texts_annotations_and_refusals_are_left_alone() -> None:
    lines = SOURCE.splitlines()
    for mutant in changed():
        assert b"raise" not in lines[mutant.line - 1]
        assert not lines[mutant.line - 1].strip().startswith(b'"""')
        assert mutant.room == "core/mechanism"
        assert mutant.compiles(SOURCE)
        assert mutant.applied(SOURCE) != SOURCE


def test_a_place_on_a_line_with_letters_of_two_bytes() -> None:
    source = 'WORD = "Ø°"; SIZE = 3 + 4  # Ø\n'.encode()
    made = {mutant.applied(source).decode() for mutant in mutants("core/x.py", source)}
    assert 'WORD = "Ø°"; SIZE = 3 - 4  # Ø\n' in made
    assert 'WORD = "Ø°"; SIZE = 3 + 5  # Ø\n' in made
    assert 'WORD = "Ø°"; SIZE = 3  # Ø\n' in made


@pytest.mark.slow
def test_the_draw_is_the_same_for_a_seed_and_takes_every_room() -> None:
    everything = all_mutants("core")
    one = sample(everything, 40, 5)
    assert one == sample(everything, 40, 5)
    assert one != sample(everything, 40, 6)
    assert {mutant.room for mutant in one} == {mutant.room for mutant in everything}
    assert len(one) == 40
    assert shares({"a": 90, "b": 9, "c": 1}, 13) == {"a": 10, "b": 2, "c": 1}
    assert shares({"a": 90, "b": 9, "c": 1}, 2) == {"a": 1, "b": 1}
    assert len({(mutant.path, mutant.line) for mutant in one}) == len(one)


def test_a_line_that_goes_changes_what_is_drawn_in_its_place_alone() -> None:
    everything = all_mutants("core/mechanism")
    whole = sample(everything, 40, 5)
    gone = whole[7]
    left = sample([mutant for mutant in everything if mutant != gone], 40, 5)
    assert set(whole) - set(left) == {gone}
    assert len(left) == len(whole)


def test_an_earlier_run_is_taken_up_again_where_its_lines_still_stand(tmp_path: Path) -> None:
    everything = all_mutants("core/mechanism/statics.py")
    drawn = sample(everything, 12, 5)
    rows = [{"key": key(each), "fate": "survived", "by": "", "tests": 3} for each in drawn]
    rows[4]["key"] = ("core/mechanism/statics.py", "a line that is no more", "1", "2")
    file = tmp_path / "results.json"
    file.write_text(json.dumps(rows))
    assert {key(one) for one in once_more(everything, rows_of(str(file)))} == {
        key(one) for one in drawn if one != drawn[4]
    }


def test_every_equivalent_is_a_mutant_that_can_be_made() -> None:
    """A line that has changed since takes its entry with it."""
    files = {path for path, *_ in equivalents()}
    made = {key(mutant) for file in files for mutant in mutants(file, (TOP / file).read_bytes())}
    assert equivalents().keys() <= made
    assert all(len(reason) > 20 for reason in equivalents().values())
    assert EQUIVALENT.exists()


def test_the_table_counts_what_matters() -> None:
    fates = ["caught", "hangs", "survived", "equivalent", "not covered"]
    outcomes = [Outcome(mutant, fate) for mutant, fate in zip(changed(), fates, strict=False)]
    assert share(outcomes) == 50.0
    assert table(outcomes).splitlines()[-1] == "| all | 5 | 2 | 1 | 1 | 0 | 1 | 50 % |"


def test_a_line_is_held_by_the_tests_of_its_statement() -> None:
    path = "core/mechanism/tooth_numbers.py"
    text = (TOP / path).read_text("utf-8").splitlines()
    given = text.index("    return {") + 1  # a statement of many lines
    gap = text.index("    gap = throw + 2 * offset") + 1
    slack = next(n for n, line in enumerate(text, start=1) if line.startswith("SLACK"))
    narrow, wide = frozenset({"one"}), frozenset({"two"})
    covers = Covering({path: {given + 2: narrow, gap: wide}}, {"one": 1.0, "two": 1.0})
    assert covers.tests(path, given + 5) == ["one"]  # a line farther on in the same statement
    assert covers.tests(path, gap) == ["two"]
    assert covers.tests(path, gap + 1) == []  # a statement that nobody goes through
    assert covers.tests(path, slack) == ["one", "two"]  # run on import
    # a statement that is run on import and in no test: what is built there is held by all of the module's tests
    covers = Covering({path: {gap: wide, gap + 1: frozenset()}}, {"two": 1.0})
    assert covers.tests(path, gap + 1) == ["two"]
    # a module of nothing but fields, of which no test runs a line: any test may see what stands there
    covers = Covering({path: {slack: frozenset()}}, {"one": 1.0, "two": 1.0})
    assert covers.tests(path, slack) == ["one", "two"]


@pytest.mark.slow
def test_mutants_of_a_real_module_are_caught_and_the_checkout_is_left_alone() -> None:
    path = "core/mechanism/strength.py"
    before = (TOP / path).read_bytes()
    wrong = next(
        m
        for m in mutants(path, before)
        if m.kind == "sign" and m.old == "*" and "16 *" in _line(m, before)
    )
    test = "tests/test_closed_forms.py::test_torsion_balances_the_torque"
    covers = Covering({path: {wrong.line: frozenset({test})}}, {test: 1.0})
    (outcome,) = run_all([wrong], covers, 1)
    assert (outcome.fate, outcome.by) == ("caught", test)
    harmless = Mutant(
        path, wrong.line, "sign", "16", "16.0", before.index(b"16 *"), before.index(b"16 *") + 2
    )
    (outcome,) = run_all([harmless], covers, 1)
    assert outcome.fate == "survived"
    assert (TOP / path).read_bytes() == before


def _line(mutant: Mutant, source: bytes) -> str:
    return source.splitlines()[mutant.line - 1].decode()
