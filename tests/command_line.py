"""The command line run in this process, as its entry point runs it: one of its own takes half a second to start."""

import contextlib
import io
import os
import subprocess
import sys
from pathlib import Path
from unittest import mock

from tui.command import main

ROOT = Path(__file__).parents[1]


def boltwright(*words: str, cwd: Path = ROOT) -> subprocess.CompletedProcess[bytes]:
    """Run a command where there is no terminal, and return what a process of its own would have."""
    out, err = (io.TextIOWrapper(io.BytesIO(), "utf-8") for _ in range(2))
    with (
        open(os.devnull) as nothing,
        mock.patch.object(sys, "stdin", nothing),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
        contextlib.chdir(cwd),
    ):
        try:
            code = main(words)
        except SystemExit as stopped:
            code = int(str(stopped.code))
    told = []
    for stream in (out, err):
        stream.flush()
        told.append(stream.buffer.getvalue())
    return subprocess.CompletedProcess(words, code, *told)


def refusal(done: subprocess.CompletedProcess[bytes]) -> str:
    """Return the one line of a refusal."""
    assert done.returncode == 2
    assert done.stdout == b""
    line: str = done.stderr.decode()
    assert line.endswith("\n")
    assert line[:-1].isprintable()
    return line[:-1]
