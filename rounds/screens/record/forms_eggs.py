"""The forms of eggs and egg boxes: what is written by hand, or put right, beside the keys of an egg box stop."""

from __future__ import annotations

from typing import Final

from rounds.logbook.entries import (
    Candled,
    EggBoxMadeUp,
    EggBoxShelved,
    EggBoxWeighed,
    EggsBoxed,
    EggsLost,
    EggsSeen,
)
from rounds.screens.prompts.fields import Field
from rounds.screens.record.kind_form import KindForm

_CLUTCH: Final = Field("clutch", "clutch", "subject", required=True)

CLUTCH_FORMS: Final[tuple[KindForm, ...]] = (
    KindForm(
        "b",
        "x",
        "eggs boxed",
        EggsBoxed,
        (
            _CLUTCH,
            Field("count", "eggs", missing="How many eggs?"),
            Field("place", "egg box or shelf"),
            Field("medium", "medium", hint="such as vermiculite 1 : 1 by weight"),
            Field("box_grams", "box weighs"),
            Field("eggs_grams", "eggs weigh", hint="all of them together"),
            Field("up_marked", "up-side"),
            Field("out_of", "out of", hint="the box they were in before"),
        ),
    ),
    KindForm(
        "b",
        "l",
        "eggs lost",
        EggsLost,
        (
            _CLUTCH,
            Field("count", "eggs", missing="How many eggs?"),
            Field("why", "why"),
            Field("how", "how"),
            Field("place", "out of", hint="the box, where several hold the clutch"),
            Field("in_box", "in a box", hint="no, of eggs that were in none"),
            Field("grams", "they weigh"),
        ),
    ),
)
EGG_FORMS: Final[tuple[KindForm, ...]] = (
    KindForm(
        "e",
        "c",
        "candled",
        Candled,
        (
            _CLUTCH,
            Field("fertile", "fertile"),
            Field("unclear", "unclear"),
            Field("clear", "clear"),
            Field("place", "egg box", hint="empty: all boxes of the clutch"),
            Field("up_marked", "up-side"),
        ),
    ),
    KindForm(
        "e",
        "l",
        "eggs looked at",
        EggsSeen,
        (_CLUTCH, Field("signs", "signs"), Field("count", "eggs so"), Field("place", "egg box")),
        "Nothing marked: nothing wrong.",
    ),
    KindForm(
        "e",
        "u",
        "egg box made up",
        EggBoxMadeUp,
        (
            Field("medium", "medium", required=True),
            Field("tare_grams", "box empty"),
            Field("dry_grams", "dry medium"),
            Field("ratio", "water to 1 dry", hint="by weight: 1"),
            Field("water_grams", "water", hint="dry times ratio; e, then u at the box reckons it by the scale"),
            Field("target_grams", "target", hint="box, medium and water, where no ratio is known"),
            Field("shelf", "shelf"),
            Field("lid", "on the lid"),
        ),
    ),
    KindForm(
        "e",
        "w",
        "egg box weighed",
        EggBoxWeighed,
        (
            Field("grams", "weight", missing="What does the scale say?"),
            Field("added_grams", "water added"),
            Field("clutch", "clutch", hint="of boxes without a name on a shelf"),
        ),
    ),
    KindForm("e", "s", "egg box onto a shelf", EggBoxShelved, (Field("shelf", "shelf"),)),
)
