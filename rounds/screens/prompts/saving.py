"""What a talk wants written, and what is asked when the disk does not take it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, ClassVar

from rounds.logbook.drafts import Draft
from rounds.logbook.entries import Entry
from rounds.logbook.entries.base import kind_of_name
from rounds.screens.board.board import BLANK, Line, Span, fit, line, wrap
from rounds.screens.prompts.asks import OPEN, Ask
from rounds.screens.prompts.choices import Choice, Option


class Save(Ask):
    """Not a question: what a talk wants written. It is answered with the entries once they are on disk.

    Drafts are recorded; corrections bring `write`, which does it, and `told`, what they are in words, `judged`,
    the drafts that are put in the place of others, and `excluding`, the ids of those. What is doubtful is asked
    about first; when it is not to be written the answer is (). When the disk does not take it, that is said and
    the keeper is asked what to do; the talk ends if it is written elsewhere or dropped.
    """

    def __init__(
        self,
        *drafts: Draft,
        write: Callable[[], tuple[Entry, ...]] | None = None,
        told: Sequence[str] = (),
        judged: Sequence[Draft] = (),
        excluding: frozenset[str] = frozenset(),
    ) -> None:
        self.drafts = drafts
        self.judged = tuple(judged) or drafts
        self.excluding = excluding
        self.write = write
        self.told = told or [_words(draft) for draft in drafts]


class NotWritten(Choice):
    """The disk did not take a save: nothing goes on until the keeper has chosen what to do."""

    whole: ClassVar[bool] = True

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
        )
        self.reason = reason
        self.told = wanted.told

    def takes(self, key: str, character: str | None) -> Any:
        if key in ("escape", "backspace"):
            return OPEN
        return super().takes(key, character)

    def lines(self, width: int, height: int) -> list[Line]:
        title: list[Line] = [line(" ", Span(fit("NOT SAVED", width - 2), "vet-now"))]
        choices = super().lines(width, max(4, height - 3))[1:]
        told: list[Line] = [BLANK, *(line(" ", one) for one in wrap(self.reason, width - 2)), BLANK]
        told += [line(" This is not on disk:"), *(line("   ", Span(one, "name")) for one in self.told), BLANK]
        room = max(0, height - len(title) - len(choices))
        if len(told) > room:  # on a small screen what can be done comes before what it is about
            told = [one for one in told if one][:room]
        return [*title, *told, *choices][:height]


def _words(draft: Draft) -> str:
    values = ", ".join(f"{name} {value}" for name, value in draft.fields.items())
    return f"{draft.about}  {kind_of_name(draft.kind.__name__)}  {values}"
