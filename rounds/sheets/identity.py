"""Who a desk is: the name that its sheets carry, and how it gets another when somebody else writes under it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from typing import Final, Protocol

_LETTERS: Final = "0123456789abcdefghjkmnpqrstvwxyz"
#: A sheet's name takes 80 letters of a desk's name at most.
_LONGEST: Final = 71


class Identity(Protocol):
    """The name of one running desk."""

    def renew(self) -> str:
        """Take a name that nobody has, at once and for good; the new name. Never fails."""

    def may_be_ours(self, name: str) -> bool:
        """Whether a desk of this machine may have had a name, as far as names tell."""

    def borrow(self, name: str) -> AbstractContextManager[bool]:
        """Whether no running desk of this user has a name; none takes it while the context is open."""


class Unlocked:
    """A desk whose name nothing holds: a name drawn at random does."""

    def __init__(self, name: str) -> None:
        self._first = name[:_LONGEST].rstrip("-")

    def renew(self) -> str:
        """A name drawn at random."""
        return f"{self._first}-{random_letters(8)}"

    def may_be_ours(self, name: str) -> bool:
        """Whether it begins as this one's."""
        return name == self._first or name.startswith(f"{self._first}-")

    @contextmanager
    def borrow(self, name: str) -> Iterator[bool]:
        """Nobody knows."""
        yield False


def random_letters(length: int) -> str:
    """Letters and digits drawn at random, none of which looks like another."""
    return "".join(_LETTERS[byte & 31] for byte in os.urandom(length))
