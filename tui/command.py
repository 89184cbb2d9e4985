"""The command line: `boltwright [FILE]` opens the program, `boltwright COMMAND ...` does without.

Exit codes: 0 done, 1 what was looked at has a finding that stops it, 2 refused, with one line on
standard error that says why.
"""

import argparse
import importlib
import io
import pkgutil
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NoReturn, Protocol, cast

from core.errors import BoltwrightError
from core.text import plain
from tui import commands
from tui.commands._console import open_screen, say
from tui.commands._loading import loading

PROGRAM = "boltwright"


class Command(Protocol):
    """A module of `tui.commands`."""

    NAME: str
    HELP: str

    def add(self, parser: argparse.ArgumentParser) -> None:
        """Declare the command's arguments."""

    def run(self, args: argparse.Namespace) -> int:
        """Do it and return the exit code."""


class _Parser(argparse.ArgumentParser):
    """A parser that refuses in one line, and shows no control character of what was typed."""

    def error(self, message: str) -> NoReturn:
        self.exit(2, f"{self.prog}: {plain(message)}; see {self.prog} --help\n")


class _OpeningParser(_Parser):
    """The parser for what is no command: a file to open, or a question about the program."""

    def __init__(self) -> None:
        super().__init__(
            prog=PROGRAM,
            usage=f"{PROGRAM} [FILE]\n       {PROGRAM} COMMAND ...",
            description="Settle how the key carries the bolt of a padlock, before cutting metal.",
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        self.add_argument("file", metavar="FILE", nargs="?", type=Path, help="a project file")
        self.add_argument("--version", action=_Version, nargs=0, help="print the version")

    def format_help(self) -> str:
        # only here are all commands imported
        found = [command for name in _names() if (command := _command(name)) is not None]
        lines = [f"  {command.NAME:<10} {command.HELP}" for command in found]
        self.epilog = "\n".join(["commands, each with its own --help:", *lines])
        return super().format_help()


class _Version(argparse.Action):
    """Print the version and stop."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> NoReturn:
        # reading the installed package's data takes 40 ms, too long for every start
        from importlib import metadata

        try:
            version = metadata.version(PROGRAM)
        except metadata.PackageNotFoundError:
            version = "of a folder that is not installed"
        say(f"{PROGRAM} {version}")
        parser.exit()


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line, by default that of the process, and return the exit code."""
    words = sys.argv[1:] if arguments is None else list(arguments)
    for stream in (sys.stdout, sys.stderr):
        # a terminal that has no degree sign gets a question mark, not an error
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        return _run(words)
    except BoltwrightError as error:
        if sys.stderr is not None:
            sys.stderr.write(f"{PROGRAM}: {plain(str(error))}\n")
        return 2
    except KeyboardInterrupt:
        return 130  # what shells give for a program stopped by Ctrl-C


def _run(words: Sequence[str]) -> int:
    # only a bare word is a command, so that a file of the same name opens as ./report
    command = _command(words[0]) if words else None
    if command is None:
        return open_screen(_OpeningParser().parse_args(words).file)
    parser = _Parser(prog=f"{PROGRAM} {command.NAME}", description=f"{command.HELP.capitalize()}.")
    command.add(parser)
    return command.run(parser.parse_args(words[1:]))


def _names() -> Iterator[str]:
    modules = (module.name for module in pkgutil.iter_modules(commands.__path__))
    return (name.replace("_", "-") for name in sorted(modules) if not name.startswith("_"))


def _command(name: str) -> Command | None:
    """Return the command of that name, None where there is none; no other one is imported."""
    if name not in _names():
        return None
    with loading():
        module = importlib.import_module(f"{commands.__name__}.{name.replace('-', '_')}")
    return cast("Command", module)


if __name__ == "__main__":
    sys.exit(main())
