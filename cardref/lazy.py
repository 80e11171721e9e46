"""What is worked out when it is first asked for, and kept: without a lock, on every version of Python.

Up to Python 3.11 ``functools.cached_property`` works under one lock for all objects of a class; 3.12 took it
away, and its documentation tells why: threads wait for each other without need. Worse, a process that is
forked off in the meantime finds the lock taken for ever, by a thread that it does not have. Here two threads
may both work it out; what they find is equal, and everybody gets what was kept first.

>>> class Card:
...     @cached_property
...     def title(self):
...         return object()
>>> card = Card()
>>> card.title is card.title
True
"""

import functools
import sys
from typing import TYPE_CHECKING, Any, TypeVar

__all__ = ["cached_property"]

T = TypeVar("T")

if TYPE_CHECKING or sys.version_info >= (3, 12):
    from functools import cached_property
else:

    class cached_property(functools.cached_property[T]):  # noqa: N801 - stands for the one of that name
        """A property that is worked out once; the value is kept in the object's ``__dict__``."""

        def __get__(self, instance: Any, owner: Any = None) -> Any:
            """The value, or the property itself where a class is asked."""
            if instance is None:
                return self
            kept = instance.__dict__
            if self.attrname not in kept:
                kept.setdefault(self.attrname, self.func(instance))
            return kept[self.attrname]
