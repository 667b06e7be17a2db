"""Properties that are worked out at their first reading and kept: `functools.cached_property` without its lock.

That one takes a lock at each first reading, up to Python 3.11, which costs more than most of what is worked out
here. What is kept here depends on nothing but its object, so that two readings at once would
find the same.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from functools import cached_property as cached_property
else:

    class cached_property:
        """A property that is worked out once; what it raises is not kept."""

        def __init__(self, func):
            self.func = func
            self.__doc__ = func.__doc__

        def __set_name__(self, owner, name):
            self.name = name

        def __get__(self, instance, owner=None):
            if instance is None:
                return self
            value = instance.__dict__[self.name] = self.func(instance)
            return value
