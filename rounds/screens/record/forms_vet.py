"""The forms of what concerns the vet: calls, visits, referrals, treatments, tests."""

from __future__ import annotations

from typing import Final, get_args

from rounds.logbook.entries import Referred, Tested, TreatmentEnded, TreatmentGiven, VetCalled, VetSeen
from rounds.logbook.words import Sample
from rounds.screens.prompts.fields import WHEN, Field
from rounds.screens.record.kind_form import NOTE, TRUTHS, KindForm

VET_FORMS: Final[tuple[KindForm, ...]] = (
    KindForm(
        "v",
        "c",
        "phoned the vet",
        VetCalled,
        (
            Field("said", "what was said", required=True, hint="in the vet's words; nobody reached: a note (n)"),
            Field("vet", "vet"),
            Field(
                "again",
                "again by",
                "date",
                lies="ahead",
                hint="when the vet wants to see or hear of it: 3 dec · +2d",
            ),
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
            Field("outcome", "outcome"),
            Field("instructions", "instructions", hint="as the vet gave them"),
            Field("vet", "vet"),
            Field("carrying", "gravid", "choice", options=TRUTHS["carrying"]),
            Field(
                "again",
                "again by",
                "date",
                lies="ahead",
                hint="when the vet wants to see or hear of it: 3 dec · +2w",
            ),
            Field(
                "weigh_days", "weigh every", "whole", unit="days", hint="as the vet asks; empty: as the house does"
            ),
            Field("weigh_until", "weigh until", "date", lies="ahead"),
            Field("treatment", "treatment", hint="in the vet's words"),
            Field(
                "under_treatment_until",
                "treatment until",
                "date",
                lies="ahead",
                hint="3 dec · +2w: not paired, sold or brumated before; empty: until it ended",
            ),
            WHEN,
            NOTE,
        ),
    ),
    KindForm(
        "v",
        "r",
        "referred to a vet",
        Referred,
        (
            Field("to", "to"),
            Field("why", "why"),
            Field(
                "appointment", "appointment", "date", lies="ahead", hint="3 dec · mon · +2d; empty when none yet"
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
    KindForm("v", "e", "treatment ended", TreatmentEnded, (WHEN, NOTE), "Only when the vet says so."),
    KindForm(
        "v",
        "l",
        "sample tested",
        Tested,
        (
            Field("what", "sample", "choice", required=True, options=get_args(Sample)),
            Field("clear", "result", "choice", options=TRUTHS["clear"], hint="empty: no result yet"),
            Field("result", "what was found"),
            WHEN,
            NOTE,
        ),
    ),
)
