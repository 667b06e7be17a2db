"""The forms of young counted together, and of what is held back, reserved or sold."""

from __future__ import annotations

from typing import Final

from rounds.logbook.entries import (
    Counted,
    CountSettled,
    HeldBack,
    Merged,
    Released,
    Reserved,
    SingledOut,
    SplitOff,
)
from rounds.screens.prompts.fields import Field
from rounds.screens.record.kind_form import KindForm

_MANY: Final = Field("count", "how many", hint="of a group; empty: all of them")

COUNT: Final = KindForm(
    "y",
    "c",
    "counted",
    Counted,
    (Field("count", "how many are there", missing="How many are there?"),),
    "Fewer than there should be? What became of them is asked.",
)
YOUNG_FORMS: Final[tuple[KindForm, ...]] = (
    COUNT,
    KindForm(
        "y",
        "p",
        "split off into another group",
        SplitOff,
        (Field("into", "into"), Field("count", "how many"), Field("why", "which")),
    ),
    KindForm("y", "g", "merged into another group", Merged, (Field("into", "into"),)),
    KindForm("y", "n", "singled out: one gets a name", SingledOut, (Field("animal", "which"),)),
    KindForm("y", "b", "held back: not for sale", HeldBack, (_MANY, Field("why", "why"))),
    KindForm(
        "y",
        "r",
        "reserved for somebody",
        Reserved,
        (_MANY, Field("whom", "for whom"), Field("deposit", "deposit"), Field("currency", "currency")),
    ),
    KindForm(
        "y",
        "f",
        "free again",
        Released,
        (
            _MANY,
            Field("whom", "for whom", hint="empty: held back and reserved"),
            Field("only_held", "what ends", hint="held back only: reservations stay"),
        ),
    ),
    KindForm(
        "y",
        "a",
        "count settled: so many are there",
        CountSettled,
        (Field("count", "how many are there", missing="How many are there?"),),
        "Those missing were looked for and not found; those too many were never counted.",
    ),
)
