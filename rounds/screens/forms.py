"""The form of each entry kind that has one, and how a filled form becomes drafts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any, Final, NamedTuple

from rounds.logbook.drafts import Draft
from rounds.logbook.entries import (
    BrumationBegan,
    BrumationEnded,
    ConditionSeen,
    Died,
    DroppingsSeen,
    EggsBoxed,
    EggsLaid,
    EggsLost,
    EnclosureTakenDown,
    Entry,
    Fed,
    FeltForEggs,
    Hatched,
    LampChanged,
    Left,
    MatingSeen,
    Measured,
    Misted,
    Moved,
    Noted,
    Parted,
    PutTogether,
    QuarantineEnded,
    Referred,
    SexSettled,
    ShedSeen,
    TreatmentGiven,
    VetSeen,
    Watered,
    Weighed,
)
from rounds.logbook.words import SIGNS
from rounds.screens.form import WHEN, Field


class KindForm(NamedTuple):
    """One entry kind in the menu of entries: its group, its letter, its label and its fields."""

    group: str
    key: str
    label: str
    kind: type[Entry]
    fields: tuple[Field, ...]
    told: str = ""


GROUPS: Final = (
    ("b", "breeding: mating, felt, eggs laid, together, parted …"),
    ("s", "seen: condition, droppings, shed, measured"),
    ("v", "vet: refer, vet seen, treatment given"),
    ("m", "moves and lives: move, left, died, sex, brumation, quarantine"),
    ("c", "care: fed, watered, misted, lamp changed, taken down"),
)
NOTE = Field("note", "note")

FORMS: Final[tuple[KindForm, ...]] = (
    KindForm(
        "b",
        "m",
        "mating seen",
        MatingSeen,
        (Field("sire", "with", "subject", hint="the male; empty when not known"), WHEN, NOTE),
    ),
    KindForm(
        "b",
        "t",
        "put together with a male",
        PutTogether,
        (Field("mate", "male", "subject", required=True), WHEN, NOTE),
    ),
    KindForm(
        "b",
        "p",
        "parted from a male",
        Parted,
        (Field("mate", "male", "subject", hint="empty: from any male"), WHEN, NOTE),
    ),
    KindForm(
        "b",
        "f",
        "felt for eggs",
        FeltForEggs,
        (
            Field("found", "felt", "choice", required=True, options=("eggs", "none", "unsure")),
            Field("count", "about how many", "whole"),
            WHEN,
            NOTE,
        ),
        "Gently; never press or massage.",
    ),
    KindForm(
        "b",
        "e",
        "eggs laid",
        EggsLaid,
        (
            Field(
                "count",
                "eggs in all",
                "whole",
                required=True,
                hint="all of this clutch up to now, slugs among them",
            ),
            Field("slugs", "slugs among them", "whole"),
            Field("complete", "is she done", "choice", required=True, options=("not yet", "complete")),
            Field("sire", "sire", "subject", hint="empty when not known"),
            WHEN,
            NOTE,
        ),
        "Not sure that she is done? Say not yet: the clock then counts from the last egg.",
    ),
    KindForm(
        "b",
        "x",
        "eggs boxed",
        EggsBoxed,
        (
            Field("clutch", "clutch", "subject", required=True),
            Field("count", "eggs", "whole", required=True),
            Field("place", "egg box or shelf", "subject"),
            Field("medium", "medium", hint="such as vermiculite 1 : 1 by weight"),
            Field("box_grams", "box weighs", "figure", unit="g"),
            WHEN,
            NOTE,
        ),
    ),
    KindForm(
        "b",
        "l",
        "eggs lost",
        EggsLost,
        (
            Field("clutch", "clutch", "subject", required=True),
            Field("count", "eggs", "whole", required=True),
            Field("why", "why"),
            WHEN,
            NOTE,
        ),
    ),
    KindForm(
        "b",
        "h",
        "hatched",
        Hatched,
        (
            Field("clutch", "clutch", "subject", required=True),
            Field("count", "young", "whole", required=True),
            Field("into", "into group", "subject"),
            WHEN,
            NOTE,
        ),
    ),
    KindForm(
        "s",
        "c",
        "condition",
        ConditionSeen,
        (
            Field("look", "looks", "choice", options=("bright", "quiet", "dull")),
            Field("body", "body", "choice", options=("thin", "good", "heavy")),
            Field("signs", "signs", "ticks", options=SIGNS, hint="digits tick what is there"),
            WHEN,
            NOTE,
        ),
    ),
    KindForm(
        "s",
        "d",
        "droppings",
        DroppingsSeen,
        (
            Field(
                "look",
                "droppings",
                "choice",
                required=True,
                options=("normal", "runny", "blood or mucus", "undigested", "none found"),
            ),
            WHEN,
            NOTE,
        ),
    ),
    KindForm(
        "s",
        "s",
        "shed",
        ShedSeen,
        (
            Field("state", "shed", "choice", required=True, options=("begun", "clean", "stuck")),
            Field("where", "where"),
            WHEN,
            NOTE,
        ),
    ),
    KindForm(
        "s",
        "m",
        "measured",
        Measured,
        (
            Field("svl_mm", "snout–vent", "figure", unit="mm"),
            Field("total_mm", "total", "figure", unit="mm"),
            WHEN,
            NOTE,
        ),
    ),
    KindForm(
        "s",
        "w",
        "weighed earlier",
        Weighed,
        (Field("grams", "weight", "figure", required=True, unit="g"), WHEN, NOTE),
    ),
    KindForm("s", "n", "note", Noted, (Field("note", "note", required=True), WHEN)),
    KindForm(
        "v",
        "r",
        "referred to a vet",
        Referred,
        (
            Field("to", "to"),
            Field("why", "why"),
            Field("appointment", "appointment", "date", hint="2026-04-12; empty when none yet"),
            WHEN,
            NOTE,
        ),
    ),
    KindForm(
        "v",
        "s",
        "vet seen",
        VetSeen,
        (
            Field("vet", "vet"),
            Field("outcome", "outcome"),
            Field("instructions", "instructions", hint="as the vet gave them"),
            Field("carrying", "carrying eggs", "choice", options=("yes", "no")),
            Field("treatment", "treatment", hint="in the vet's words"),
            Field(
                "under_treatment_until",
                "treatment until",
                "date",
                hint="2026-04-12: not paired, sold or brumated before",
            ),
            WHEN,
            NOTE,
        ),
    ),
    KindForm(
        "v",
        "t",
        "treatment given as prescribed",
        TreatmentGiven,
        (Field("what", "what", hint="in the vet's words"), WHEN, NOTE),
    ),
    KindForm(
        "m", "m", "moved", Moved, (Field("to", "to", "subject", required=True), Field("why", "why"), WHEN, NOTE)
    ),
    KindForm(
        "m",
        "l",
        "left",
        Left,
        (
            Field("how", "how", "choice", required=True, options=("sold", "given", "returned", "lent")),
            Field("to", "to"),
            Field("count", "how many", "whole", hint="groups only; empty: all"),
            WHEN,
            NOTE,
        ),
    ),
    KindForm(
        "m",
        "d",
        "died",
        Died,
        (Field("cause", "cause"), Field("count", "how many", "whole", hint="groups only; empty: all"), WHEN, NOTE),
    ),
    KindForm(
        "m",
        "s",
        "sex settled",
        SexSettled,
        (Field("sex", "sex", "choice", required=True, options=("F", "M", "?")), Field("how", "how"), WHEN, NOTE),
    ),
    KindForm("m", "b", "brumation began", BrumationBegan, (WHEN, NOTE)),
    KindForm("m", "e", "brumation ended", BrumationEnded, (WHEN, NOTE)),
    KindForm("m", "q", "quarantine ended", QuarantineEnded, (WHEN, NOTE)),
    KindForm(
        "c",
        "f",
        "fed",
        Fed,
        (
            Field("food", "food", "choice", required=True, options=("insects", "greens", "other")),
            Field("what", "what"),
            Field("amount", "amount"),
            Field("dusted", "dusted with"),
            WHEN,
            NOTE,
        ),
    ),
    KindForm("c", "w", "watered", Watered, (WHEN, NOTE)),
    KindForm("c", "m", "misted", Misted, (WHEN, NOTE)),
    KindForm("c", "l", "UV lamp changed", LampChanged, (Field("what", "lamp"), WHEN, NOTE)),
    KindForm("c", "x", "enclosure taken down", EnclosureTakenDown, (WHEN, NOTE)),
)
FORM_OF: Final = {form.kind: form for form in FORMS}

#: Which subjects a field of this name may name.
FIELD_SORTS: Final[dict[str, str]] = {
    "sire": "animal:M",
    "mate": "animal:M",
    "dam": "animal:F",
    "to": "enclosure",
    "place": "enclosure",
    "into": "group",
    "clutch": "clutch",
}


def fits(form: KindForm, subject: str) -> bool:
    """Whether an entry of this form may be about the subject (eggs boxed from her page ask for the clutch)."""
    sort = subject.partition("/")[0]
    return sort in form.kind.of or ("clutch" in form.kind.of and sort in ("animal", "enclosure"))


def drafts_of(form: KindForm, subject: str, filled: dict[str, Any], next_clutch: Callable[[], str]) -> list[Draft]:
    """What a filled form wants written. `next_clutch` names the clutch that eggs laid belong to."""
    fields = dict(filled)
    when: datetime | None = fields.pop("when", None)
    about = subject
    if form.kind is EggsLaid:
        fields["complete"] = fields.get("complete") == "complete"
        fields["clutch"] = next_clutch()
    if form.kind is VetSeen and "carrying" in fields:
        fields["carrying"] = fields["carrying"] == "yes"
    if form.kind in (EggsBoxed, EggsLost, Hatched):
        about = fields.pop("clutch", subject)
    return [Draft(form.kind, about, fields, when)]


def with_finders(fields: Sequence[Field], finder: Callable[[str], Any]) -> list[Field]:
    """The fields with what looks subjects up put in."""
    return [
        field._replace(find=finder(FIELD_SORTS.get(field.name, ""))) if field.sort == "subject" else field
        for field in fields
    ]
