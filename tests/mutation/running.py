"""One mutant after the other in copies of the project, so that the checkout is never touched."""

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from queue import SimpleQueue

from tests.mutation.changes import Mutant
from tests.mutation.covering import PARTS, TOP, Covering

FIRST = 20.0
"""Seconds of tests that are tried first; most mutants fall to them."""
PATIENCE = 6.0
"""A run may take so many times what its tests took alone, and START more; then the mutant hangs."""
START = 30.0
MOST = 240.0
"""Seconds of tests, by what they took alone, that one mutant gets at most: the narrowest of those that cover it."""


@dataclass(frozen=True)
class Outcome:
    """What became of a mutant: "caught", "hangs" (caught by the clock), "survived" or "not covered"; by which test."""

    mutant: Mutant
    fate: str
    by: str = ""
    tests: int = 0


def run_all(mutants: Sequence[Mutant], covers: Covering, jobs: int) -> Iterator[Outcome]:
    """Yield the outcome of every mutant as it is known; each job has a copy of the project of its own."""
    with ExitStack() as stack:
        copies: SimpleQueue[Path] = SimpleQueue()
        for _ in range(jobs):
            copies.put(
                _copy(Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="mutant-"))))
            )

        def one(mutant: Mutant) -> Outcome:
            copy = copies.get()
            try:
                return _judged(mutant, covers.tests(mutant.path, mutant.line), covers, copy)
            finally:
                copies.put(copy)

        with ThreadPoolExecutor(jobs) as pool:
            yield from pool.map(one, mutants)


def fails_untouched(tests: Sequence[str]) -> set[str]:
    """Return which of some tests fail in a copy without a mutant: what they caught may be no catch."""
    if not tests:
        return set()
    with tempfile.TemporaryDirectory(prefix="mutant-") as folder:
        done = _pytest(_copy(Path(folder)), tests, limit=None, stop=False)
    assert done is not None
    return {
        test for test in tests if f"FAILED {test}" in done.stdout or f"ERROR {test}" in done.stdout
    }


def _copy(folder: Path) -> Path:
    for part in PARTS:
        source = TOP / part
        if source.is_dir():
            shutil.copytree(
                source, folder / part, ignore=shutil.ignore_patterns("__pycache__", "*.pyc")
            )
        else:
            shutil.copy(source, folder / part)
    return folder


def _judged(mutant: Mutant, tests: list[str], covers: Covering, copy: Path) -> Outcome:
    if not tests:
        return Outcome(mutant, "not covered")
    file = copy / mutant.path
    whole = file.read_bytes()
    file.write_bytes(mutant.applied(whole))
    try:
        for batch in _batches(tests, covers):
            limit = START + PATIENCE * sum(covers.seconds[test] for test in batch)
            done = _pytest(copy, batch, limit=limit, stop=True)
            if done is None:
                return Outcome(mutant, "hangs", tests=len(batch))
            if done.returncode not in (0, 5):
                return Outcome(mutant, "caught", _failing(done.stdout), len(batch))
        return Outcome(mutant, "survived", tests=len(tests))
    finally:
        file.write_bytes(whole)


def _batches(tests: list[str], covers: Covering) -> Iterator[list[str]]:
    """Yield the tests in two goes: the narrowest first, the rest, as far as time allows, only if need be."""
    first, rest, spent = list[str](), list[str](), 0.0
    for test in tests:
        spent += covers.seconds[test]
        if spent <= FIRST or not first:
            first.append(test)
        elif spent <= MOST:
            rest.append(test)
    yield first
    if rest:
        yield rest


def _pytest(
    copy: Path, tests: Sequence[str], *, limit: float | None, stop: bool
) -> subprocess.CompletedProcess[str] | None:
    """Run some tests in a copy; None if they take longer than the limit [s]."""
    listed = copy / "tests.txt"
    listed.write_text("\n".join(tests), "utf-8")
    # plain runs, no cache, none of the project's own options: -n would start the toolkit's imports once for each core
    command = [
        sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", "-o", "addopts=",
        "--tb=no", "-rfE", "--benchmark-disable", "--doctest-modules", *(["-x"] if stop else []), f"@{listed}",
    ]  # fmt: skip
    env = {**os.environ, "PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"}
    env.pop("BOLTWRIGHT_APPROVE", None)
    with subprocess.Popen(
        command,
        cwd=copy,
        env=env,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        start_new_session=True,
    ) as process:
        try:
            out, _ = process.communicate(timeout=limit)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, 9)
            process.communicate()
            return None
    return subprocess.CompletedProcess(command, process.returncode, out, "")


def _failing(out: str) -> str:
    for line in out.splitlines():
        for word in ("FAILED ", "ERROR "):
            if line.startswith(word):
                return line.removeprefix(word).split(" - ")[0]
    return "the tests could not be loaded"
