"""Names of files and folders as the maker types them."""

from pathlib import Path

from core.errors import BadEntryError
from core.text import plain


def folder_named(text: str) -> Path:
    """Return the folder that `text` names; a ~ at its beginning is the maker's own folder.

    Raises
    ------
    BadEntryError
        For a name that begins with ~ and names nobody.
    """
    try:
        return Path(text.strip()).expanduser()
    except RuntimeError as error:
        raise BadEntryError(
            f"{plain(text.strip())} begins with ~, and nobody on this machine has that name"
        ) from error


def file_named(text: str) -> Path:
    """Return the project file that `text` names, its ending added where it has none.

    Raises
    ------
    BadEntryError
        For a name that is none, or that only a folder can have.
    """
    text = plain(text).strip()
    if not text:
        raise BadEntryError("Type a name for the file")
    path = folder_named(text)
    if path.name in ("", "..") or text.endswith(("/", "\\")):
        raise BadEntryError(f"{text} is the name of a folder: type one for the file as well")
    return path if path.suffix else path.with_suffix(".toml")
