"""Says on a terminal how far a long reading is, once it has taken long enough to be wondered about."""

from __future__ import annotations

import time
from typing import Final, TextIO

#: Shorter readings are not worth a word, in s.
_PATIENCE: Final = 0.5
#: How often the line is written again, in s.
_EVERY: Final = 0.2


class Telling:
    """A line on the terminal that is written over and taken away at the end."""

    def __init__(self, out: TextIO) -> None:
        self._out = out
        self._next = time.monotonic() + _PATIENCE
        self._is_shown = False

    def __call__(self, done: int, of: int) -> None:
        """So many of so many sheets are read."""
        now = time.monotonic()
        if now >= self._next and done < of and self._out.isatty():
            self._next = now + _EVERY
            self._is_shown = True
            self._write(f"\rReading all sheets: {100 * done // max(of, 1)} %   (Ctrl-C breaks off) ")

    def end(self) -> None:
        """Take the line away."""
        if self._is_shown:
            self._write("\r" + " " * 60 + "\r")
            self._is_shown = False

    def _write(self, text: str) -> None:
        self._out.write(text)
        self._out.flush()
