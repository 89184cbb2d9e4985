"""A plugin of pytest: seconds of every test that passed, -1 for one that did not, into the file of MUTATION_TIMING."""

import json
import os
from pathlib import Path

import pytest

_SECONDS: dict[str, float] = {}


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    before = _SECONDS.get(report.nodeid, 0.0)
    passed = report.outcome == "passed" and before >= 0
    _SECONDS[report.nodeid] = before + report.duration if passed else -1.0


def pytest_sessionfinish(session: pytest.Session) -> None:
    if not hasattr(session.config, "workerinput"):
        Path(os.environ["MUTATION_TIMING"]).write_text(json.dumps(_SECONDS), "utf-8")
