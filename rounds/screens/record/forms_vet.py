"""The forms of what concerns the vet: calls, visits, referrals, treatments, tests."""

from __future__ import annotations

from typing import Final

from rounds.logbook.entries import Referred, Tested, TreatmentEnded, TreatmentGiven, VetCalled, VetSeen
from rounds.screens.prompts.fields import Field
from rounds.screens.record.kind_form import KindForm

VET_FORMS: Final[tuple[KindForm, ...]] = (
    KindForm(
        "v",
        "c",
        "phoned the vet",
        VetCalled,
        (
            Field(
                "said",
                "what was said",
                required=True,
                several=True,
                hint="in the vet's words, Ctrl-J begins a line; nobody reached: a note (n)",
            ),
            Field("vet", "vet"),
            Field("again", "again by", lies="ahead", hint="when the vet wants to see or hear of it: 3 dec · +2d"),
        ),
    ),
    KindForm(
        "v",
        "s",
        "vet seen",
        VetSeen,
        (
            Field("outcome", "outcome"),
            Field("instructions", "instructions", several=True, hint="as the vet gave them; Ctrl-J begins a line"),
            Field("vet", "vet"),
            Field("carrying", "gravid"),
            Field("again", "again by", lies="ahead", hint="when the vet wants to see or hear of it: 3 dec · +2w"),
            Field("weigh_days", "weigh every", hint="as the vet asks; empty: as the house does"),
            Field("weigh_until", "weigh until", lies="ahead"),
            Field("treatment", "treatment", hint="in the vet's words"),
            Field(
                "under_treatment_until",
                "treatment until",
                lies="ahead",
                hint="3 dec · +2w: not paired, sold or brumated before; empty: until it ended",
            ),
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
            Field("appointment", "appointment", lies="ahead", hint="3 dec · mon · +2d; empty when none yet"),
        ),
    ),
    KindForm(
        "v",
        "t",
        "treatment given as prescribed",
        TreatmentGiven,
        (Field("what", "what", hint="in the vet's words"),),
    ),
    KindForm("v", "e", "treatment ended", TreatmentEnded, (), "Only when the vet says so."),
    KindForm(
        "v",
        "l",
        "sample tested",
        Tested,
        (
            Field("what", "sample"),
            Field("clear", "result", hint="empty: no result yet"),
            Field("result", "what was found"),
        ),
    ),
)
