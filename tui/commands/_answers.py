"""What the commands that report on locks share: their JSON, and their code.

Apart from `_console`, which opens the program and needs no lock to be worked out.
"""

import json
from collections.abc import Mapping
from typing import Any

from core.checks import gathered
from core.layout.findings import worst
from core.layout.layout import Layout
from tui.commands._console import say


def say_data(data: Mapping[str, Any]) -> None:
    """Write `data` to standard output as JSON.

    Raises
    ------
    SaveError
        As `say` does.
    """
    text = json.dumps(data, allow_nan=False, indent=2)
    say(text.replace("\x7f", "\\u007f"))  # the one control character that JSON leaves as it is


def verdict_code(layout: Layout) -> int:
    """Return a command's code for a lock that could be read: 1 where a finding stops it, else 0."""
    return 1 if worst(gathered.findings(layout)) == "stop" else 0
