"""The garbage collector put off, while much is made at once and nothing of it is circular.

Otherwise it would look at every record again and again while more are made.

>>> with uncollected():
...     gc.isenabled()
False
>>> gc.isenabled()
True
"""

import gc
from collections.abc import Iterator
from contextlib import contextmanager

__all__ = ["uncollected"]


@contextmanager
def uncollected() -> Iterator[None]:
    """No collection within; afterwards it is as it was before."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()
