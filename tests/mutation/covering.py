"""Which tests go through a line, and how long each takes: the suite run twice, its word kept until core changes."""

import ast
import hashlib
import json
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from typing import Any

TOP = Path(__file__).resolve().parents[2]
KEPT = TOP / ".mutation"
PARTS = (
    "core",
    "tui",
    "tests",
    "shared",
    "projects",
    "pyproject.toml",
    "DEVELOPERS.md",
    "README.md",
)
"""What a copy of the project needs for its tests."""


@dataclass(frozen=True)
class Covering:
    """Tests by file and line, and the seconds that each takes."""

    lines: dict[str, dict[int, frozenset[str]]]
    seconds: dict[str, float]

    def tests(self, path: str, line: int) -> list[str]:
        """Return the tests that go through a line, the narrowest and quickest first.

        What is run on import, such as a constant or a default, is held by all tests that go through the module, or by
        all that there are where none does.
        """
        there = self.lines.get(path, {})
        statement = _statements(path).get(line)
        lines = there if statement is None else statement
        found = frozenset().union(*(there.get(each, frozenset()) for each in lines))
        if not found and any(each in there for each in lines):
            # a function that is run on import alone; in a module of nothing but fields no test runs a line at all
            found = frozenset().union(*there.values()) or frozenset(self.seconds)
        return sorted(found, key=lambda test: (self.seconds[test] * self.breadth[test], test))

    @cached_property
    def breadth(self) -> dict[str, int]:
        """How many lines of core each test goes through: a narrow one tells more."""
        return Counter(
            t for there in self.lines.values() for tests in there.values() for t in tests
        )


@cache
def _statements(path: str) -> dict[int, range]:
    """Return for every line inside a function the lines of its innermost statement, a head without its body."""
    found: dict[int, range] = {}

    def walk(node: ast.AST, *, inside: bool) -> None:
        if inside and isinstance(node, ast.stmt):
            body = getattr(node, "body", None)
            end = body[0].lineno - 1 if body else node.end_lineno or node.lineno
            lines = range(node.lineno, max(node.lineno, end) + 1)
            found.update(dict.fromkeys(lines, lines))
        within = inside or isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        for child in ast.iter_child_nodes(node):
            walk(child, inside=within)

    walk(ast.parse((TOP / path).read_text("utf-8")), inside=False)
    return found


def covering(jobs: int, tests: Sequence[str] = ("tests",), *, fresh: bool = False) -> Covering:
    """Return what covers what, from the kept file where core is as it was, else by running the suite.

    `tests` are folders and files of tests. Those that were added or changed since are not known to the kept file;
    `fresh` runs them in any case.
    """
    KEPT.mkdir(exist_ok=True)
    kept, now = KEPT / "covering.json", _fingerprint(tests)
    if kept.exists() and not fresh:
        data = json.loads(kept.read_text("utf-8"))
        if data["of"] == now:
            return _unpacked(data)
    # how long a test takes is told by a run without coverage: under it one may seem to take thirty times as long,
    # and is then left out where time allows no more
    _run("plain", jobs, tests, ["-p", "tests.mutation.timing"])
    _run("under coverage", jobs, tests, ["--cov=core", "--cov-context=test", "--cov-report="])
    data = {"of": now, **_packed()}
    kept.write_text(json.dumps(data), "utf-8")
    return _unpacked(data)


def _fingerprint(tests: Sequence[str]) -> str:
    digest = hashlib.sha256(" ".join(tests).encode())
    for path in sorted((TOP / "core").rglob("*.py")):
        digest.update(path.relative_to(TOP).as_posix().encode() + path.read_bytes())
    return digest.hexdigest()


def _run(how: str, jobs: int, tests: Sequence[str], more: Sequence[str]) -> None:
    log = KEPT / f"suite-{how.replace(' ', '-')}.log"
    print(f"Running the suite {how}, {jobs} at a time; see {log} ...", flush=True)
    command = [
        sys.executable, "-m", "pytest", "-q", "-n", str(jobs), "--dist", "worksteal", *more, *tests,
    ]  # fmt: skip
    env = {
        **os.environ,
        "COVERAGE_FILE": str(KEPT / "coverage"),
        "MUTATION_TIMING": str(KEPT / "timing.json"),
    }
    with log.open("w", encoding="utf-8") as out:
        done = subprocess.run(
            command, cwd=TOP, env=env, stdout=out, stderr=subprocess.STDOUT, check=False
        )
    said = log.read_text("utf-8")
    if done.returncode not in (0, 1):
        raise SystemExit(f"The suite could not be run {how}:\n{said}")
    print(said.strip().splitlines()[-1])


def _packed() -> dict[str, Any]:
    from coverage import CoverageData

    timing = json.loads((KEPT / "timing.json").read_text("utf-8"))
    data = CoverageData(str(KEPT / "coverage"))
    data.read()
    names: dict[str, int] = {}
    lines: dict[str, dict[str, list[int]]] = {}
    for file in sorted(data.measured_files()):
        path = Path(file).relative_to(TOP).as_posix()
        there: dict[str, list[int]] = {}
        for line, contexts in data.contexts_by_lineno(file).items():
            tests = {context.rpartition("|")[0] for context in contexts} - {""}
            good = sorted(test for test in tests if timing.get(test, -1.0) >= 0)
            there[str(line)] = [names.setdefault(test, len(names)) for test in good]
        lines[path] = there
    return {"names": list(names), "lines": lines, "seconds": {test: timing[test] for test in names}}


def _unpacked(data: dict[str, Any]) -> Covering:
    names: list[str] = data["names"]
    packed: dict[str, dict[str, list[int]]] = data["lines"]
    lines = {
        path: {int(line): frozenset(names[n] for n in numbers) for line, numbers in there.items()}
        for path, there in packed.items()
    }
    return Covering(lines, data["seconds"])
