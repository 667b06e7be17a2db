"""The form of each entry kind that has one, by the groups of the menu."""

from __future__ import annotations

from typing import Final

from rounds.logbook.entries import (
    BrumationBegan,
    BrumationEnded,
    ConditionSeen,
    Died,
    DroppingsSeen,
    EggsLaid,
    EnclosureTakenDown,
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
    PedigreeNoted,
    PutTogether,
    QuarantineEnded,
    Rested,
    SexSettled,
    ShedSeen,
    TraitsSettled,
    WarmUpBegan,
    Watered,
    Weighed,
)
from rounds.screens.prompts.fields import Field
from rounds.screens.record.forms_eggs import CLUTCH_FORMS, EGG_FORMS
from rounds.screens.record.forms_supplies import APPOINTMENT_FORMS, SUPPLY_FORMS
from rounds.screens.record.forms_vet import VET_FORMS
from rounds.screens.record.forms_young import COUNT, YOUNG_FORMS
from rounds.screens.record.kind_form import ALL, NOTE, KindForm

GROUPS: Final = (
    ("b", "breeding: mating, eggs laid, boxed, hatched, together, parted …"),
    ("e", "eggs: candled, looked at, egg box made up, weighed, onto a shelf"),
    ("y", "young: counted, split, merged, singled out, held back, reserved"),
    ("s", "seen: condition, droppings, shed, measured, counted"),
    ("v", "vet: phoned, seen, referred, appointment, treatment, tests"),
    ("m", "moves and lives: move, left, died, sex, traits, pedigree, brumation, rest, quarantine"),
    ("c", "care: fed, watered, misted, lamp changed, taken down, stock counted"),
)

FORMS: Final[tuple[KindForm, ...]] = (
    KindForm("b", "m", "mating seen", MatingSeen, (Field("sire", "with", hint="the male; empty when not known"),)),
    KindForm("b", "t", "put together with a male", PutTogether, (Field("mate", "male"),)),
    KindForm("b", "p", "parted from a male", Parted, (Field("mate", "male", hint="empty: from any male"),)),
    KindForm(
        "b",
        "f",
        "felt for eggs",
        FeltForEggs,
        (Field("found", "felt"), Field("count", "about how many")),
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
                hint="all of this clutch up to now, slugs among them",
                missing="How many eggs?",
            ),
            Field("complete", "is she done", required=True, missing="Say whether she is done."),
            Field("slugs", "slugs among them"),
            Field("eggs_grams", "eggs weigh", hint="all of them so far; empty when not weighed"),
            Field("sire", "sire", hint="empty when not known"),
        ),
        "Not sure that she is done? Say not yet: the clock goes on.",
    ),
    *CLUTCH_FORMS,
    KindForm(
        "b",
        "h",
        "hatched",
        Hatched,
        (
            Field("clutch", "clutch", "subject", required=True),
            Field("count", "young", missing="How many young?"),
            Field("into", "into group"),
        ),
    ),
    KindForm(
        "s",
        "c",
        "condition",
        ConditionSeen,
        (Field("signs", "signs"), Field("look", "looks"), Field("body", "body")),
    ),
    KindForm("s", "d", "droppings", DroppingsSeen, (Field("look", "droppings", required=True),)),
    KindForm("s", "s", "shed", ShedSeen, (Field("state", "shed"), Field("where", "where"))),
    KindForm("s", "m", "measured", Measured, (Field("svl_mm", "snout–vent"), Field("total_mm", "total"))),
    KindForm("s", "w", "weighed earlier", Weighed, (Field("grams", "weight"),)),
    # A count is something seen too: `i`, `s`, `k` leads to it, as `i`, `y`, `c` does.
    COUNT._replace(group="s", key="k"),
    KindForm("s", "n", "note", Noted, (NOTE._replace(required=True),)),
    *EGG_FORMS,
    *VET_FORMS,
    *APPOINTMENT_FORMS,
    *YOUNG_FORMS,
    KindForm("m", "m", "moved", Moved, (Field("to", "to"), Field("why", "why"))),
    KindForm(
        "m",
        "l",
        "left",
        Left,
        (
            Field("count", "how many", required=True, hint=ALL, missing="How many of the group?"),
            Field("how", "how"),
            Field("to", "to"),
            Field("price", "price", hint="of all of them together; empty: none"),
            Field("currency", "currency", hint="empty: the colony's own"),
        ),
        "Never sold under treatment, in quarantine, too young or too light. Local codes come first.",
    ),
    KindForm(
        "m",
        "d",
        "died",
        Died,
        (
            Field("count", "how many", required=True, hint=ALL, missing="How many of the group?"),
            Field("cause", "cause"),
        ),
    ),
    KindForm(
        "m",
        "t",
        "traits",
        TraitsSettled,
        (
            Field("count", "how many", required=True, hint="of the group", missing="How many?"),
            Field("shows", "shows", "ticks"),
            Field("carries", "carries", "ticks", hint="unseen, but known"),
            Field("possible", "may carry", "ticks"),
            Field("normal", "normal for", "ticks", hint="looked at, and does not show it"),
            Field("without", "without", "ticks", hint="known not to carry it"),
            Field("how", "how known"),
        ),
        "The list of traits is the colony's own: colony.toml, [traits].",
    ),
    KindForm(
        "m",
        "s",
        "sex settled",
        SexSettled,
        (
            Field("sex", "sex"),
            Field("certainty", "how sure"),
            Field("how", "how", hint="such as by hand, by the vet"),
        ),
    ),
    KindForm(
        "m",
        "p",
        "pedigree, from papers",
        PedigreeNoted,
        (
            Field("sex", "sex"),
            Field("hatched", "hatched", "date", hint="2024-05-12 · or only 2024-05 or 2024", about="hatched_about"),
            Field("sire", "sire"),
            Field("dam", "dam"),
            Field("origin", "from", hint="who bred it"),
        ),
        "What papers say beside the arrival. An ancestor of elsewhere: set up, p.",
    ),
    KindForm("m", "b", "brumation began", BrumationBegan, (), "A clear faecal test first. Never under treatment."),
    KindForm("m", "w", "warm-up began", WarmUpBegan),
    KindForm(
        "m",
        "r",
        "rested, not paired",
        Rested,
        (Field("for_good", "for good"),),
        "Empty: this season. It ends when it is put together, or with the next brumation.",
    ),
    KindForm("m", "e", "brumation ended", BrumationEnded),
    KindForm("m", "q", "quarantine ended", QuarantineEnded),
    KindForm(
        "c",
        "f",
        "fed",
        Fed,
        (
            Field("food", "food", required=True),
            Field("what", "what"),
            Field("amount", "amount"),
            Field("dusted", "dusted with"),
        ),
    ),
    KindForm("c", "w", "watered", Watered, (Field("scrubbed", "dish"),)),
    KindForm("c", "m", "misted", Misted),
    KindForm("c", "l", "UV lamp changed", LampChanged, (Field("what", "lamp"),)),
    KindForm("c", "x", "enclosure taken down", EnclosureTakenDown),
    *SUPPLY_FORMS,
)
#: The form of each kind; that of a note is the plain one.
FORM_OF: Final = {form.kind: form for form in FORMS}
