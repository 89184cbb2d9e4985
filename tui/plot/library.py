"""plotext, loaded without its manual, which it writes itself, its tests, and Pillow, with which it would show pictures.

These take four fifths of the time that it takes to load, and nobody asks for them here.
"""

import sys
from importlib import import_module
from types import ModuleType
from typing import Any

_LEFT_OUT = {"plotext._doc.doc": "docs", "plotext._tests.run": "test"}
"""By module the one name that plotext takes from it."""
_OPTIONAL = "PIL"
"""What plotext does without where it is not installed."""


def _loaded() -> Any:
    """Return plotext: with nothing in place of what is left out, or whole, where another release wants more of that."""
    if "plotext" in sys.modules:
        return sys.modules["plotext"]
    missing = _OPTIONAL not in sys.modules
    if missing:
        sys.modules[_OPTIONAL] = None  # type: ignore[assignment]  # is taken for not installed
    blank = {name: ModuleType(name) for name in _LEFT_OUT}
    for name, module in blank.items():
        setattr(module, _LEFT_OUT[name], None)
    sys.modules.update(blank)
    try:
        return import_module("plotext")
    except ImportError:
        for name in [name for name in sys.modules if name.split(".")[0] == "plotext"]:
            del sys.modules[name]
        return import_module("plotext")
    finally:
        for name, module in blank.items():
            if sys.modules.get(name) is module:
                del sys.modules[name]
        if missing:
            del sys.modules[_OPTIONAL]


plotext = _loaded()
