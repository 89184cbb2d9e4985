"""The catalogue of findings: every code declared once, by what finds it, and nothing found without one."""

import ast
import importlib
import pkgutil
from dataclasses import replace
from pathlib import Path

import pytest

import core
from core.checks import gathered
from core.checks.catalogue import catalogue, declared
from core.layout.codes import Code
from core.layout.layout import Layout
from core.parts.posts import PART
from tests.counts import seeds, tries
from tests.designs import plausible, stretched
from tests.locks import posted
from tests.test_catalogue import places

TOP = Path(__file__).resolve().parent.parent


def test_every_code_names_a_step_that_there_is() -> None:
    for code in catalogue().values():
        assert code.step in {"", *places()}, code


def test_every_code_says_what_it_means_in_one_sentence() -> None:
    meanings = [code.meaning for code in catalogue().values()]
    assert len(set(meanings)) == len(meanings)
    for meaning in meanings:
        assert meaning[0].isupper()
        assert meaning.endswith(".")
        assert ". " not in meaning
        assert "{}" not in meaning
        assert len(meaning) <= 130


def test_every_code_in_a_module_is_declared_by_what_finds_it() -> None:
    listed = {id(code) for check in gathered.all_checks() for code in check.codes}
    for module in pkgutil.walk_packages(core.__path__, "core."):
        inside = vars(importlib.import_module(module.name)).values()
        for code in (value for value in inside if isinstance(value, Code)):
            known = catalogue()[code.name]
            assert known == code
            assert id(code) in listed or known is code


def test_every_finding_is_made_by_a_code() -> None:
    # what is made otherwise would be missing in the catalogue; the one call is that of the codes themselves
    makers = [
        file.relative_to(TOP).as_posix()
        for file in [*TOP.glob("core/**/*.py"), *TOP.glob("tui/**/*.py")]
        for node in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Finding"
    ]
    assert makers == ["core/layout/codes.py"]


def test_every_end_of_a_window_names_a_code() -> None:
    seen = 0
    for seed in seeds(3, 8):
        for make in (plausible, stretched):
            layout = Layout(make(seed))
            for check in gathered.all_checks():
                for bound in check.bounds(layout):
                    assert catalogue()[bound.code.name] == bound.code
                    seen += 1
            posts = Layout(posted((0.0, -26.0), (20.0, 18.0), (21.0, 30.0), lock=make(seed)))
            for bound in PART.bounds(posts):
                assert replace(declared(bound.code.name), name=bound.code.name) == bound.code
    assert seen > tries(75, 200)


def test_a_code_that_is_declared_twice_would_be_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    first = gathered.all_checks()[0]
    monkeypatch.setattr("core.checks.catalogue.all_checks", lambda: (first, first))
    with pytest.raises(ValueError, match="plate-outline is declared twice"):
        catalogue.__wrapped__()
