"""The forms of supplies, and of what is agreed for a day."""

from __future__ import annotations

from typing import Final

from rounds.logbook.entries import AppointmentEnded, AppointmentMade, StockCounted, StockIn
from rounds.screens.prompts.fields import Field
from rounds.screens.record.kind_form import KindForm

SUPPLY_FORMS: Final[tuple[KindForm, ...]] = (
    KindForm(
        "c",
        "k",
        "stock counted",
        StockCounted,
        (
            Field("amount", "in stock", missing="How much is there?"),
            Field("unit", "unit"),
            Field("name", "name", hint="only to call it another name"),
        ),
    ),
    KindForm(
        "c",
        "i",
        "stock came in",
        StockIn,
        (
            Field("amount", "came in", missing="How much came in?"),
            Field("unit", "unit"),
            Field("origin", "from", hint="the seller; empty when bred here"),
            Field("price", "price", hint="of all of it together; empty: none"),
            Field("currency", "currency", hint="empty: the colony's own"),
        ),
    ),
)
APPOINTMENT_FORMS: Final[tuple[KindForm, ...]] = (
    KindForm(
        "v",
        "a",
        "appointment",
        AppointmentMade,
        (
            Field("on", "on", lies="ahead", hint="3 dec · mon · +2d"),
            Field("clock", "at", "clock", hint="10:30; empty: no hour agreed"),
            Field("whom", "with whom", hint="the vet, or who comes"),
            Field("why", "why"),
        ),
    ),
    KindForm(
        "v",
        "k",
        "what became of an appointment",
        AppointmentEnded,
        (
            Field("on", "it was for", hint="the day it was agreed for"),
            Field("how", "it was"),
            Field("whom", "with whom", hint="of several on that day"),
            Field("clock", "at", "clock", hint="of several on that day"),
        ),
        "A vet seen keeps it: write that instead.",
    ),
)
