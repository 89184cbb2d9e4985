"""The locks that were worked on last, wherever they stand: a list for the first screen, in the maker's own folder."""

import contextlib
import os
from pathlib import Path

from core.files.safe_save import replace_file

MOST = 20
"""Locks that are remembered."""
FILE = "recent.txt"
_LARGEST = 100_000
"""Bytes that are read of a list."""


def recent_path() -> Path:
    """Return the file with the list, a path in each line, the last one worked on first."""
    # loaded when a lock is opened: most commands know of no list
    import platformdirs

    return platformdirs.user_state_path("boltwright") / FILE


def recent() -> tuple[Path, ...]:
    """Return the locks that were worked on last and are there still, the last one first."""
    try:
        with recent_path().open("rb") as file:
            lines = file.read(_LARGEST).decode("utf-8", "replace").splitlines()
    except OSError:  # none yet, or none that can be read: then there is nothing to offer
        return ()
    found = (Path(line) for line in dict.fromkeys(lines) if line)
    return tuple(path for path in found if path.is_absolute() and os.path.isfile(path))[:MOST]


def remember(place: Path, *, gone: Path | None = None) -> None:
    """Put the lock at `place` first in the list; `gone` is where it stood before.

    A list that cannot be written is none: it is a convenience, and stands in the way of nothing.
    """
    path, first = recent_path(), os.path.abspath(place)
    dropped = {first, os.path.abspath(gone) if gone is not None else first}
    lines = [first, *(str(other) for other in recent() if str(other) not in dropped)][:MOST]
    if any("\n" in line for line in lines):
        return  # a name that no line can hold
    with contextlib.suppress(OSError, ValueError):
        path.parent.mkdir(parents=True, exist_ok=True)
        replace_file(path, "".join(f"{line}\n" for line in lines).encode(), 0o600, flush=False)
