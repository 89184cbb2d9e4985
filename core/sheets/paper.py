"""Papers and the date on them: what is asked before any sheet is made, so nothing else is loaded for it."""

import os
from collections.abc import Mapping
from datetime import UTC, date, datetime

from core.errors import BadEntryError

PAPERS: Mapping[str, tuple[float, float]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height [mm], upright: ISO 216, and ANSI/ASME Y14.1 size A; the usual one first."""


def today() -> date:
    """Return the date to print: today's, or that of SOURCE_DATE_EPOCH, the usual way to make the same file twice.

    Raises
    ------
    BadEntryError
        Where that is no number of seconds.
    """
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if epoch is None:
        return datetime.now().astimezone().date()
    try:
        return datetime.fromtimestamp(int(epoch), UTC).date()
    except (ValueError, OverflowError, OSError) as error:
        raise BadEntryError(
            f"SOURCE_DATE_EPOCH is {epoch!r}: it takes the seconds since 1970"
        ) from error
