"""Loading what a command needs, without looking for garbage meanwhile, or starting threads that are not needed."""

import gc
import os
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def loading() -> Iterator[None]:
    """Look for no garbage while modules are loaded, and never again among what they brought along.

    All of that stays to the end. To look through it takes a seventh of the start, and 20 ms at some key later on.
    """
    # numpy's wheels start a thread per core, to multiply large matrices, which nobody does here: half of its loading
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    looks = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        if looks:
            gc.enable()
