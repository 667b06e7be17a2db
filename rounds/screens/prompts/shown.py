"""Lines that are shown over a screen until a key takes them away. Nothing is asked, and nothing is written."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, ClassVar, Final

from rounds.screens.board.board import BLANK, Line, Span, fit, line
from rounds.screens.prompts.asks import BROKEN_OFF, OPEN, Ask

_STEPS: Final = {"up": -1, "down": 1, "pageup": -10, "pagedown": 10}


class Shown(Ask):
    """A text to look at: the arrows go through it, every other key goes back."""

    whole: ClassVar[bool] = True

    def __init__(self, title: str, text: Callable[[int], Sequence[Line]]) -> None:
        self.title = title
        self.text = text
        self.top = 0

    def takes(self, key: str, character: str | None) -> Any:
        if key not in _STEPS:
            return BROKEN_OFF
        self.top = max(0, self.top + _STEPS[key])
        return OPEN

    def lines(self, width: int, height: int) -> list[Line]:
        text = self.text(width)
        room = max(1, height - 3)
        self.top = max(0, min(self.top, len(text) - room))
        keys = [Span(" "), Span("Enter", "key", ("enter",)), Span(" back", "", ("enter",))]
        if len(text) > room:
            more = " more" if self.top + room < len(text) else " the end"
            keys += [Span("   "), Span("↓", "key"), Span(more)]
        below = [BLANK] * (room - len(text))
        title = line(" ", Span(fit(self.title, width - 2), "ask"))
        return [title, *text[self.top : self.top + room], *below, BLANK, tuple(keys)]
