"""A question answered by the keys it names and nothing else: no digit, no arrow, no Enter that is not offered."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rounds.screens.board.board import Line, Span, line, wrap
from rounds.screens.keys.register import shown_key
from rounds.screens.prompts.asks import BROKEN_OFF, CANCEL, OPEN, Ask
from rounds.screens.prompts.choices import Option


class Letters(Ask):
    """Some sentences, then the keys that answer, each with its word. Backspace breaks off."""

    def __init__(self, says: Sequence[str], options: Sequence[Option], *, to_be_seen: bool = True) -> None:
        self.title = says[0]
        self.says = says
        self.options = list(options)
        self.to_be_seen = to_be_seen

    def takes(self, key: str, character: str | None) -> Any:
        if key == "backspace" or key in CANCEL:
            return BROKEN_OFF
        return next((one.value for one in self.options if one.key in (key, (character or "").lower())), OPEN)

    def lines(self, width: int, height: int) -> list[Line]:
        keys: list[Span] = []
        for one in self.options:
            keys += [Span("   " if keys else " "), Span(shown_key(one.key), "key", (one.key,))]
            keys.append(Span(f" {one.label}", "", (one.key,)))
        text = [line(" ", Span(part, "today")) for one in self.says for part in wrap(one, width - 2)]
        return [*text[: max(1, height - 1)], tuple(keys)][-height:]
