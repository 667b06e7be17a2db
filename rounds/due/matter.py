"""A matter: something that needs attention, and all that explains it."""

from __future__ import annotations

from datetime import datetime
from enum import IntEnum
from typing import Literal

import msgspec

from rounds.logbook.entries import Acknowledged, Entry, PutOff


class Level(IntEnum):
    """How much a matter presses."""

    WATCH = 1
    TODAY = 2
    VET = 3
    VET_NOW = 4

    @property
    def word(self) -> str:
        """The word for it on screens, on paper and in --json."""
        return ("watch", "today", "vet", "vet now")[self - 1]


#: What can be done about a matter from the screen that shows it.
Act = Literal[
    "lay box",
    "egg check",
    "weigh",
    "felt",
    "eggs laid",
    "refer",
    "vet called",
    "vet seen",
    "who",
    "part",
    "move",
    "climate",
    "lamp",
    "feed",
    "droppings",
    "quarantine",
    "measure",
    "count",
    "split",
    "treatment",
    "appointment",
    "appointment ended",
    "stock counted",
    "stock in",
    "tested",
    "egg box",
    "eggs",
    "note",
]


class Matter(msgspec.Struct, frozen=True, kw_only=True):
    """One thing that needs attention. It explains itself: why, from what, by which rule, what to do.

    `since` is the moment the matter began to hold (an entry's time): together with rule and subject it
    names the matter, so that an acknowledgement counts for this one and not for the next of its kind.
    """

    rule: str
    about: str
    place: str | None
    level: Level
    says: str
    since: datetime
    entries: tuple[Entry, ...]
    house: tuple[str, ...]
    do: tuple[str, ...]
    worsens: str = ""
    deadline: datetime | None = None
    danger: bool = False
    #: When the newest of its signs was first seen: an answer from before that does not count.
    asks_again: datetime | None = None
    acts: tuple[Act, ...] = ()
    #: Where weak signs add up: a line for each with its points, and the sum.
    adds: tuple[str, ...] = ()
    acknowledged: Acknowledged | None = None
    put_off: PutOff | None = None
    #: Whether only entries raise it that were read before and stand on no sheet any more.
    on_no_sheet: bool = False

    @property
    def key(self) -> str:
        """The name of this matter in acknowledgements: rule, subject and the day it began."""
        return f"{self.rule} {self.about} {self.since.date().isoformat()}"

    @property
    def needs_acknowledging(self) -> bool:
        """Whether a keeper has yet to say that it was read: vet matters, at the level they have now."""
        return self.level >= Level.VET and self.acknowledged is None

    @property
    def order(self) -> tuple[object, ...]:
        """Worst first, then by deadline, then oldest, then by subject."""
        far = datetime.max.replace(tzinfo=self.since.tzinfo)
        return (-self.level, self.deadline or far, self.since, self.about, self.rule)
