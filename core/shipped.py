"""What comes with the program: the sample locks and the shared tables.

In a checkout they are the folders `projects` and `shared` at its top; an installed program has
copies of both inside this package (see `force-include` in pyproject.toml).
"""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def sample_locks() -> tuple[Path, ...]:
    """Return the project files that come with the program, by name."""
    return tuple(sorted(_folder("projects").glob("*.toml")))


def shared_table(name: str) -> Path:
    """Return the file of one shared table, such as `gauges.toml`.

    Raises
    ------
    KeyError
        For a table that is not there.
    """
    path = _folder("shared") / name
    if path.parent != _folder("shared") or not path.is_file():
        raise KeyError(f"no shared table is called {name!r}")
    return path


def _folder(name: str) -> Path:
    installed = _PACKAGE / "data" / name
    return installed if installed.is_dir() else _PACKAGE.parent / name
