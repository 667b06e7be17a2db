"""What a talk needs of the screen it is held on, so that no talk knows a screen."""

from __future__ import annotations

from typing import Protocol

from rounds.desk.shift import Shift
from rounds.screens.prompts.asks import Talk


class Host(Protocol):
    """The screen a talk is held on, as far as the talk knows it."""

    @property
    def shift(self) -> Shift:
        """The shift under way: what the talk reads, and now."""

    def say(self, text: str, style: str = "quiet") -> None:
        """Put a sentence above the keys until the next key."""

    def converse(self, talk: Talk) -> None:
        """Begin a talk; what was asked before is broken off."""

    def label(self, id: str) -> str:
        """How a key is named, for a sentence that names it."""

    def bell(self) -> None:
        """Sound the terminal's bell."""
