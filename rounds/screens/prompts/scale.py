"""What is asked beside the scale and the egg box: water to add, and a small count in one key."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rounds.screens.board.board import Line, Span, asked, line, short, wrap
from rounds.screens.prompts.asks import BROKEN_OFF, CANCEL, OPEN, Ask, Figure
from rounds.screens.prompts.choices import Option


class TopUp(Figure):
    """Water to be added: Enter alone says that as much as is offered was, a figure that so much was.

    An Enter that came before it could be read adds no water.
    """

    to_be_seen = True

    def __init__(self, title: str, offered: float, *, hint: str, stays: str, typed: str = "") -> None:
        super().__init__(title, typed=typed, unit="g", optional=True, hint=hint, stays=stays, most=50_000)
        self.offered = offered

    def takes(self, key: str, character: str | None) -> Any:
        answer = super().takes(key, character)
        return self.offered if answer is None else answer


class Count(Ask):
    """A count in one key: a digit answers, Enter that it was not counted; `m` says that there are more than nine.

    The answer is a number, None, or "more". `others` are letters with answers of their own. Behind a figure it has
    to be seen first: a digit may be of the next one.
    """

    def __init__(
        self,
        title: str,
        *,
        optional: bool,
        others: Sequence[Option] = (),
        digit: str = "so many",
        behind_figure: bool = False,
        most: int | None = None,
    ) -> None:
        self.title = title
        self.optional = optional
        self.others = list(others)
        self.digit = digit
        self.to_be_seen = behind_figure
        #: No more than so many can be: a larger digit is not taken.
        self.most = most

    def takes(self, key: str, character: str | None) -> Any:
        self.wrong = ""
        if key in (*CANCEL, "backspace"):
            return BROKEN_OFF
        if key == "enter":
            return None if self.optional else OPEN
        sign = (character or "").casefold()
        for option in self.others:
            if option.key == sign:
                return option.value
        if sign == "m":
            return "more"
        if not sign.isascii() or not sign.isdecimal() or sign == "0":
            return OPEN
        if self.most is not None and int(sign) > self.most:
            self.wrong = f"{sign} is too many: at most {self.most}."
            return OPEN
        return int(sign)

    def lines(self, width: int, height: int) -> list[Line]:
        told = f"digit: {self.digit}   m more than 9" + ("   Enter not counted" if self.optional else "")
        told = "   ".join([*(f"{one.key} {one.label}" for one in self.others), told])
        style = "today" if self.wrong else "quiet"
        below = [line(" ", Span(one, style)) for one in short(wrap(self.wrong or told, width - 2), 2)]
        return [*asked(self.title, "", width), *below][:height]
