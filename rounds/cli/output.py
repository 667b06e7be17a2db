"""Standard output of a plain command, and what is said when it takes no more."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager


class NoOutput(OSError):
    """Standard output took no more, for another reason than that nobody reads it."""


@contextmanager
def writing_out() -> Iterator[None]:
    """A fault of standard output is one, whatever file of the colony is being dealt with around it."""
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        raise NoOutput(error.errno, error.strerror) from error
