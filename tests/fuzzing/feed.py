"""Bytes read as choices: the same bytes always make the same sheet, a few others a sheet much like it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

One = TypeVar("One")


class Feed:
    """Choices out of an input, one behind the other; when it is used up each choice is the first."""

    def __init__(self, content: bytes) -> None:
        self._content = content
        self._place = 0

    @property
    def is_used_up(self) -> bool:
        """Whether nothing is left."""
        return self._place >= len(self._content)

    def byte(self) -> int:
        """The next byte."""
        self._place += 1
        return self._content[self._place - 1] if self._place <= len(self._content) else 0

    def number(self, most: int) -> int:
        """A number from 0 to `most`, of as many bytes as that needs."""
        found = 0
        for _ in range(max(1, (most.bit_length() + 7) // 8)):
            found = found << 8 | self.byte()
        return found % (most + 1)

    def pick(self, among: Sequence[One]) -> One:
        """One of several, of which there may be up to 65,536."""
        return among[self.number(len(among) - 1)]

    def is_one_in(self, many: int) -> bool:
        """Whether the rarer of two ways is taken: of `many` bytes one says yes."""
        return self.byte() % many == 1

    def some(self, most: int = 255) -> bytes:
        """Some bytes, `most` of them at most."""
        length = min(self.number(min(most, 255)), max(0, len(self._content) - self._place))
        self._place += length
        return self._content[self._place - length : self._place]

    def text(self, most: int = 60) -> str:
        """A text of any characters; what is no UTF-8 in it stands as U+FFFD."""
        return self.some(most).decode("utf-8", "replace")

    def rest(self) -> bytes:
        """All that is left."""
        found = self._content[self._place :]
        self._place = len(self._content)
        return found
