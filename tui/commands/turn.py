"""`boltwright turn FILE --to FILE.svg`: a picture of the key's turn that moves, to show to others."""

import argparse
from pathlib import Path

from core.errors import SaveError
from core.files.project_file import load
from core.files.safe_save import save_over
from core.layout.layout import Layout
from core.text import plain
from core.whole.as_built import as_built
from tui.commands._console import say

NAME = "turn"
HELP = "write a moving picture of the key's turn"


def add(parser: argparse.ArgumentParser) -> None:
    """Declare the lock, the picture, and leave to overwrite."""
    parser.add_argument("file", metavar="FILE", type=Path, help="a project file (.toml)")
    parser.add_argument(
        "--to",
        metavar="PICTURE",
        type=Path,
        required=True,
        help="an SVG file; it plays in a browser",
    )
    parser.add_argument(
        "--replace",
        action="store_true",
        help="overwrite a file that was not written by this command",
    )


def run(args: argparse.Namespace) -> int:
    """Write the picture; returns 0.

    Raises
    ------
    BadFileError
        For a file that cannot be read as a lock.
    SaveError
        Where the picture's name does not end in .svg, a file of somebody else's is in the way, or nothing can be
        written there.
    """
    picture: Path = args.to
    if picture.suffix.lower() != ".svg":
        raise SaveError(f"{plain(str(picture))} was not written: the picture's name ends in .svg")
    project = load(args.file)
    from core.sheets.moving_picture import moving_picture, written_here

    before = _there(picture)
    if before is not None and not written_here(before) and not args.replace:
        raise SaveError(
            f"{plain(str(picture))} was not written here: give another name, or --replace to overwrite it"
        )
    save_over(picture, moving_picture(as_built(Layout(project.lock))).encode(), before)
    say(
        f"{plain(str(picture))} is written; open it in a browser. It is not at full size: for that, boltwright sheets."
    )
    return 0


def _there(path: Path) -> bytes | None:
    """Return what is there already, None for nothing."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise SaveError(f"{plain(str(path))} was not written: {error.strerror}") from error
