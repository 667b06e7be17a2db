"""A question answered in words: how they are typed, the ready answers, and what is offered."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Sequence
from typing import Any, Final

from rounds.screens.board.board import Line, Span, asked, fit, line, rows_of, short, wrap
from rounds.screens.prompts.asks import BROKEN_OFF, CANCEL, OPEN, TO_FIELD, TWINS, Typed, letter_of

#: A text of several lines has so many rows at least.
_ROWS: Final = 3


class Words(Typed):
    """A few words; Enter ends.

    A digit in an empty field puts the ready answer of that number there, and Enter answers with it. What is typed
    behind the digit makes words of both: `20` and `2 left, dry` stand as typed. `typed` are the keeper's own words,
    to go on with; `offered` is selected, and what is typed replaces it.
    """

    def __init__(
        self,
        title: str,
        *,
        typed: str = "",
        offered: str = "",
        optional: bool = False,
        ready: Sequence[str] = (),
        most: int = 2_000,
        several: bool = False,
        check: Callable[[str], str] | None = None,
        says: Callable[[str], str] | None = None,
        called: str = "",
    ) -> None:
        self.title = title
        #: What the answer is, said before it where it stands without its question.
        self.called = called
        self.typed = typed or offered
        self.optional = optional
        #: Says back what was read.
        self.says = says
        self.ready = list(ready)[:9]
        self.most_letters = most
        self.several = several
        self.check = check
        #: What stood in it at first.
        self._began = self.typed
        self._offers = bool(offered) and not typed
        #: The digit that a ready answer was picked by, while that answer stands in the field.
        self._digit = ""

    @property
    def in_field(self) -> str:
        return self.typed

    @property
    def offers(self) -> bool:
        return self._offers

    @property
    def texts(self) -> dict[str, str]:
        return {"": self.typed} if self.typed not in ("", self._began) and not self._offers else {}

    def before_typing(self) -> None:
        """A letter over what is offered replaces it; over a ready answer it follows the digit."""
        if self._offers:
            self.typed, self._digit, self._offers = self._digit, "", False

    def edited(self, text: str) -> None:
        self.typed, self._offers, self._digit = text, False, ""

    def takes(self, key: str, character: str | None) -> Any:
        self.wrong = ""
        if key in CANCEL or (key == "backspace" and not self.typed):
            return BROKEN_OFF
        if key == "enter":
            return self._answer()
        if key == "backspace" and self._digit:
            self.typed, self._digit, self._offers = "", "", False
            return OPEN
        digit = TWINS.get(key, character or "")
        if (
            (not self.typed or (self._offers and not self._digit))
            and digit.isdecimal()
            and 0 < int(digit) <= len(self.ready)
        ):
            self.typed, self._digit, self._offers = self.ready[int(digit) - 1], digit, True
            return OPEN
        if not letter_of(key, character):  # who goes to and fro in what is offered mends it
            self._offers, self._digit = False, ""
        return TO_FIELD

    def _answer(self) -> Any:
        answer = as_written(self.typed)
        if not answer and not self.optional:
            self.wrong = "Type a few words, then Enter; Backspace on an empty line breaks off."
        elif self.check is not None and (answer or not self.optional):
            self.wrong = self.check(answer)
        return OPEN if self.wrong else answer

    def in_words(self) -> str:
        name = f"{self.called} " if self.called else ""
        return f"{name}“{self.typed}”" if self.typed not in ("", self._began) else ""

    def lines(self, width: int, height: int) -> list[Line]:
        text = self.typed
        most = max(_ROWS, height // 2)
        rows = rows_of(text, width - 2, most)
        rows = min(max(_ROWS, rows + 1) if self.several else rows, most)
        shown = asked(self.title, text, width, style="field", rows=rows)
        if self.ready and (not text or self._offers):
            shown += _ready(self.ready, width)
        said = self.says(text) if self.says is not None and text else ""
        if said:
            shown.append(line(" ", Span(fit(f"= {said}", width - 2), "good")))
        if self.wrong:
            shown += [line(" ", Span(one, "today")) for one in short(wrap(self.wrong, width - 2), 2)]
        elif not self.ready or text:
            shown.append(line(" ", Span(fit(self._told(), width - 2), "quiet")))
        return shown[:height]

    def _told(self) -> str:
        """How it is answered, the likeliest first: the end is cut where it finds no room."""
        if self._digit:
            return f"Enter writes it; what you type stands behind the {self._digit}; Backspace takes it away"
        if self._offers:
            return "Enter takes it; what you type replaces it; Backspace mends it"
        told = "Enter writes it" if self.typed or not self.optional else "Enter alone leaves it out"
        told += "; Ctrl-J begins a line" if self.several else ""
        if self.typed == self._began and self.lost.get(""):
            return f"{told}; Ctrl-Z brings back “{self.lost['']}”"
        return f"{told}; Backspace {'on an empty line ' if self.typed else ''}breaks off"


def as_written(text: str) -> str:
    """What was typed as it is kept: composed letters (Unicode NFC), no blanks around it or behind a line."""
    return unicodedata.normalize("NFC", "\n".join(one.rstrip() for one in text.split("\n")).strip())


def _ready(words: Sequence[str], width: int) -> list[Line]:
    """The ready answers by their digits, in at most two lines."""
    lines: list[list[Span]] = [[]]
    for number, word in enumerate(words, 1):
        one = Span(fit(f"{number} {word}", min(len(word) + 2, width - 2)), "quiet", (str(number),))
        if lines[-1] and sum(len(span.text) + 3 for span in lines[-1]) + len(one.text) > width - 2:
            lines.append([])
        lines[-1] += [Span("   " if lines[-1] else " "), one]
    return [tuple(one) for one in lines[:2]]
