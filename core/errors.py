"""Refusals: every error that a maker can cause, each told in one sentence.

Each class is also a built-in exception, so that a script that knows nothing of this
package still catches what it expects (`ValueError`, `OSError`).
"""


class BoltwrightError(Exception):
    """Base of all refusals; `str()` of one is a sentence fit for the screen."""


class BadValueError(BoltwrightError, ValueError):
    """A value that a lock cannot have: says which, what was given and what is allowed."""


class BadEntryError(BoltwrightError, ValueError):
    """Text typed at a prompt or written in a file that is no length, angle or choice."""


class BadFileError(BoltwrightError, ValueError):
    """A project file that cannot be read as a lock; the sentence begins with the file's name."""


class SaveError(BoltwrightError, OSError):
    """A project file that could not be written; what was on disk before is still there."""


class BadTableError(BoltwrightError, ValueError):
    """A shipped table that is not to be relied on; the sentence names the table, the row and why."""
