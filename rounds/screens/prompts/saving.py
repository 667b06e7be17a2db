"""What a talk has to write, and what is asked when the disk does not take it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, ClassVar

from rounds.logbook.drafts import Draft
from rounds.logbook.entries import Entry
from rounds.screens.board.board import BLANK, Line, Span, fit, line, wrap
from rounds.screens.prompts.asks import OPEN, Ask
from rounds.screens.prompts.choices import Choice, Option


class Save(Ask):
    """What a talk has to write. It is no question: its answer is the entries, once they are on disk.

    Drafts are recorded. A correction brings `write`, which records it, and `says`, what it is in words; `judged`
    are its new drafts, `excluding` the ids of the entries they replace. The keeper is asked first about what is
    doubtful, but for what the talk has asked already (`agreed`); the answer is () when it is not to be written.
    When the disk does not take it, the keeper says what to do; the talk ends if it is written elsewhere or dropped.
    """

    def __init__(
        self,
        *drafts: Draft,
        write: Callable[[], tuple[Entry, ...]] | None = None,
        says: Sequence[str] = (),
        judged: Sequence[Draft] = (),
        excluding: frozenset[str] = frozenset(),
        agreed: Sequence[str] = (),
    ) -> None:
        self.drafts = drafts
        self.judged = tuple(judged) or drafts
        self.excluding = excluding
        self.agreed = tuple(agreed)
        self.write = write
        #: Each entry in words, for when it cannot be written.
        self.says = list(says)


class NotWritten(Choice):
    """The disk did not take a save: nothing goes on until the keeper has chosen what to do."""

    whole: ClassVar[bool] = True
    to_be_seen = True

    def __init__(self, reason: str, wanted: Save) -> None:
        elsewhere = Option("f", "write it to a file in your home folder instead", "elsewhere")
        super().__init__(
            "NOT SAVED",
            [
                Option("t", "try again", "again"),
                *([elsewhere] if wanted.drafts else []),
                Option("d", "drop it: it is not written down anywhere", "drop"),
            ],
            start=0,
            by_digits=False,  # the next figure may be on its way: its first digit drops nothing
        )
        self.reason = reason
        self.says = wanted.says

    def takes(self, key: str, character: str | None) -> Any:
        if key in ("escape", "backspace"):
            return OPEN
        return super().takes(key, character)

    def lines(self, width: int, height: int) -> list[Line]:
        title: list[Line] = [line(" ", Span(fit("NOT SAVED", width - 2), "vet-now"))]
        choices = super().lines(width, max(4, height - 3))[1:]
        body: list[Line] = [BLANK, *(line(" ", one) for one in wrap(self.reason, width - 2)), BLANK]
        body += [line(" This is not on disk:"), *(line("   ", Span(one, "name")) for one in self.says), BLANK]
        room = max(0, height - len(title) - len(choices))
        if len(body) > room:  # on a small screen what can be done comes before what it is about
            body = [one for one in body if one][:room]
        return [*title, *body, *choices][:height]
