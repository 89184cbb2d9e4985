"""`boltwright demo`: the start screen, from which the sample locks open."""

import argparse

from tui.commands._console import open_screen

NAME = "demo"
HELP = "open the start screen, with the sample locks"


def add(_: argparse.ArgumentParser) -> None:
    """Declare no arguments."""


def run(_: argparse.Namespace) -> int:
    """Open the start screen; returns the program's exit code."""
    return open_screen(None)
