"""What was to be saved last and was not: tried again it is the same save, so that it counts once."""

from __future__ import annotations

from collections.abc import Callable
from operator import is_
from typing import TypeAlias

from rounds.logbook.entries import Entry

#: What was asked for, by the very objects: a key pressed again brings others.
Asked: TypeAlias = tuple[object, ...]


class LastTry:
    """The entries of the last save until it is on disk.

    A disk that refused a save may have kept it after all, or a journal may hold it: with the ids that it had, it
    stands there twice and counts once.
    """

    def __init__(self) -> None:
        self._asked: Asked = ()
        self._signed: list[Entry] = []

    def signed(self, asked: Asked, sign: Callable[[], list[Entry]]) -> list[Entry]:
        """The entries of what is asked for: as they were signed when just the same was refused, or signed now."""
        if not (len(asked) == len(self._asked) and all(map(is_, asked, self._asked))):
            self._signed = sign()
        self._asked = asked
        return self._signed

    def is_saved(self) -> None:
        """It is on disk."""
        self._asked, self._signed = (), []
