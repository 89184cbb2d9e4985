"""`boltwright compare OLD NEW`: two locks held against each other, as text or as JSON for scripts."""

import argparse
from dataclasses import asdict
from pathlib import Path

from core.change.comparison import compare
from core.change.comparison_data import comparison_data
from core.change.comparison_text import comparison_text
from core.files.project_file import load
from core.layout.layout import Layout
from tui.commands._answers import say_data, verdict_code
from tui.commands._console import say

NAME = "compare"
HELP = "print what differs between two locks, and what came of it"


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the two files, and the choice of JSON."""
    parser.epilog = (
        "Exit status: 0 nothing stops the new lock, 1 a finding stops it, 2 a file cannot be read."
    )
    parser.add_argument("old", metavar="OLD", type=Path, help="the project file before (.toml)")
    parser.add_argument("new", metavar="NEW", type=Path, help="the project file after")
    parser.add_argument("--json", action="store_true", help="print data for scripts instead")


def run(args: argparse.Namespace) -> int:
    """Print the comparison; returns 1 where a finding stops the new lock, else 0.

    Raises
    ------
    BadFileError
        For a file that cannot be read as a lock.
    """
    projects = [load(path) for path in (args.old, args.new)]
    old, new = (Layout(project.lock) for project in projects)
    comparison = compare(old, new)
    notes = (projects[0].notes, projects[1].notes)
    if args.json:
        told = {
            name: [asdict(n) for n in found]
            for name, found in zip(("old", "new"), notes, strict=True)
        }
        say_data({**comparison_data(comparison), "notes": told})
    else:
        say(comparison_text(comparison, notes))
    return verdict_code(new)
