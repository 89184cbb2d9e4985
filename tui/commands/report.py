"""`boltwright report FILE`: the bench report as text, or as JSON for scripts."""

import argparse
from pathlib import Path

from core.files.project_file import load
from core.layout.layout import Layout
from core.report.bench_report import bench_report
from core.report.data import report
from tui.commands._answers import say_data, verdict_code
from tui.commands._console import say

NAME = "report"
HELP = "print the bench report of a lock"


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the file, and the choice of JSON."""
    parser.add_argument("file", metavar="FILE", type=Path, help="a project file (.toml)")
    parser.add_argument("--json", action="store_true", help="print data for scripts instead")


def run(args: argparse.Namespace) -> int:
    """Print the report; returns 1 where a finding stops the lock, else 0.

    Raises
    ------
    BadFileError
        For a file that cannot be read as a lock.
    """
    project = load(args.file)
    layout = Layout(project.lock)
    if args.json:
        say_data(report(layout, project.notes))
    else:
        say(bench_report(layout, project.notes))
    return verdict_code(layout)
