"""Loading what a command needs, without looking for garbage meanwhile."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def loading() -> Iterator[None]:
    """Look for no garbage while modules are loaded, and never again among what they brought along.

    All of that stays to the end. To look through it takes a seventh of the start, and 20 ms at some key later on.
    """
    looks = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        if looks:
            gc.enable()
