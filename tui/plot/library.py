"""plotext, loaded without the manual that it writes of itself and the tests that it brings along.

These take three quarters of the time that it takes to load, and nobody reads them here.
"""

import sys
from importlib import import_module
from types import ModuleType
from typing import Any

_LEFT_OUT = {"plotext._doc.doc": "docs", "plotext._tests.run": "test"}
"""By module the one name that plotext takes from it."""


def _loaded() -> Any:
    """Return plotext: with nothing in place of what is left out, or whole, where another release wants more of that."""
    if "plotext" in sys.modules:
        return sys.modules["plotext"]
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


plotext = _loaded()
